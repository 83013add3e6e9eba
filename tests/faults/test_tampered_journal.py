"""A journal file that was changed by hand beside its lines."""

from __future__ import annotations

import json
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path


THIRD = "INSERT INTO totals_made_at SELECT 1, seq, digest FROM entry WHERE seq = 3"


def run(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "weighstation", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def divided(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Divide one batch, for every test to take a copy of."""
    folder = tmp_path_factory.mktemp("divided")
    assert run("demo", "--fast", "--home", str(folder)).returncode == 0
    return folder


@pytest.fixture
def home(divided: Path, tmp_path: Path) -> Path:
    """Return the home of a station with one batch."""
    return shutil.copytree(divided, tmp_path / "home")


def change(home: Path, *statements: str) -> None:
    with closing(sqlite3.connect(home / "journal.sqlite", isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


def test_no_sheet_is_made_of_totals_that_do_not_follow_from_the_lines(home: Path) -> None:
    change(home, "UPDATE run SET kept_sum_d_mg = kept_sum_d_mg + 5000")

    told = run("journal", "sheet", "--home", str(home))

    assert told.returncode == 1
    assert "do not follow from its lines" in told.stderr
    assert told.stdout == ""


def test_no_chart_of_batches_is_made_of_totals_that_do_not_follow_from_the_lines(
    home: Path,
) -> None:
    change(home, "UPDATE run SET first_sum_d_mg = first_sum_d_mg + 5000")

    told = run("chart", "--week", "--home", str(home))

    assert told.returncode == 1
    assert "do not follow from its lines" in told.stderr
    assert told.stdout == ""


def test_no_chart_of_batches_is_made_of_a_line_that_was_changed(home: Path) -> None:
    rewrite(home, 3)

    told = run("chart", "--week", "--home", str(home))

    assert told.returncode == 1
    assert told.stderr.startswith("Line 3 does not follow from the lines before it.")


def test_sheet_does_not_ask_a_view_that_may_lie(home: Path) -> None:
    before = run("journal", "sheet", "--home", str(home)).stdout
    change(home, "DROP VIEW piece", "CREATE VIEW piece AS SELECT 1 AS seq WHERE 0")

    told = run("journal", "sheet", "--home", str(home))

    assert told.returncode == 0
    assert before == told.stdout


@pytest.mark.parametrize(
    ("statements", "name"),
    [
        (("DROP VIEW piece", "CREATE VIEW piece AS SELECT 1 AS seq WHERE 0"), "piece"),
        (("DROP TRIGGER entry_is_never_updated",), "entry_is_never_updated"),
        (("DROP TRIGGER entry_is_never_deleted",), "entry_is_never_deleted"),
    ],
)
def test_verify_names_what_was_changed_beside_the_lines(
    home: Path, statements: tuple[str, ...], name: str
) -> None:
    assert run("journal", "verify", "--home", str(home)).returncode == 0
    change(home, *statements)

    told = run("journal", "verify", "--home", str(home))

    assert told.returncode == 1
    assert name in told.stderr + told.stdout
    assert "Traceback" not in told.stderr


def test_a_printed_head_is_looked_up(home: Path) -> None:
    """The digest on a sheet tells whether the journal still holds the line it was printed at."""
    held = json.loads(run("journal", "verify", "--home", str(home), "--json").stdout)
    line, head = str(held["lines"]), held["head"][:16]

    same = run("journal", "verify", "--line", line, "--head", head, "--home", str(home))
    other = run("journal", "verify", "--line", line, "--head", "0" * 16, "--home", str(home))
    cut = run("journal", "verify", "--line", "9999", "--head", head, "--home", str(home))

    assert [0, 1, 1] == [same.returncode, other.returncode, cut.returncode]
    assert "has another digest" in other.stderr
    assert "is not in the journal" in cut.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--head", "deadbeef"), "--line and --head go together. "),
        (("--line", "6"), "--line and --head go together. "),
        (("--line", "1", "--head", ""), "--head '' is no digest. "),
        (("--line", "1", "--head", "xyz"), "--head 'xyz' is no digest. "),
        (("--line", "1", "--head", "a" * 65), f"--head '{'a' * 65}' is no digest. "),
    ],
)
def test_half_of_what_is_printed_on_a_sheet_proves_nothing(
    home: Path, words: tuple[str, ...], says: str
) -> None:
    told = run("journal", "verify", *words, "--home", str(home))

    assert (2, "") == (told.returncode, told.stdout)
    assert told.stderr.startswith(says)


def rewrite(home: Path, line: int) -> None:
    """Change the weight in a line, and put its guard back as it was."""
    with closing(sqlite3.connect(home / "journal.sqlite", isolation_level=None)) as connection:
        sql = "SELECT sql FROM sqlite_schema WHERE name = 'entry_is_never_updated'"
        (guard,) = connection.execute(sql).fetchone()
        connection.execute("DROP TRIGGER entry_is_never_updated")
        changed = connection.execute(
            "UPDATE entry SET body = replace(body, '\"ms\":', '\"ms\":1') WHERE seq = ?", (line,)
        )
        assert 1 == changed.rowcount
        connection.execute(guard)


def dump(home: Path) -> list[str]:
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        return list(connection.iterdump())


def counting_line(home: Path, piece: int) -> int:
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        sql = "SELECT seq FROM piece WHERE number = ?"
        (seq,) = connection.execute(sql, (piece,)).fetchone()
        return int(seq)


def last_line(home: Path) -> int:
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        return int(connection.execute("SELECT max(seq) FROM entry").fetchone()[0])


@pytest.mark.parametrize("words", [(), ("--anyway",)])
def test_no_totals_are_made_of_a_line_that_does_not_hold(
    home: Path, words: tuple[str, ...]
) -> None:
    rewrite(home, counting_line(home, 1))
    before = dump(home)

    told = run("journal", "rebuild", *words, "--home", str(home))

    assert (1, "") == (told.returncode, told.stdout)
    assert told.stderr.startswith(f"Line {counting_line(home, 1)} does not follow from the lines")
    assert before == dump(home)


def test_a_note_about_a_line_that_does_not_hold_is_written_with_a_warning(home: Path) -> None:
    changed = counting_line(home, 1)
    rewrite(home, changed)
    last = last_line(home)

    about_it = run("journal", "note", str(changed), "who was here?", "--home", str(home))
    about_another = run("journal", "note", str(last), "all well", "--home", str(home))

    assert 1 == about_it.returncode
    assert about_it.stdout == f"Line {last + 1} notes that about line {changed}.\n"
    assert about_it.stderr.startswith(f"Line {changed} does not follow from the lines before it.")
    assert (0, "") == (about_another.returncode, about_another.stderr)
    assert last + 2 == last_line(home)


def test_a_note_warns_where_the_last_line_does_not_hold(home: Path) -> None:
    last = last_line(home)
    with closing(sqlite3.connect(home / "journal.sqlite", isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER entry_is_never_updated")
        connection.execute("UPDATE entry SET t_utc_ms = 0 WHERE seq = ?", (last,))

    told = run("journal", "note", "1", "before the end", "--home", str(home))

    assert 1 == told.returncode
    assert told.stderr.startswith(f"Line {last} does not follow from the lines before it. Your ")


def test_a_piece_whose_line_does_not_hold_is_not_struck_out(home: Path) -> None:
    changed = counting_line(home, 1)
    rewrite(home, changed)
    before = dump(home)

    told = run("journal", "void", "1", "--reason", "fell", "--home", str(home))
    after = dump(home)
    other = run("journal", "void", "2", "--reason", "fell", "--home", str(home))

    assert (1, "") == (told.returncode, told.stdout)
    assert told.stderr.startswith(f"Line {changed} does not follow from the lines before it. The ")
    assert before == after
    assert (0, "") == (other.returncode, other.stderr)


def test_a_piece_is_not_struck_out_for_no_reason(home: Path) -> None:
    told = run("journal", "void", "1", "--reason", " ", "--home", str(home))

    assert told.returncode == 2
    assert told.stderr.startswith("The reason is empty.")


@pytest.mark.parametrize(
    ("words", "what"),
    [(("note", "1", "\udcff"), "The note"), (("void", "1", "--reason", "\udcff"), "The reason")],
)
def test_bytes_that_are_no_text_are_refused_and_nothing_is_written(
    home: Path, words: tuple[str, ...], what: str
) -> None:
    last = last_line(home)

    told = run("journal", *words, "--home", str(home))

    assert told.returncode == 2
    assert told.stderr.startswith(f"{what} holds characters that are no text in UTF-8. Write ")
    assert last == last_line(home)


def cut(home: Path, after: int) -> None:
    """Take the lines after one away and leave every part of the file as it was."""
    with closing(sqlite3.connect(home / "journal.sqlite", isolation_level=None)) as connection:
        sql = "SELECT sql FROM sqlite_schema WHERE name = 'entry_is_never_deleted'"
        (guard,) = connection.execute(sql).fetchone()
        connection.execute("DROP TRIGGER entry_is_never_deleted")
        connection.execute("DELETE FROM entry WHERE seq > ?", (after,))
        connection.execute(guard)


def test_a_tail_that_was_cut_off_is_missed(home: Path) -> None:
    held = json.loads(run("journal", "verify", "--home", str(home), "--json").stdout)
    cut(home, held["lines"] - 5)

    told = run("journal", "verify", "--home", str(home))

    assert told.returncode == 1
    assert told.stderr.startswith(
        f"5 lines are missing at the end: the totals were made at line {held['lines']},"
        f" head {held['head'][:16]}"
    )
    assert "rebuild" not in told.stderr


def test_a_cut_tail_is_not_hidden_by_new_totals_unless_somebody_says_so(home: Path) -> None:
    lines = json.loads(run("journal", "verify", "--home", str(home), "--json").stdout)["lines"]
    cut(home, lines - 1)
    refused = run("journal", "rebuild", "--home", str(home))
    still = run("journal", "verify", "--home", str(home))
    anyway = run("journal", "rebuild", "--anyway", "--home", str(home))
    after = run("journal", "verify", "--home", str(home))

    assert [1, 1, 0, 0] == [each.returncode for each in (refused, still, anyway, after)]
    assert refused.stderr.startswith("1 line is missing at the end")


def test_a_cut_tail_is_not_hidden_by_a_next_line(home: Path) -> None:
    lines = json.loads(run("journal", "verify", "--home", str(home), "--json").stdout)["lines"]
    cut(home, lines - 2)

    told = run("journal", "note", "1", "nothing happened here", "--home", str(home))

    assert told.returncode == 4
    assert told.stderr.startswith("2 lines are missing at the end")
    assert run("journal", "verify", "--home", str(home)).returncode == 1


def test_a_cut_tail_is_not_hidden_by_an_older_version(home: Path) -> None:
    """A file that says it is of the first form is brought up, and knows its last line still."""
    lines = json.loads(run("journal", "verify", "--home", str(home), "--json").stdout)["lines"]
    cut(home, lines - 2)
    change(home, "PRAGMA user_version = 1")

    refused = run("journal", "rebuild", "--home", str(home))
    told = run("journal", "note", "1", "nothing happened here", "--home", str(home))

    assert [1, 4] == [refused.returncode, told.returncode]
    assert refused.stderr.startswith("2 lines are missing at the end")
    assert told.stderr.startswith("2 lines are missing at the end")


@pytest.mark.parametrize(
    ("statements", "says"),
    [
        (("DROP TRIGGER journal_is_never_deleted", "DELETE FROM journal"), "lost its identity"),
        (("DROP TABLE journal",), "lost its table 'journal'"),
        (("DROP TABLE entry",), "lost its table 'entry'"),
        (("DROP TABLE run",), "The part 'run'"),
        (("DROP TABLE totals_made_at",), "The part 'totals_made_at'"),
        (("DELETE FROM totals_made_at",), "its totals do not say at which"),
        (("DELETE FROM totals_made_at", THIRD), "its totals were made at line 3"),
        (("UPDATE totals_made_at SET digest = 'x'",), "is not the one it was"),
        (("UPDATE run SET open_lifted = 'x'",), "none that a station writes"),
        (("UPDATE run SET counts = '[1]'",), "none that a station writes"),
        (("UPDATE tally SET verdict = 'x'",), "none that a station writes"),
        (
            ("CREATE TRIGGER blind AFTER INSERT ON entry BEGIN SELECT 1; END",),
            "a part 'blind' that weighstation did not make",
        ),
        (("PRAGMA user_version = 1",), "a part 'totals_made_at' that"),
    ],
)
def test_verify_says_in_one_sentence_what_is_wrong_with_the_file(
    home: Path, statements: tuple[str, ...], says: str
) -> None:
    change(home, *statements)

    told = run("journal", "verify", "--home", str(home))

    assert told.returncode == 1
    assert says in told.stderr
    assert 1 == len(told.stderr.splitlines())
    assert "fault in weighstation" not in told.stderr


def test_a_station_does_not_begin_on_a_journal_that_lost_its_identity(home: Path) -> None:
    change(home, "DROP TRIGGER journal_is_never_deleted", "DELETE FROM journal")

    band = ("--target", "740", "--under", "8", "--over", "8")
    told = run("divide", *band, "--port", "simulated://?pieces=1", "--home", str(home))

    assert told.returncode == 4
    assert "lost its identity" in told.stderr


def test_an_empty_file_is_no_journal_that_holds(home: Path) -> None:
    for file in home.glob("journal.sqlite*"):
        file.unlink()
    (home / "journal.sqlite").touch()

    told = run("journal", "verify", "--home", str(home))
    as_json = run("journal", "verify", "--json", "--home", str(home))

    assert [1, 1] == [told.returncode, as_json.returncode]
    assert "is empty: there is no line in it." in told.stderr
    assert json.loads(as_json.stdout)["holds"] is False


def test_a_piece_is_struck_out_once(home: Path) -> None:
    first = run("journal", "void", "1", "--reason", "fell", "--home", str(home))
    again = run("journal", "void", "1", "--reason", "fell", "--home", str(home))
    line = first.stdout.split(":")[0].removeprefix("Line ")

    assert [0, 2] == [first.returncode, again.returncode]
    assert f"is struck out already, by line {line}." in again.stderr


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM run",
        "UPDATE run SET started_seq = started_seq + 1",
        "UPDATE run SET started_seq = 9999",
        "UPDATE run SET continues = 'gone'",
        "UPDATE run SET target_mg = 1",
    ],
)
def test_no_sheet_is_made_of_a_run_that_is_not_as_its_lines_say(home: Path, statement: str) -> None:
    change(home, statement)

    told = run("journal", "sheet", "--home", str(home))

    assert told.returncode == 1, told.stdout
    assert "'weighstation journal verify' says what is wrong" in told.stderr
    assert told.stdout == ""


def test_no_sheet_is_made_of_a_line_that_was_changed(home: Path) -> None:
    """The totals are changed with it, so that the two agree."""
    change(
        home,
        "DROP TRIGGER entry_is_never_updated",
        "UPDATE entry SET body = replace(body, '\"touches\":0', '\"touches\":1') WHERE seq ="
        " (SELECT min(seq) FROM entry WHERE body LIKE '%\"touches\":0%' AND kind = 'piece_kept')",
        "UPDATE run SET touches = touches + 1",
    )

    told = run("journal", "sheet", "--home", str(home))

    assert told.returncode == 1
    assert "does not follow from the lines before it" in told.stderr


def test_no_earlier_batch_is_shown_for_the_last_one(home: Path) -> None:
    """Without its row the last run would be passed over in silence."""
    words = ("--port", "simulated://?seed=2&pieces=2&speed=max", "--fresh", "--events")
    again = run("divide", "Country loaf", *words, "--home", str(home))
    assert again.returncode == 0, again.stderr
    change(home, "DELETE FROM run WHERE started_seq > 1")

    told = run("journal", "sheet", "--home", str(home))

    assert told.returncode == 1
    assert told.stdout == ""

"""What is particular to a journal in a file."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from rights import bound_by_rights

from weighstation.errors import (
    ChainBrokenError,
    JournalError,
    JournalFullError,
    SpecificationError,
)
from weighstation.events import Piece, Verdict, Voided
from weighstation.journal import Kind, Line, RunStarted, codec, digest
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.stores import (
    SqliteStore,
    open_for_reading,
    open_for_writing,
    opening,
)
from weighstation.station.stores.lock import WriterLock

STARTED = codec.run_started(
    RunStarted(
        run="r1",
        product=Product("Rye", Limits(740_000, 8000, 8000)),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="simulated://?seed=1",
        software="0.1.0",
        division_mg=1000,
    )
)


def piece(number: int) -> Piece:
    return Piece(number, number * 5.0, number * 5.0 - 3.0, 752_000, 741_000, 1, Verdict.KEEP)


def kept(number: int) -> Line:
    return Line(Kind.PIECE_KEPT, codec.piece_kept("r1", piece(number), dough_t_s=0.0), number)


def opened(path: Path) -> SqliteStore:
    return open_for_writing(path, journal_id="ab" * 16, station="bench-1")


def morning(path: Path) -> None:
    with closing(opened(path)) as store:
        store.append(Line(Kind.RUN_STARTED, STARTED, 0))
        for number in range(1, 6):
            store.append(kept(number))
        store.append(
            Line(Kind.VOIDED, codec.voided("r1", Voided(1.0, piece(5), "x"), dough_t_s=0.0), 9)
        )


def tampered(path: Path, *statements: str) -> None:
    """Do to the file what a person with an SQLite shell can."""
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        for statement in statements:
            raw.execute(statement)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.sqlite"


def test_the_file_syncs_every_commit(path: Path) -> None:
    with closing(opened(path)) as store:
        modes = [
            store._connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous")
        ]

    assert ["wal", 2] == modes  # 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("UPDATE entry SET body = '{}' WHERE seq = 2", "never changed"),
        ("DELETE FROM entry WHERE seq = 7", "never deleted"),
        ("DELETE FROM entry", "never deleted"),
        ("INSERT OR REPLACE INTO entry SELECT 3,station,0,kind,body,digest FROM entry", "gaps"),
        ("INSERT INTO entry SELECT 9,station,0,kind,body,digest FROM entry LIMIT 1", "gaps"),
        ("INSERT INTO entry SELECT 0,station,0,kind,body,digest FROM entry LIMIT 1", "gaps"),
        ("UPDATE journal SET id = 'other'", "identity"),
        ("DELETE FROM journal", "identity"),
    ],
)
def test_the_file_itself_refuses_to_change_a_line(path: Path, statement: str, says: str) -> None:
    morning(path)

    with pytest.raises(sqlite3.IntegrityError, match=says):
        tampered(path, statement)


@pytest.mark.parametrize(
    ("edit", "seq"),
    [
        ("UPDATE entry SET body = replace(body, '741000', '740000') WHERE seq = 4", 4),
        ("UPDATE entry SET t_utc_ms = t_utc_ms + 1 WHERE seq = 2", 2),
        ("UPDATE entry SET station = 'bench-2' WHERE seq = 3", 3),
        ("UPDATE entry SET kind = 'piece_lifted' WHERE seq = 5", 5),
        ("UPDATE entry SET kind = 'no_such_kind' WHERE seq = 5", 5),
        ("UPDATE entry SET digest = upper(digest) WHERE seq = 6", 6),
        ("UPDATE entry SET body = CAST(x'ff' AS TEXT) WHERE seq = 2", 2),
        ("UPDATE entry SET body = body || ' ' WHERE seq = 2", 2),
        ("DELETE FROM entry WHERE seq = 3", 3),
        ("DELETE FROM entry WHERE seq = 1", 1),
        ("UPDATE entry SET seq = 8 WHERE seq = 7", 7),
        ("UPDATE journal SET id = 'other'", 1),
    ],
)
def test_verify_names_the_line_that_was_edited_behind_the_triggers(
    path: Path, edit: str, seq: int
) -> None:
    morning(path)
    names = (
        "entry_is_never_updated entry_is_never_deleted entry_has_no_gaps"
        " journal_is_never_updated journal_is_never_deleted"
    )
    tampered(path, *(f"DROP TRIGGER {name}" for name in names.split()))
    # An index over a text that is no JSON cannot be kept.
    tampered(path, "DROP INDEX entry_by_piece", edit)

    with closing(open_for_reading(path)) as store, pytest.raises(ChainBrokenError) as caught:
        store.verify()

    assert seq == caught.value.seq


@pytest.mark.parametrize(
    "edit",
    [
        "UPDATE run SET kept_sum_d_mg = kept_sum_d_mg - 1",
        "UPDATE tally SET n = n + 1",
        "DELETE FROM tally",
        "DELETE FROM run",
        "INSERT INTO tally VALUES ('r1', 9, 'keep', 9, 1, 0, 0, 0)",
        "INSERT INTO tally VALUES ('r9', 9, 'keep', 9, 1, 0, 0, 0)",
        "UPDATE run SET run = 'r9'",
    ],
)
def test_verify_finds_totals_that_do_not_agree_and_rebuild_mends_them(
    path: Path, edit: str
) -> None:
    morning(path)
    with closing(open_for_reading(path)) as store:
        good = list(store.dump())
    tampered(path, edit)

    with closing(opened(path)) as store:
        with pytest.raises(ChainBrokenError, match="totals of the run that starts with line 1 "):
            store.verify()
        store.rebuild()
        assert store.verify().seq == 7
        assert good == list(store.dump())


def test_a_forged_line_that_no_station_writes_is_named(path: Path) -> None:
    """The forger digests everything anew, but the line makes no sense in its run."""
    morning(path)
    with closing(open_for_reading(path)) as store:
        entries = list(store.entries())
    entries[4] = replace(entries[4], body=entries[4].body.replace('"number":4', '"nummer":4'))
    tampered(path, "DROP TRIGGER entry_is_never_updated")
    prev = "ab" * 16
    with closing(sqlite3.connect(path, isolation_level=None)) as raw:
        for entry in entries:
            prev = digest(prev, entry)
            values = (entry.body, prev, entry.seq)
            raw.execute("UPDATE entry SET body = ?, digest = ? WHERE seq = ?", values)

    with (
        closing(open_for_reading(path)) as store,
        pytest.raises(ChainBrokenError, match="lacks its number 'number'") as caught,
    ):
        store.verify()

    assert caught.value.seq == 5


def test_rebuild_mends_totals_that_were_dropped(path: Path) -> None:
    morning(path)
    with closing(open_for_reading(path)) as store:
        good = list(store.dump())
    tampered(path, "DROP TABLE run", "DROP TABLE tally", "DROP VIEW piece")

    with closing(opened(path)) as store:
        with pytest.raises(JournalError, match="part 'run'"):
            store.verify()
        store.rebuild()
        assert good == list(store.dump())


def test_a_journal_goes_on_where_it_stopped(path: Path) -> None:
    morning(path)
    with closing(open_for_writing(path, journal_id="ff" * 16, station="other")) as store:
        entry = store.append(kept(6))

        assert (8, "bench-1", "ab" * 16) == (entry.seq, entry.station, store.journal_id)
        assert store.verify().seq == 8


def test_totals_that_do_not_agree_are_named_by_their_own_run(path: Path) -> None:
    morning(path)
    with closing(opened(path)) as store:
        second = {**STARTED, "run": "r2"}
        store.append(Line(Kind.RUN_STARTED, second, 10))
    tampered(path, "UPDATE run SET ms = ms + 1 WHERE run = 'r2'")

    with closing(open_for_reading(path)) as store, pytest.raises(ChainBrokenError) as caught:
        store.verify()

    assert caught.value.seq == 8


def test_a_disk_that_cannot_keep_a_log_is_refused() -> None:
    """Memory cannot, and neither can most network shares."""
    with (
        closing(sqlite3.connect(":memory:", isolation_level=None)) as connection,
        pytest.raises(JournalError, match="cannot hold a journal") as caught,
    ):
        opening._prepare(connection, Path("j.sqlite"), "ab", "bench-1")

    assert "on a disk of this machine" in caught.value.sentence


def test_a_reader_sees_what_the_station_writes_meanwhile(path: Path) -> None:
    with closing(opened(path)) as writer:
        writer.append(Line(Kind.RUN_STARTED, STARTED, 0))
        with closing(open_for_reading(path)) as reader:
            assert reader.head().seq == 1
            writer.append(kept(1))
            assert reader.head().seq == 2
            assert reader.verify() == writer.head()
            assert 1 == len(reader.pieces("r1"))


class Unsure:
    """A connection that carries out one COMMIT and reports that it failed."""

    def __init__(self, real: sqlite3.Connection) -> None:
        self._real = real
        self._failed = False

    def execute(self, sql: str, values: tuple[object, ...] = ()) -> sqlite3.Cursor:
        done = self._real.execute(sql, values)
        if sql == "COMMIT" and not self._failed:
            self._failed = True
            error = sqlite3.OperationalError("disk I/O error")
            error.sqlite_errorcode = sqlite3.SQLITE_IOERR_FSYNC
            raise error
        return done

    @property
    def in_transaction(self) -> bool:
        return self._real.in_transaction

    def close(self) -> None:
        self._real.close()


def test_after_a_commit_of_which_nobody_knows_the_file_decides(path: Path) -> None:
    morning(path)
    with closing(opened(path)) as store:
        store._connection = Unsure(store._connection)  # type: ignore[assignment]
        with pytest.raises(JournalFullError, match="does not answer"):
            store.append(kept(6))
        assert store.append(kept(7)).seq == 9
        assert store.verify().seq == 9


def test_a_reader_cannot_write(path: Path) -> None:
    morning(path)

    with closing(open_for_reading(path)) as reader:
        with pytest.raises(JournalFullError, match="read-only"):
            reader.append(kept(6))
        assert reader.verify().seq == 7


def test_nothing_is_written_to_a_file_that_was_taken_away(path: Path, tmp_path: Path) -> None:
    """POSIX keeps a file that has no name any more until it is closed: lines there are lost."""
    morning(path)
    away = tmp_path / "away.sqlite"
    with closing(opened(path)) as store:
        path.rename(away)
        with pytest.raises(JournalFullError, match="taken away"):
            store.append(kept(6))
        path.touch()
        with pytest.raises(JournalFullError, match="replaced"):
            store.append(kept(6))
        away.replace(path)

        assert store.append(kept(6)).seq == 8
        assert store.verify().seq == 8


def test_a_second_station_on_the_same_journal_is_refused(path: Path) -> None:
    with closing(opened(path)), pytest.raises(JournalError, match="Another station is writing"):
        opened(path)
    opened(path).close()


def test_another_process_is_refused_too_until_the_first_is_gone(path: Path) -> None:
    path.parent.mkdir(exist_ok=True)
    code = (
        "import sys, pathlib; from weighstation.station.stores.lock import WriterLock;"
        "lock = WriterLock(pathlib.Path(sys.argv[1])); print('held', flush=True); sys.stdin.read()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        with pytest.raises(JournalError, match="Another station"):
            WriterLock(path)
        other.kill()
        other.wait()
        WriterLock(path).release()


def test_there_is_nothing_to_read_before_the_first_line(path: Path) -> None:
    with pytest.raises(SpecificationError, match="no journal at") as caught:
        open_for_reading(path)

    assert caught.value.exit_code == 2


def test_a_file_that_was_made_and_nothing_more_is_begun_again(path: Path) -> None:
    """The power may go between making the file and its first table."""
    path.touch()

    with pytest.raises(SpecificationError, match="no journal at"):
        open_for_reading(path)
    morning(path)
    with closing(open_for_reading(path)) as store:
        assert store.verify().seq == 7


def test_a_file_that_is_no_database_is_left_alone(path: Path) -> None:
    path.write_bytes(b"flour, water, salt, and more than a hundred bytes of it" * 20)
    before = path.read_bytes()

    for way_in in (open_for_reading, opened):
        with pytest.raises(JournalError, match="damaged or is no journal") as caught:
            way_in(path)
        assert caught.value.exit_code == 4
    assert before == path.read_bytes()


def test_a_database_of_something_else_is_left_alone(path: Path) -> None:
    tampered(path, "CREATE TABLE recipe (name TEXT)")

    for way_in in (open_for_reading, opened):
        with pytest.raises(JournalError, match="no journal of a weighstation"):
            way_in(path)


def test_a_name_of_two_lines_is_refused(path: Path) -> None:
    with pytest.raises(JournalError, match="one line"):
        open_for_writing(path, journal_id="ab", station="bench\n1")


def test_a_path_with_odd_characters_works(tmp_path: Path) -> None:
    odd = tmp_path / "Bäckerei ?mode=memory#50%"
    morning(odd / "j.sqlite")

    with closing(open_for_reading(odd / "j.sqlite")) as store:
        assert store.verify().seq == 7
    assert {"j.sqlite", "j.sqlite.lock"} <= {file.name for file in odd.iterdir()}


OPENED = """
import sys
from pathlib import Path
from weighstation.errors import JournalFullError
from weighstation.station.stores import open_for_writing
try:
    open_for_writing(Path(sys.argv[1]), journal_id="ab" * 16, station="bench-1").close()
except JournalFullError as refused:
    print(refused)
"""


@pytest.mark.skipif(os.name != "posix", reason="needs POSIX rights")
def test_a_folder_that_may_not_be_written_is_answered_in_one_sentence(tmp_path: Path) -> None:
    folder = tmp_path / "kept"
    folder.mkdir()

    assert "" == opened_by_another(folder / "home" / "j.sqlite")
    folder.chmod(stat.S_IRUSR | stat.S_IXUSR)
    said = opened_by_another(folder / "other" / "j.sqlite")
    folder.chmod(stat.S_IRWXU)
    assert "cannot be written" in said
    assert 1 == len(said.splitlines())
    assert ["home"] == [each.name for each in folder.iterdir()]


def opened_by_another(journal: Path) -> str:
    """Open a journal in a process that rights bind, and return why it was refused."""
    command = [*bound_by_rights(), sys.executable, "-c", OPENED, str(journal)]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def test_finding_a_piece_does_not_read_the_whole_run(path: Path) -> None:
    morning(path)
    with closing(open_for_reading(path)) as store:
        plan = store._connection.execute(
            "EXPLAIN QUERY PLAN SELECT * FROM piece WHERE run = 'r1' AND number = 3"
        ).fetchall()
    steps = [row[3] for row in plan if " entry" in row[3]]

    assert steps
    assert all("USING INDEX entry_by_piece" in step for step in steps)


def test_a_checkpoint_empties_the_log_into_the_file(path: Path) -> None:
    with closing(opened(path)) as store:
        store.append(Line(Kind.RUN_STARTED, STARTED, 0))
        for number in range(1, 70):
            store.append(kept(number))
        before = path.stat().st_size
        store.checkpoint()

        assert path.stat().st_size > before

"""``journal``: shown, proved, rebuilt, noted and struck out at the desk."""

from __future__ import annotations

import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import pytest
from station_process import BAND, weighstation

from weighstation.events import Piece, Verdict, Voided
from weighstation.journal import Kind, Line, codec
from weighstation.station.commands.batches.sheet import batch_figures
from weighstation.station.stores import open_for_reading, open_for_writing

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="module")
def divided(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Divide a batch of five pieces, for every test to take a copy of."""
    folder = tmp_path_factory.mktemp("divided")
    port = "simulated://?pieces=5&seed=1&speed=max"
    weighstation("divide", "--port", port, *BAND, "--events", home=folder)
    return folder


@pytest.fixture
def home(divided: Path, tmp_path: Path) -> Path:
    """A home whose journal holds a batch of five pieces."""
    return shutil.copytree(divided, tmp_path / "home")


def lines_of(home: Path) -> list[dict[str, Any]]:
    said = weighstation("journal", "show", "--last", "999", "--json", home=home).stdout
    return [json.loads(line) for line in said.splitlines()]


def sheet_of(home: Path) -> dict[str, Any]:
    sheet: dict[str, Any] = json.loads(weighstation("journal", "sheet", "--json", home=home).stdout)
    return sheet


def test_last_lines_are_shown_for_people(home: Path) -> None:
    shown = weighstation("journal", "show", "--last", "2", home=home)

    assert 0 == shown.returncode
    assert 2 == len(shown.stdout.splitlines())
    assert "piece 5: " in shown.stdout
    assert "done" in shown.stdout


def test_verify_tells_lines_and_head(home: Path) -> None:
    lines = lines_of(home)
    said = json.loads(weighstation("journal", "verify", "--json", home=home).stdout)

    assert {"holds": True, "lines": 7, "head": lines[-1]["digest"], "set_back": None} == said


def test_verify_names_the_first_line_after_a_clock_set_back(home: Path) -> None:
    """It is told and it is no fault: the lines hold all the same."""
    path = home / "journal.sqlite"
    with closing(open_for_writing(path, journal_id="ab", station="bench-1")) as store:
        for about in (1, 2):
            store.append(Line(Kind.NOTED, codec.noted(about, "in 1970"), 0))
    told = weighstation("journal", "verify", home=home)
    said = json.loads(weighstation("journal", "verify", "--json", home=home).stdout)

    assert 0 == told.returncode
    assert "Line 8 is dated before line 7: the station's clock was set back.\n" in told.stdout
    assert (True, 8) == (said["holds"], said["set_back"])


def test_a_moment_is_held_still_while_a_station_writes(home: Path) -> None:
    """A sheet reads totals first and lines later; a line that comes between is in neither."""
    path = home / "journal.sqlite"
    with (
        closing(open_for_writing(path, journal_id="ab", station="bench-1")) as writer,
        closing(open_for_reading(path)) as reader,
    ):
        run = reader.runs()[-1].run
        with reader.one_moment():
            reader.head()
            struck = Piece(1, 0.0, 0.0, 740_000, 740_000, 0, Verdict.KEEP)
            counted = writer.pieces(run)[0]
            body = codec.voided(run, Voided(0.0, struck, "fell"), dough_t_s=0.0)
            body = {**body, **asdict(counted), "verdict": counted.verdict.value}
            writer.append(Line(Kind.VOIDED, body, 0))

            assert (7, 5) == (reader.head().seq, reader.run(run).kept.n)  # type: ignore[union-attr]
        assert (8, 4) == (reader.head().seq, batch_figures(reader, run).kept.n)


def test_piece_struck_out_counts_no_longer_and_its_line_stays(home: Path) -> None:
    before = sheet_of(home)
    result = weighstation("journal", "void", "3", "--reason", "fell on the floor", home=home)
    after, lines = sheet_of(home), lines_of(home)

    assert 0 == result.returncode, result.stderr
    assert (5, 4) == (before["pieces"], after["pieces"])
    assert 1 == after["voided"]
    assert "fell on the floor" == lines[-1]["body"]["reason"]
    assert 5 == sum(line["kind"] == "piece_kept" for line in lines)
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_piece_cannot_be_struck_out_twice(home: Path) -> None:
    weighstation("journal", "void", "3", home=home)
    again = weighstation("journal", "void", "3", home=home)

    assert 2 == again.returncode
    assert again.stderr.startswith("Piece 3 of run ")
    assert "is struck out already, by line 8." in again.stderr


def test_better_reason_is_noted_by_a_line_of_its_own(home: Path) -> None:
    weighstation("journal", "void", "3", home=home)
    weighstation("journal", "note", "8", "it was the  tray", home=home)
    last = lines_of(home)[-1]

    assert ("noted", 8, "it was the  tray") == (
        last["kind"],
        last["body"]["about"],
        last["body"]["text"],
    )
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_a_note_cannot_play_with_the_terminal(home: Path) -> None:
    weighstation("journal", "note", "3", "wiped\x1b[2J\x07", home=home)
    shown = weighstation("journal", "show", "--last", "1", home=home).stdout

    assert shown.endswith("line 3: wiped?[2J?\n")


def test_totals_that_were_spoilt_are_found_and_rebuilt(home: Path) -> None:
    sheet = sheet_of(home)
    with sqlite3.connect(home / "journal.sqlite") as journal:
        tables = [
            name
            for (name,) in journal.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
        ]
        assert "tally" in tables
        journal.execute("UPDATE tally SET n = n + 1")
    spoilt = weighstation("journal", "verify", home=home)
    rebuilt = weighstation("journal", "rebuild", home=home)

    assert 1 == spoilt.returncode
    assert "journal rebuild" in spoilt.stderr
    assert 0 == rebuilt.returncode, rebuilt.stderr
    assert 0 == weighstation("journal", "verify", home=home).returncode
    assert sheet == sheet_of(home)


def test_sheet_of_an_older_run_can_be_asked_for(home: Path) -> None:
    port = "simulated://?pieces=2&seed=2&speed=max"
    weighstation("divide", "--port", port, *BAND, "--events", home=home)
    first = next(line["body"]["run"] for line in lines_of(home) if line["kind"] == "run_started")
    said = weighstation("journal", "sheet", "--run", first, "--json", home=home).stdout

    assert 5 == json.loads(said)["pieces"]
    assert 2 == sheet_of(home)["pieces"]

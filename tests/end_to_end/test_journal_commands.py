"""``journal``: shown, proved, rebuilt, noted and struck out at the desk."""

from __future__ import annotations

import json
import sqlite3
from typing import TYPE_CHECKING, Any

import pytest
from station_process import BAND, weighstation

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home whose journal holds a batch of five pieces."""
    port = "simulated://?pieces=5&seed=1&speed=max"
    weighstation("divide", "--port", port, *BAND, "--events", home=tmp_path)
    return tmp_path


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

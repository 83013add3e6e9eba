"""A journal file that was changed by hand beside its lines."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path


def run(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "weighstation", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Return the home of a station with one batch."""
    assert run("demo", "--fast", "--home", str(tmp_path)).returncode == 0
    return tmp_path


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


def test_a_piece_is_not_struck_out_for_no_reason(home: Path) -> None:
    told = run("journal", "void", "1", "--reason", " ", "--home", str(home))

    assert told.returncode == 2
    assert told.stderr.startswith("The reason is empty.")

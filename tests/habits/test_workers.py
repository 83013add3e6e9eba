"""Tests that leave the worker of their folder wait on nothing that a busy machine can spoil."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from workers import IN_REAL_TIME, ONLY_COMMANDS

TESTS = Path(__file__).parents[1]
WAITING = {"time", "threading", "select", "signal", "socket"}
WAITING |= {"station_terminal", "station_under_test", "divide_bench", "kill_trial", "unplug_trial"}


def waits_on(file: Path) -> set[str]:
    """Return what a file imports that watches a clock, a line or a running process."""
    imports = {
        name.partition(".")[0]
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    return imports & WAITING


@pytest.mark.parametrize("name", ONLY_COMMANDS)
def test_a_file_that_only_runs_commands_waits_on_nothing(name: str) -> None:
    (file,) = (found for folder in IN_REAL_TIME for found in (TESTS / folder).glob(f"{name}.py"))

    assert set() == waits_on(file)


def test_a_file_that_waits_is_seen_to() -> None:
    """Or the test above could not fail."""
    assert {"threading", "station_terminal"} <= waits_on(
        TESTS / "end_to_end" / "test_check_command.py"
    )


def test_a_folder_that_waits_keeps_to_one_worker() -> None:
    """A runner that misses the groups deals their tests out like any others, and says nothing."""
    words = ["-m", "pytest", "-v", "-n", "2", "--dist", "loadgroup", "-p", "no:cacheprovider"]
    file = TESTS / "faults" / "test_unplugged.py"
    said = subprocess.run(
        [sys.executable, *words, file, "-k", "lay_on_the_pan_at_the_start"],
        check=True,
        capture_output=True,
        text=True,
        cwd=TESTS.parent,
    ).stdout
    passed = [line.strip() for line in said.splitlines() if " PASSED " in line]

    assert 2 == len(passed)
    assert all(line.endswith("@faults") for line in passed)

"""The command line in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

RECORDINGS = Path(__file__).parents[2] / "fixtures" / "recordings"
BAND = ("--target", "740", "--under", "8", "--over", "8")


def weighstation(
    *words: str, home: Path | None = None, timeout_s: float = 180, typed: str = ""
) -> subprocess.CompletedProcess[str]:
    """Run a command to its end; standard input is no terminal."""
    env = os.environ | {"COLUMNS": "80"}
    env.pop("WEIGHSTATION_HOME", None)
    return subprocess.run(
        [sys.executable, "-m", "weighstation", *words, *(("--home", str(home)) if home else ())],
        check=False,
        capture_output=True,
        text=True,
        timeout=timeout_s,
        input=typed,
        env=env,
    )


def events_of(result: subprocess.CompletedProcess[str]) -> list[dict[str, Any]]:
    """Return the events on standard output, after checking that nothing else is there."""
    assert 0 == result.returncode, result.stderr
    return [json.loads(line) for line in result.stdout.splitlines()]


def of_kind(events: list[dict[str, Any]], kind: str) -> list[dict[str, Any]]:
    """Return the events of one kind."""
    return [event for event in events if event["event"] == kind]


def truth_of(name: str) -> dict[str, Any]:
    """Return the truth beside a recording."""
    truth: dict[str, Any] = json.loads((RECORDINGS / f"{name}.truth.json").read_text())
    return truth

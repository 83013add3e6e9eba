"""The page of commands, made from each command's own ``--help``.

Run ``python tests/habits/commands_page.py`` to write it anew.
"""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import typer

from weighstation.cli import app

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "commands.md"
INTRODUCTION = """\
# Commands

This page is made from each command's own help by `tests/habits/commands_page.py`.
A test compares the two.

| exit code | meaning |
|---|---|
| 0 | done |
| 1 | done, and the answer is bad news (a broken chain, an unfit scale, a lot that fails) |
| 2 | bad usage or bad input |
| 3 | the scale or the link to it failed |
| 4 | the journal, or another file that it was asked to write, could not be written |
| 129 | stopped because its terminal has gone (SIGHUP) |
| 130 | stopped by Ctrl-C |
| 143 | told to stop (SIGTERM) |

What was counted until then is on record, and `weighstation divide` goes on with the batch.
Every fault is answered on standard error, in one sentence that says what to do next.
"""


def commands() -> list[tuple[str, ...]]:
    """Return the words of every command, groups before their members."""
    found: list[tuple[str, ...]] = [()]
    root = typer.main.get_command(app)
    for name, command in getattr(root, "commands", {}).items():
        found.append((name,))
        found += [(name, member) for member in getattr(command, "commands", {})]
    return found


@cache
def help_of(words: tuple[str, ...]) -> str:
    """Return what a command says of itself, in a process of its own."""
    result = subprocess.run(
        [sys.executable, "-m", "weighstation", *words, "--help"],
        check=True,
        capture_output=True,
        text=True,
        env=os.environ | {"COLUMNS": "80"},
    )
    return "\n".join(line.rstrip() for line in result.stdout.strip().splitlines())


def page() -> str:
    """Return the whole page."""
    parts = [INTRODUCTION]
    for words in commands():
        title = " ".join(("weighstation", *words))
        parts.append(f"## {title}\n\n```text\n{help_of(words)}\n```\n")
    return "\n".join(parts)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")

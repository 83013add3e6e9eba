"""How long ``weighstation --help`` takes beside the smallest typer program with two commands.

Pairs are run one after the other, each in a fresh process; the ratio of the medians is what
travels from machine to machine. Run: ``python tests/benchmarks/help_time.py``.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PAIRS = 25
TWO_COMMANDS = '''\
import typer

app = typer.Typer(rich_markup_mode=None, add_completion=False)


@app.command()
def one(name: str, count: int = 1) -> None:
    """Say one thing."""


@app.command()
def two(name: str, loud: bool = False) -> None:
    """Say another."""


app()
'''


def seconds(command: list[str]) -> float:
    """Return how long a command takes, in seconds."""
    begun = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


def main() -> None:
    """Print both medians and their ratio."""
    with tempfile.TemporaryDirectory() as folder:
        small = Path(folder) / "two_commands.py"
        small.write_text(TWO_COMMANDS)
        ours = [sys.executable, "-m", "weighstation", "--help"]
        theirs = [sys.executable, str(small), "--help"]
        seconds(ours), seconds(theirs)
        pairs = [(seconds(ours), seconds(theirs)) for _ in range(PAIRS)]
    our_s, their_s = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(f"weighstation --help    {1000 * our_s:6.1f} ms, median of {PAIRS}")
    print(f"two commands --help    {1000 * their_s:6.1f} ms")
    print(f"ratio                  {our_s / their_s:6.2f}   budget 1.5")


if __name__ == "__main__":
    main()

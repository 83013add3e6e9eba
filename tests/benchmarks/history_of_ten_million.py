"""One week's give-away out of a history of ten million pieces, beside the same week alone.

The history is a simulated bakery's years in one journal, with late voids, built by the same
appends as at a bench. Then, each as a process of its own with its peak memory:

- ``weighstation giveaway`` of one week, in the terminal's form and as JSON, in turns with the same
  week in a journal that holds nothing else; the answers must be the same but for the line they are
  as of; the ratio that is asked for is at most 1.2;
- pieces and give-away by person and hour of dough age, of that week and of all years, from the
  cells of the tallies, and from the raw pieces in Parquet by DuckDB and by pandas; the answers must
  be the same;
- with ``--proofs``: ``journal verify`` and ``journal rebuild``, which read every line.

Run: python tests/benchmarks/history_of_ten_million.py [pieces, 10000000] [--folder DIR] [--proofs]
A folder that was built before is taken as it is. Needs the extra ``bench``.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import tempfile
import time
from dataclasses import dataclass
from datetime import date, timedelta
from operator import attrgetter
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

HERE = Path(__file__).parent
WHO = ("tallies", "duckdb", "pandas")
PAIRS = 9
ENVIRONMENT = {**os.environ, "TZ": "UTC", "COLUMNS": "100"}


@dataclass(frozen=True)
class Ran:
    """A process that has ended."""

    wall_s: float
    cpu_s: float
    peak_mb: float
    said: str


def ran(*words: str | Path) -> Ran:
    """Run a program in a process of its own, and take its time and its peak memory.

    The peak is never less than that of this process, which therefore imports little.
    """
    with tempfile.TemporaryFile("w+") as said:
        began_s = time.perf_counter()
        child = os.posix_spawn(
            sys.executable,
            [sys.executable, *map(str, words)],
            ENVIRONMENT,
            file_actions=[(os.POSIX_SPAWN_DUP2, said.fileno(), 1)],
        )
        _, status, used = os.wait4(child, 0)
        wall_s = time.perf_counter() - began_s
        said.seek(0)
        text = said.read()
    if os.waitstatus_to_exitcode(status):
        sys.exit(f"{' '.join(map(str, words))} ended with {status}.")
    return Ran(wall_s, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, text)


def without_as_of(text: str) -> Any:
    """Return what a statement says, but for the line it is as of."""
    if text.startswith("{"):
        said = json.loads(text)
        del said["as_of"], said["page"]["as_of"]
        return said
    return [line for line in text.splitlines() if "s of line" not in line]


def in_turns(name: str, ask: Callable[[str], Ran]) -> None:
    """Ask history and week in turns, and print both with their ratio."""
    first = {where: ask(where) for where in ("history", "week")}
    if without_as_of(first["history"].said) != without_as_of(first["week"].said):
        sys.exit(f"{name}: the history says something else of the week than the week itself.")
    times: dict[str, list[Ran]] = {"history": [], "week": []}
    for _ in range(PAIRS):
        for where, found in times.items():
            found.append(ask(where))
    for unit in ("wall_s", "cpu_s", "peak_mb"):
        mid = {
            where: statistics.median(map(attrgetter(unit), each)) for where, each in times.items()
        }
        pairs = zip(*(map(attrgetter(unit), each) for each in times.values()), strict=True)
        ratio = statistics.median(one / other for one, other in pairs)
        print(
            f"{name:10} {unit:8} history {mid['history']:8.3f}  week {mid['week']:8.3f}"
            f"  ratio {ratio:.3f}",
            flush=True,
        )


def weeks(folder: Path, monday: date) -> None:
    """Ask for the week's statement, in both forms."""
    sunday = monday + timedelta(days=6)
    for name, form in (("terminal", ()), ("--json", ("--json",))):

        def ask(where: str, form: tuple[str, ...] = form) -> Ran:
            span = ("--from", monday.isoformat(), "--to", sunday.isoformat())
            return ran("-m", "weighstation", "giveaway", *span, *form, "--home", folder / where)

        in_turns(name, ask)


def scans(folder: Path, monday: date) -> None:
    """Ask by person and dough age, ourselves and both engines, of the week and of all years."""
    spans = {
        "week": (monday, monday + timedelta(days=7)),
        "all": (date(2000, 1, 1), date(2999, 1, 1)),
    }
    script = HERE / "raw_pieces.py"
    for name, (first, before) in spans.items():
        answers = {}
        for who in WHO:
            tries = [
                ran(script, who, folder, first.isoformat(), before.isoformat()) for _ in range(3)
            ]
            best = min(tries, key=attrgetter("wall_s"))
            answers[who] = best.said
            print(
                f"by person and dough age, {name:4}: {who:8} {best.wall_s:7.2f} s wall,"
                f" {best.cpu_s:7.2f} s processor, {best.peak_mb:6.0f} MB",
                flush=True,
            )
        if len(set(answers.values())) > 1:
            sys.exit(f"The answers differ: {answers}")
        print(f"  the same answer from all three: {len(json.loads(best.said))} groups", flush=True)


def proofs(folder: Path) -> None:
    """Read every line: prove the journal, and make its totals anew."""
    for command in ("verify", "rebuild"):
        found = ran("-m", "weighstation", "journal", command, "--home", folder / "history")
        print(
            f"journal {command}: {found.wall_s:.0f} s wall, {found.cpu_s:.0f} s processor,"
            f" {found.peak_mb:.0f} MB",
            flush=True,
        )


def main() -> None:
    """Build, ask and print."""
    words = argparse.ArgumentParser()
    words.add_argument("pieces", nargs="?", type=int, default=10_000_000)
    words.add_argument("--folder", type=Path)
    words.add_argument("--proofs", action="store_true")
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as own:
        folder = asked.folder or Path(own)
        built = folder / "monday"
        if not built.exists():
            print(
                ran(HERE / "history_build.py", folder, str(asked.pieces)).said, end="", flush=True
            )
        monday = date.fromisoformat(built.read_text())
        weeks(folder, monday)
        scans(folder, monday)
        if asked.proofs:
            proofs(folder)


if __name__ == "__main__":
    main()

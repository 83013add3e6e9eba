"""How long a replay takes beside a bare ``json.loads`` loop over the same file.

In one process: the whole of ``replay --events`` (reading the file, decoding, detecting, evaluating,
journalling in memory, writing the lines to nowhere) against ``for line in file: json.loads(line)``.
As whole processes: the command against a Python that runs that loop. Run:
``python tests/benchmarks/replay_speed.py [PIECES]``.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.acquire.recording import Arrival, Header, encode_arrival, encode_header
from weighstation.simulate import HandsSpec, ScaleSpec, morning
from weighstation.specification import Limits
from weighstation.station.bench.loop import BenchPlan
from weighstation.station.commands.dividing.replay import run_replay

if TYPE_CHECKING:
    from collections.abc import Callable

ROUNDS = 9
BAND = ("--target", "740", "--under", "8", "--over", "8")
BARE = "import json, sys\nfor line in open(sys.argv[1]):\n    json.loads(line)\n"


def write_recording(path: Path, pieces: int) -> int:
    """Write a simulated morning and return how many lines it has."""
    played = morning(ScaleSpec(), HandsSpec(), pieces=pieces, seed=1)
    lines = [encode_header(Header("simulated", 1.0))]
    lines += [encode_arrival(Arrival(chunk.t_s, chunk.data)) for chunk in played.chunks]
    path.write_text("\n".join(lines) + "\n")
    return len(lines)


def bare_loop(path: Path) -> None:
    """Read every line as JSON and forget it."""
    with path.open() as lines:
        for line in lines:
            json.loads(line)


def whole_replay(path: Path) -> None:
    """Replay a recording with its events."""
    plan = BenchPlan(Limits(740_000, 8_000, 8_000))
    with redirect_stdout(StringIO()):
        run_replay(path, plan, events=True)


def seconds(work: Callable[[], object]) -> float:
    """Return how long some work takes, in seconds."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def compare(name: str, ours: Callable[[], object], bare: Callable[[], object], lines: int) -> None:
    """Run both by turns and print the medians and the ratio."""
    ours()
    bare()
    pairs = [(seconds(ours), seconds(bare)) for _ in range(ROUNDS)]
    our_s, bare_s = (statistics.median(column) for column in zip(*pairs, strict=True))
    each = f"{1e6 * our_s / lines:6.2f} us a line"
    print(
        f"{name:<12} replay {1000 * our_s:8.1f} ms ({each})   bare {1000 * bare_s:8.1f} ms", end=""
    )
    print(f"   ratio {our_s / bare_s:6.2f}   budget 8")


def main() -> None:
    """Print the ratios for one recording."""
    pieces = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "morning.jsonl"
        lines = write_recording(path, pieces)
        print(f"{pieces} pieces, {lines} lines, median of {ROUNDS} rounds")
        compare("in process", lambda: whole_replay(path), lambda: bare_loop(path), lines)
        ours = [sys.executable, "-m", "weighstation", "replay", str(path), *BAND, "--events"]
        bare = [sys.executable, "-c", BARE, str(path)]
        compare(
            "processes",
            lambda: subprocess.run(ours, check=True, stdout=subprocess.DEVNULL),
            lambda: subprocess.run(bare, check=True),
            lines,
        )


if __name__ == "__main__":
    main()

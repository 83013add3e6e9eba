"""How long one counted piece takes to be durable, beside a bare append and sync on the same disk.

    python tests/benchmarks/commit_times.py [PIECES] [FOLDER]

Both are done in turns in one run; the log is tidied up between pieces, as at an empty pan.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path

from weighstation.events import Piece, Verdict
from weighstation.journal import Kind, Line, RunStarted, codec
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.stores import open_for_writing

RYE = Product("Rye", Limits(740_000, 8000, 8000))
STARTED = RunStarted("r1", RYE, Way.SINGLE, LiftedPolicy.GUESS, "none://", "0", division_mg=1000)


def kept(number: int) -> Line:
    final_mg = 732_000 + number * 37 % 17 * 1000
    piece = Piece(number, number * 5.0, number * 5.0 - 3.0, 752_000, final_mg, 1, Verdict.KEEP)
    return Line(Kind.PIECE_KEPT, codec.piece_kept("r1", piece, dough_t_s=0.0), number)


def timings(folder: Path, pieces: int) -> tuple[list[float], list[float]]:
    """Return the seconds of each commit and of each bare append, in order."""
    commits, bare = [], []
    with (
        closing(open_for_writing(folder / "j.sqlite", journal_id="ab", station="b")) as store,
        (folder / "bare").open("ab", buffering=0) as file,
    ):
        store.append(Line(Kind.RUN_STARTED, codec.run_started(STARTED), 0))
        for number in range(1, pieces + 1):
            line = kept(number)
            began_s = time.perf_counter()
            store.append(line)
            commits.append(time.perf_counter() - began_s)
            store.checkpoint()
            began_s = time.perf_counter()
            file.write(b"x" * 200)
            os.fsync(file.fileno())
            bare.append(time.perf_counter() - began_s)
    return commits, bare


def at(seconds: list[float], share: float) -> float:
    """Return a quantile in milliseconds."""
    return sorted(seconds)[min(int(share * len(seconds)), len(seconds) - 1)] * 1000


def main() -> None:
    pieces = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    base = sys.argv[2] if len(sys.argv) > 2 else None
    with tempfile.TemporaryDirectory(dir=base) as folder:
        commits, bare = timings(Path(folder), pieces)
    print(f"{'':24}{'p50':>9}{'p99':>9}{'max':>9}   ms")
    for name, seconds in (("one counted piece", commits), ("200 bytes and a sync", bare)):
        print(f"{name:24}" + "".join(f"{at(seconds, q):9.3f}" for q in (0.5, 0.99, 1.0)))
    tenth = max(pieces // 10, 1)
    print(f"ratio of medians {at(commits, 0.5) / at(bare, 0.5):.2f}")
    drift = at(commits[-tenth:], 0.5) / at(commits[:tenth], 0.5)
    print(f"median of the last tenth of the run beside the first: {drift:.2f}")


if __name__ == "__main__":
    main()

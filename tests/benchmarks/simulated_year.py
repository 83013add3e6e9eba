"""A simulated year in processor seconds, beside a loop that draws as many numbers, no more.

Run: python tests/benchmarks/simulated_year.py [seed, 1]
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from random import Random

from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.simulate.year import PieceWeighed, Year

NORMALS = 7
"""Of each piece: its cut, two times, four corrections."""


def bare(pieces: int) -> float:
    """Return the processor seconds that the numbers and the pieces alone take."""
    rng = Random(1)
    began_s = time.process_time()
    for number in range(pieces):
        drawn = [rng.gauss(0.0, 1.0) for _ in range(NORMALS)]
        rng.random()
        PieceFacts(number, round(drawn[0]), 0, 0, 0, 0, Verdict.KEEP, 0)
    return time.process_time() - began_s


def main() -> None:
    """Play a year and print what came of it."""
    year = Year(seed=int(sys.argv[1]) if len(sys.argv) > 1 else 1)
    began_s = time.process_time()
    count = Counter(type(fact).__name__ for fact in year.facts())
    took_s = time.process_time() - began_s
    pieces = count[PieceWeighed.__name__]
    bare_s = bare(pieces)
    for name, facts in sorted(count.items()):
        print(f"{name:16} {facts:8}")
    print(f"{took_s:.1f} s, {1e6 * took_s / pieces:.1f} us a piece")
    print(f"{took_s / bare_s:.1f} x a bare loop ({bare_s:.1f} s)")
    print(year.truth.drifted, year.truth.scale_off, year.truth.typed, sep="\n")


if __name__ == "__main__":
    main()

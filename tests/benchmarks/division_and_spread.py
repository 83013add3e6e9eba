"""What a division does to a spread: displayed over true, before and after the correction.

Prints a table for true spreads of 0.2 to 2 divisions, with the mean on a mark, half-way between
two, and anywhere. The standard deviation is that of 50,000 seeded normal weights; the short-term
spread is their mean moving range over d2, as a chart of single weights takes it.

Run: python tests/benchmarks/division_and_spread.py
"""

from __future__ import annotations

import math
import random
import statistics
from itertools import pairwise

from weighstation.errors import SpecificationError
from weighstation.monitor.resolution import sheppard_sd_g

TIMES = 50_000
D2 = 2 / math.sqrt(math.pi)


def shown(true_sd: float, between: float | None) -> list[int]:
    """Return weights on a division of 1 g; between None moves the mean with each of them."""
    draw = random.Random(1)
    return [
        round(740 + (draw.random() if between is None else between) + draw.gauss(0, true_sd))
        for _ in range(TIMES)
    ]


def anywhere(true_sd: float) -> list[list[int]]:
    """Return runs of 500, each with its own mean between two marks."""
    draw = random.Random(2)
    runs = []
    for _ in range(TIMES // 500):
        between = draw.random()
        runs.append([round(740 + between + draw.gauss(0, true_sd)) for _ in range(500)])
    return runs


def corrected(sd: float) -> str:
    """Return the corrected spread as text, or that it is refused."""
    try:
        return f"{sheppard_sd_g(sd, division_g=1.0):8.3f}"
    except SpecificationError:
        return " refused"


def line(true_sd: float) -> str:
    """Return a line of the table."""
    parts = [f"{true_sd:6.1f} "]
    for between in (0.0, 0.5):
        sd = statistics.pstdev(shown(true_sd, between))
        after = corrected(sd)
        parts.append(f"{sd / true_sd:8.3f} {after if 'r' in after else ratio(after, true_sd)}")
    sds = [statistics.pstdev(run) / true_sd for run in anywhere(true_sd)]
    steps = [
        statistics.fmean(abs(b - a) for a, b in pairwise(run)) / D2 / true_sd
        for run in anywhere(true_sd)
    ]
    parts.append(f"{statistics.fmean(sds):8.3f} {min(sds):6.2f} to {max(sds):5.2f}")
    parts.append(f"{statistics.fmean(steps):8.3f}")
    return "  ".join(parts)


def ratio(after: str, true_sd: float) -> str:
    """Return a corrected spread over the true one."""
    return f"{float(after) / true_sd:8.3f}"


def main() -> None:
    """Print the table."""
    print("displayed spread over true spread; 'after' is Sheppard's correction")
    print("  s/d    on mark    after    half-way    after   anywhere (runs of 500)  moving range")
    for tenths in (2, 3, 4, 5, 6, 8, 10, 15, 20):
        print(line(tenths / 10))


if __name__ == "__main__":
    main()

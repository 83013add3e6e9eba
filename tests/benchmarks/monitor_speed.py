"""Charts of ten million weights beside plain NumPy for the same figures, and one piece online.

Each chart and its plain counterpart run by turns in one process, the best of some runs each, and
their ratio is printed. The plain side gives the points, the limits and the places that are met; the
chart gives the same, copies and checks what it was given, and writes a sentence for each signal.
The part that runs at the bench is timed a piece at a time, in microseconds.

Run: python tests/benchmarks/monitor_speed.py [weights, 10000000] [runs, 3]
"""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING

import numpy as np

from weighstation.monitor import (
    BenchDetector,
    Moments,
    OnlineCusum,
    OnlineEwma,
    cusum,
    ewma,
    individuals,
    run_rules,
    xbar_r,
    xbar_s,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Weights = NDArray[np.float64]

TARGET_G, SPREAD_G, GROUP = 740.0, 8.0, 5
LAM, WIDTH, K, H = 0.2, 2.962, 0.5, 5.0
A2, D4, A3, B4 = 0.577, 2.114, 1.427, 2.089


def plain_individuals(x: Weights) -> object:
    """Return an individuals chart."""
    moving = np.abs(np.diff(x))
    centre, reach = x.mean(), 3 * moving.mean() / 1.128379
    return moving, np.flatnonzero((x < centre - reach) | (x > centre + reach))


def plain_ranges(x: Weights) -> object:
    """Return charts of means and ranges."""
    table = x.reshape(-1, GROUP)
    means, ranges = table.mean(axis=1), np.ptp(table, axis=1)
    centre, reach = means.mean(), A2 * ranges.mean()
    odd = np.flatnonzero((means < centre - reach) | (means > centre + reach))
    return odd, np.flatnonzero(ranges > D4 * ranges.mean())


def plain_deviations(x: Weights) -> object:
    """Return charts of means and standard deviations."""
    table = x.reshape(-1, GROUP)
    means, sds = table.mean(axis=1), table.std(axis=1, ddof=1)
    centre, reach = means.mean(), A3 * sds.mean()
    odd = np.flatnonzero((means < centre - reach) | (means > centre + reach))
    return odd, np.flatnonzero(sds > B4 * sds.mean())


def plain_ewma(x: Weights) -> object:
    """Return an EWMA by doubling, until what is left out is below a double's last place."""
    z = LAM * (x - TARGET_G)
    fade, back = 1 - LAM, 1
    while fade > 2.0**-54 and back < len(z):
        z[back:] += fade * z[:-back].copy()
        fade, back = fade * fade, 2 * back
    reach = WIDTH * SPREAD_G * (LAM / (2 - LAM)) ** 0.5
    return z + TARGET_G, np.flatnonzero(np.abs(z) > reach)


def plain_cusum(x: Weights) -> object:
    """Return both sums of a CUSUM."""
    met = []
    for side in (1, -1):
        walk = np.cumsum(side * (x - TARGET_G) - K * SPREAD_G)
        sums = walk - np.minimum(np.minimum.accumulate(walk), 0)
        met.append((sums, np.flatnonzero(sums > H * SPREAD_G)))
    return met


def plain_rules(x: Weights) -> object:
    """Return where the four zone rules are met, counting flags by their running sum."""
    z = (x - TARGET_G) / SPREAD_G
    met = []
    for least, of, beyond in ((1, 1, 3.0), (2, 3, 2.0), (4, 5, 1.0), (8, 8, 0.0)):
        for side in (1, -1):
            total = np.cumsum(side * z > beyond, dtype=np.int32)
            total[of:] -= total[:-of].copy()
            met.append(np.flatnonzero(total >= least))
    return met


PAIRS: dict[str, tuple[Callable[[Weights], object], Callable[[Weights], object]]] = {
    "individuals": (individuals, plain_individuals),
    "xbar_r, groups of 5": (lambda x: xbar_r(x.reshape(-1, GROUP)), plain_ranges),
    "xbar_s, groups of 5": (lambda x: xbar_s(x.reshape(-1, GROUP)), plain_deviations),
    "ewma": (
        lambda x: ewma(x, lam=LAM, L=WIDTH, target=TARGET_G, sigma=SPREAD_G),
        plain_ewma,
    ),
    "cusum": (lambda x: cusum(x, target=TARGET_G, sigma=SPREAD_G, k=K, h=H), plain_cusum),
    "run_rules, four zones": (
        lambda x: run_rules(x, centre=TARGET_G, sigma=SPREAD_G),
        plain_rules,
    ),
}


def seconds(work: Callable[[], object]) -> float:
    """Return how long one run takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def batch(x: Weights, runs: int) -> None:
    """Print each chart's time beside that of plain NumPy."""
    print(f"{len(x):,} weights, best of {runs}      chart     plain     ratio")
    for name, (ours, plain) in PAIRS.items():
        times = [
            (seconds(lambda: ours(x)), seconds(lambda: plain(x)))  # noqa: B023 - run at once
            for _ in range(runs)
        ]
        mine, theirs = (min(each) for each in zip(*times, strict=True))
        print(f"{name:32}{mine:8.2f} s{theirs:8.2f} s{mine / theirs:8.1f}")


def fed(feed: Callable[[float], object], x: list[float]) -> None:
    """Feed one weight after the other."""
    for each in x:
        feed(each)


def added_up(x: list[float]) -> None:
    """Make moments anew with each weight."""
    total = Moments()
    for each in x:
        total = total.plus(each)


def watched(x: list[float]) -> None:
    """Feed the detector of the bench."""
    detector = BenchDetector(TARGET_G, sigma_g=SPREAD_G)
    for number, each in enumerate(x, 1):
        detector.feed(number, each)


ONLINE: dict[str, Callable[[list[float]], object]] = {
    "Moments.plus": added_up,
    "Moments.of": Moments.of,
    "OnlineEwma.feed": lambda x: fed(OnlineEwma(LAM, TARGET_G).feed, x),
    "OnlineCusum.feed": lambda x: fed(
        OnlineCusum(target=TARGET_G, sigma=SPREAD_G, k=K, h=H).feed, x
    ),
    "BenchDetector.feed": watched,
}


def online(x: list[float], runs: int) -> None:
    """Print what one piece costs at the bench."""
    print(f"\n{len(x):,} pieces one by one, best of {runs}: microseconds a piece")
    for name, work in ONLINE.items():
        best = min(seconds(lambda: work(x)) for _ in range(runs))  # noqa: B023 - run at once
        print(f"{name:32}{best / len(x) * 1e6:8.2f}")


def main() -> None:
    """Print both tables."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000_000
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    x = TARGET_G + SPREAD_G * np.random.default_rng(1).standard_normal(count - count % GROUP)
    batch(x, runs)
    online(x[:200_000].tolist(), runs)


if __name__ == "__main__":
    main()

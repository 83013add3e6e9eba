"""The detector of the bench on simulated doughs: how often it rings falsely, and how soon rightly.

A dough is 48 first cuts around 740 g with a spread of 8 g, each cut taking after the one before it
by a lag-1 autocorrelation of 0 to 0.3. The cuts are simulated; no open data set of weighed dough
was found. Beside the detector stand the Western Electric zone rules, all four and the first alone,
on the same doughs and with the same known mean and spread. Everything runs through the package's
own faces. ``--choice`` prints the pairs of allowance and limit that the defaults were chosen from.

Run: python tests/benchmarks/bench_detector.py [doughs, 5000] [--choice]
"""

from __future__ import annotations

import math
import statistics
import sys
from typing import TYPE_CHECKING

import numpy as np

from weighstation.monitor import WESTERN_ELECTRIC, BenchDetector, Rule, run_rules
from weighstation.monitor.bench import cautious_sd

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    Cuts = NDArray[np.float64]
    Watch = Callable[[Cuts], int | None]

PIECES, TARGET_G, SPREAD_G, STEP_AT = 48, 740.0, 8.0, 12
HISTORIES = (2, 5, 20)
LAGS = (0.0, 0.1, 0.2, 0.3)
HALF_PERCENT_G = TARGET_G * 0.005


def doughs(count: int, lag_1: float, seed: int) -> Cuts:
    """Return deviations of first cuts in spreads, doughs by pieces, from a long run before."""
    z = np.random.default_rng(seed).standard_normal((count, PIECES + 20))
    for place in range(1, PIECES + 20):
        z[:, place] = lag_1 * z[:, place - 1] + math.sqrt(1 - lag_1**2) * z[:, place]
    return z[:, 20:]


def bench(sigma_g: float | None) -> Watch:
    """Return the detector of the bench, which is given a spread or learns it."""

    def first(cuts_g: Cuts) -> int | None:
        detector = BenchDetector(TARGET_G, sigma_g=sigma_g)
        for number, grams in enumerate(cuts_g.tolist(), 1):
            if detector.feed(number, grams):
                return number
        return None

    return first


def zones(rules: Sequence[Rule]) -> Watch:
    """Return zone rules with the true mean and spread."""

    def first(cuts_g: Cuts) -> int | None:
        found = run_rules(cuts_g, centre=TARGET_G, sigma=SPREAD_G, rules=rules)
        return found[0].index + 1 if found else None

    return first


WATCHES: dict[str, Watch] = {
    "bench detector, spread known": bench(SPREAD_G),
    "bench detector, spread learned": bench(None),
    "four zone rules": zones(WESTERN_ELECTRIC),
    "beyond 3 sigma alone": zones([Rule.BEYOND_3_SIGMA]),
}

WRONG: dict[str, Watch] = {
    "bench, spread given 20 % small": bench(0.8 * SPREAD_G),
    "bench, spread given 20 % large": bench(1.2 * SPREAD_G),
}


def steady() -> Cuts:
    """Return no shift."""
    return np.zeros(PIECES)


def step(spreads: float) -> Cuts:
    """Return a shift that comes after the twelfth piece, in grams."""
    return np.where(np.arange(PIECES) >= STEP_AT, spreads * SPREAD_G, 0.0)


def drift(per_dough_g: float) -> Cuts:
    """Return a shift that grows from the first piece to the last, in grams."""
    return np.linspace(0.0, per_dough_g, PIECES)


def firsts(watch: Watch, z: Cuts, shift_g: Cuts, spread_g: float = SPREAD_G) -> list[int | None]:
    """Return at which piece it first rings; another spread is scaled to the one that it expects."""
    return [watch(TARGET_G + SPREAD_G * (row + shift_g / spread_g)) for row in z]


def false_alarms(count: int) -> None:
    """Print the share of good doughs that ring."""
    print(f"\nshare of {count} good doughs of {PIECES} that ring, by lag-1 autocorrelation")
    print(f"{'':32}" + "".join(f"{lag:>8}" for lag in LAGS))
    for name, watch in (WATCHES | WRONG).items():
        shares = [
            sum(each is not None for each in firsts(watch, doughs(count, lag, 1), steady())) / count
            for lag in LAGS
        ]
        print(f"{name:32}" + "".join(f"{share:8.1%}" for share in shares))

    for before in HISTORIES:
        shares = [rung_after(before, count, lag) for lag in LAGS]
        title = f"bench, spread of {before} doughs before"
        print(f"{title:32}" + "".join(f"{share:8.1%}" for share in shares))


def rung_after(before: int, count: int, lag_1: float) -> float:
    """Return the share of good doughs that ring, each with a spread from doughs before it."""
    history = doughs(count * before, lag_1, 5).reshape(count, before, PIECES)
    spreads = np.sqrt(history.var(axis=2, ddof=1).mean(axis=1)).tolist()
    rung = 0
    for row, spread in zip(doughs(count, lag_1, 1), spreads, strict=True):
        watch = bench(cautious_sd(SPREAD_G * spread, n=before * PIECES))
        rung += watch(TARGET_G + SPREAD_G * row) is not None
    return rung / count


def delays(count: int) -> None:
    """Print how soon a shift is found, at lag-1 0.3."""
    z = doughs(count, 0.3, 2)
    scenes: list[tuple[str, Cuts, int, float]] = [
        ("off by 1 spread from the start", np.full(PIECES, SPREAD_G), 0, SPREAD_G),
        ("step of 1 spread after piece 12", step(1), STEP_AT, SPREAD_G),
        ("step of 2 spreads after piece 12", step(2), STEP_AT, SPREAD_G),
        ("30 g heavier after piece 12", step(30 / SPREAD_G), STEP_AT, SPREAD_G),
        ("drift of 0.5 % in 10 pieces", drift(HALF_PERCENT_G * 4.7), 0, SPREAD_G),
        ("drift of 0.5 % in the dough", drift(HALF_PERCENT_G), 0, SPREAD_G),
        ("the same, spread 4 g", drift(HALF_PERCENT_G), 0, 4.0),
        ("the same, spread 2 g", drift(HALF_PERCENT_G), 0, 2.0),
    ]
    print(f"\nof {count} doughs at lag-1 0.3: found in the dough, rung falsely before,")
    print("pieces until found: median and nine in ten of those found")
    for title, shift_g, began, spread_g in scenes:
        print(f"{title}:")
        for name, watch in WATCHES.items():
            found = firsts(watch, z, shift_g, spread_g)
            after = [each - began for each in found if each is not None and each > began]
            before = sum(each is not None and each <= began for each in found)
            line = f"  {name:32}{len(after) / (count - before):8.1%}{before / count:8.1%}"
            if after:
                nine = statistics.quantiles(after, n=10)[-1]
                line += f"{statistics.median(after):8.0f}{nine:8.0f}"
            print(line)


def heights(z: Cuts, k: float) -> Cuts:
    """Return the greater sum at each piece of each dough."""
    high, low = np.zeros(len(z)), np.zeros(len(z))
    found = np.empty_like(z)
    for place in range(PIECES):
        high = np.maximum(0, high + z[:, place] - k)
        low = np.maximum(0, low - z[:, place] - k)
        found[:, place] = np.maximum(high, low)
    return found


def choice(count: int) -> None:
    """Print what each allowance costs when its limit is tuned to one false alarm in ten doughs."""
    print(f"\nallowance k, limit h tuned to 10 % at lag-1 0.3 on {count} doughs; step of 1 spread")
    print("       k       h   found  median    mean")
    calm, moved = doughs(count, 0.3, 3), doughs(count, 0.3, 4)
    moved[:, STEP_AT:] += 1
    for k in (0.25, 0.375, 0.5, 0.625, 0.75, 1.0):
        h = float(np.quantile(heights(calm, k).max(axis=1), 0.9))
        rung = heights(moved, k) > h
        at = np.where(rung.any(axis=1), rung.argmax(axis=1), PIECES)
        late = at[at >= STEP_AT]
        after = late[late < PIECES] - STEP_AT + 1
        print(
            f"{k:8}{h:8.2f}{len(after) / len(late):8.1%}{np.median(after):8.0f}{after.mean():8.1f}"
        )


def main() -> None:
    """Print all tables."""
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    count = numbers[0] if numbers else 5000
    false_alarms(count)
    delays(count)
    if "--choice" in sys.argv:
        choice(10 * count)


if __name__ == "__main__":
    main()

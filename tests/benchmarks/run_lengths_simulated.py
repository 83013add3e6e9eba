"""Every published average run length that our charts can be held against, by simulation.

Independent normal values with a shift of so many sigma are fed to `run_rules`, `cusum` and `ewma`
until the first signal, so many runs for each figure. Two columns say how far the mean lies off:

- from the exact value (a Markov chain for the rules, integral equations for the two others), in
  standard errors of the mean;
- from the printed value, in standard errors combined with its rounding: half a unit of the last
  printed place over sqrt(3) (a rectangle, JCGM 100:2008, 4.3.7, from memory).

Of so many figures one in 370 should lie beyond three by chance alone.

Run: python tests/benchmarks/run_lengths_simulated.py [runs, 10000]
"""

from __future__ import annotations

import math
import sys
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parents[1] / "unit" / "monitor"))

from published_run_lengths import (
    CUSUM,
    CUSUM_SHIFTS,
    EWMA,
    EWMA_SHIFTS,
    SHIFTS,
    ZONE_RULES,
    mean_run_length,
)
from run_lengths import cusum_arl, ewma_arl, zone_rules_arl

from weighstation.monitor import WESTERN_ELECTRIC, cusum, ewma, run_rules

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    import numpy as np

    from weighstation.monitor import Signal

    Signals = Callable[[np.ndarray], Sequence[Signal]]
    Trial = tuple[str, float, float, float, Signals]


def rules_trials() -> Iterator[Trial]:
    """Return title, shift, printed and exact figure, and the chart: Champ and Woodall's table."""
    for rules, row in ZONE_RULES.items():
        names = [WESTERN_ELECTRIC[rule - 1] for rule in rules]
        for shift, printed in zip(SHIFTS, row, strict=True):
            yield (
                f"zone rules {', '.join(map(str, rules))}",
                shift,
                printed,
                zone_rules_arl(rules, shift),
                lambda z, names=names: run_rules(z, centre=0, sigma=1, rules=names),  # type: ignore[misc]
            )


def cusum_trials() -> Iterator[Trial]:
    """Return the same of Lucas's table."""
    for h, row in CUSUM.items():
        for shift, printed in zip(CUSUM_SHIFTS, row, strict=True):
            yield (
                f"CUSUM k 0.5, h {h}",
                shift,
                printed,
                cusum_arl(0.5, h, shift),
                lambda z, h=h: cusum(z, target=0, sigma=1, k=0.5, h=h).signals,  # type: ignore[misc]
            )


def ewma_trials() -> Iterator[Trial]:
    """Return the same of Lucas and Saccucci's table."""
    for (lam, width), row in EWMA.items():
        for shift, printed in zip(EWMA_SHIFTS, row, strict=True):
            yield (
                f"EWMA lam {lam}, L {width}",
                shift,
                printed,
                ewma_arl(lam, width, shift),
                lambda z, lam=lam, width=width: (  # type: ignore[misc]
                    ewma(z, lam=lam, L=width, target=0, sigma=1, steady=True).signals
                ),
            )


def main() -> None:
    """Print a line for each figure, and how far off they are on the whole."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    print(f"{runs} runs each{'':22}shift   printed     exact simulated   off exact  off printed")
    offs, offs_printed = [], []
    trials = [*rules_trials(), *cusum_trials(), *ewma_trials()]
    for seed, (title, shift, printed, exact, signals) in enumerate(trials):
        mean, error = mean_run_length(
            lambda z: signals(z + shift),  # noqa: B023 - run at once
            exact,
            runs=runs,
            seed=seed,
        )
        offs.append((mean - exact) / error)
        offs_printed.append((mean - printed) / math.hypot(error, rounding_of(printed, title)))
        print(
            f"{title:32}{shift:6}{printed:10}{exact:10.2f}{mean:10.2f}"
            f"{offs[-1]:12.2f}{offs_printed[-1]:13.2f}"
        )
    print(f"{len(offs)} figures, {len(offs) / 370:.1f} expected beyond three errors by chance")
    for what, found in (("exact", offs), ("printed, with its rounding", offs_printed)):
        beyond = sum(abs(off) > 3 for off in found)
        spread = (sum(off * off for off in found) / len(found)) ** 0.5
        print(
            f"off {what}: {beyond} beyond three, furthest {max(map(abs, found)):.2f},"
            f" root mean square {spread:.2f} (1 is what chance gives)"
        )


def rounding_of(printed: float, title: str) -> float:
    """Return the standard uncertainty that printing so many digits leaves."""
    places = 2 if title.startswith("zone") else len(str(printed).partition(".")[2])
    return float(10.0**-places / 2 / math.sqrt(3))


if __name__ == "__main__":
    main()

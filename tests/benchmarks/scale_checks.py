"""How often a check finds a good scale unfit, and a bad one fit; on simulated scales.

    python tests/benchmarks/scale_checks.py [CHECKS]

Each check is three loads of a weight on a seeded scale with a division of 1 g, its noise and its
zero tracking; what the scale is off by is drawn within half a division of what is said, so that it
lies anywhere between two marks. It prints shares of checks, not times.
"""

from __future__ import annotations

import random
import sys
from decimal import Decimal
from fractions import Fraction

from weighstation.metrology import (
    AccuracyClass,
    CheckWeight,
    Plate,
    ScaleLimits,
    WeightClass,
    judge,
)
from weighstation.simulate import ScaleSpec
from weighstation.simulate.check_loads import check_loads
from weighstation.station.bench.check_watch import CheckWatch, WatchPlan
from weighstation.station.commands.checking.plan import loads_for, placements_for, shown_by

DIVISION = ScaleLimits(Decimal(1))
CLASS_III = ScaleLimits(Decimal(1), plate=Plate(AccuracyClass.MEDIUM, Decimal(1), Decimal(3000)))


def is_fit(limits: ScaleLimits, nominal_g: int, off_g: float, seed: int) -> bool | None:
    """Return the verdict of one check; None where it did not come to its end."""
    weight = CheckWeight("box", Decimal(nominal_g), WeightClass.M1)
    loads = loads_for([weight], corners=False, max_g=None)
    watch = CheckWatch(
        WatchPlan(placements_for(loads), zero_mg=int(limits.zero_g * 1000), has_keys=False)
    )
    weighed = [nominal_g + off_g + random.Random(seed).uniform(-0.5, 0.5)] * len(loads)
    for line in check_loads(ScaleSpec(), weighed, seed=seed):
        watch.feed(line.data, line.t_s)
    if not watch.is_done:
        return None
    shown = shown_by(watch.taken, loads)
    assert Fraction(nominal_g) in {one.load_g for one in shown}
    return judge(shown, limits=limits).is_fit


def main() -> None:
    """Print the shares."""
    checks = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    print(f"{checks} checks each, three loads; off by what is said, within half a division")
    for name, limits, nominal_g in (
        ("one division, 500 g", DIVISION, 500),
        ("class III in service, 500 g", CLASS_III, 500),
        ("class III in service, 1000 g", CLASS_III, 1000),
    ):
        for off_g in (0, 1, 2, 3, 4):
            verdicts = [is_fit(limits, nominal_g, off_g, seed) for seed in range(checks)]
            unfit = 100 * verdicts.count(False) / checks
            broken = verdicts.count(None)
            print(f"  {name}, off by {off_g} g: {unfit:5.1f} % unfit, {broken} not finished")


if __name__ == "__main__":
    main()

"""Judge 10,000 lots of each rule and plan, and print how often they pass beside what is worked out.

    python tests/benchmarks/quantity_characteristics.py [LOTS]

At the declared weight and below it, lots that wander by 3 g, or that walk 6 g either way within
themselves: by the mean, by the counts, and by both together. The last column is the largest
difference of the three, in standard errors. It takes some minutes.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "unit" / "quantity"))

from characteristics import SCENES, Scene, chance_both, chance_counts, chance_mean
from judged_lots import passing

HEAD = (
    "rule        plan         sample  below       "
    "   mean: seen  worked out   counts: seen  worked out   both: seen  worked out   off by"
)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    print(HEAD)
    worst = 0.0
    for scene in SCENES:
        pairs = _pairs(scene, count)
        off_by = max(abs(seen - out) / _error(out, count) for seen, out in pairs)
        worst = max(worst, off_by)
        print(_line(scene, pairs, off_by), flush=True)
    print(f"{3 * len(SCENES)} shares of {count} lots, off by {worst:.2f} standard errors at most")


def _pairs(scene: Scene, count: int) -> list[tuple[float, float]]:
    """Return by the mean, by the counts and by both: what was seen, and what is worked out."""
    seen = passing(scene, count, seed=1)
    return [
        (seen.mean, chance_mean(scene)),
        (seen.counts, chance_counts(scene)),
        (seen.both, chance_both(scene)),
    ]


def _line(scene: Scene, pairs: list[tuple[float, float]], off_by: float) -> str:
    (mean, mean_out), (counts, counts_out), (both, both_out) = pairs
    return (
        f"{scene.rule:10}  {scene.plan:11}  {scene.sample:6}  {scene.off_pct:3g} %"
        f"  {'walks' if scene.drift_g else '     '}"
        f"   {mean:10.4f}  {mean_out:10.4f}   {counts:12.4f}  {counts_out:10.4f}"
        f"   {both:10.4f}  {both_out:10.4f}   {off_by:6.2f}"
    )


def _error(chance: float, count: int) -> float:
    return math.sqrt(max(chance * (1 - chance), 1 / count) / count)


if __name__ == "__main__":
    main()

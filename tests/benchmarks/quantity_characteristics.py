"""Judge 10,000 lots of each rule, and print how often they pass beside what is worked out.

    python tests/benchmarks/quantity_characteristics.py [LOTS]

At the nominal weight and 1, 2 and 4 % below, batches wandering by 3 g. The last column is the
largest difference in standard errors of the three.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "unit" / "quantity"))

from characteristics import SCENES, chance_both, chance_counts, chance_mean, lots

from weighstation.quantity import judge_lot


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    print("rule        below   mean: seen  worked out   counts: seen  worked out    both: seen")
    for scene in SCENES:
        judged = [
            judge_lot(row, nominal_g=800, rule=scene.rule, lot_size=scene.lot_size)
            for row in lots(scene, count, seed=1).tolist()
        ]
        ok = [each.count_t1 <= each.allowed_t1 and not each.count_t2 for each in judged]
        pairs = [
            (sum(each.mean_ok for each in judged) / count, chance_mean(scene)),
            (sum(ok) / count, chance_counts(scene)),
        ]
        both = sum(each.passes is True for each in judged) / count
        if scene.confidence is None:
            pairs.append((both, chance_both(scene)))
        worst = max(abs(seen - out) / _error(out, count) for seen, out in pairs)
        (mean, mean_out), (counts, counts_out) = pairs[:2]
        print(
            f"{scene.rule:10}  {scene.off_pct:3g} %   {mean:10.4f}  {mean_out:10.4f}"
            f"   {counts:12.4f}  {counts_out:10.4f}   {both:10.4f}   {worst:.2f}",
            flush=True,
        )


def _error(chance: float, count: int) -> float:
    return math.sqrt(max(chance * (1 - chance), 1 / count) / count)


if __name__ == "__main__":
    main()

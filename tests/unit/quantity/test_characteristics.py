"""Lots pass as often as worked out: at the nominal, and at 1, 2 and 4 % below."""

from __future__ import annotations

import math

import pytest
from characteristics import SCENES, Scene, chance_both, chance_counts, chance_mean, lots

from weighstation.quantity import judge_lot

LOTS = 500


def within(passing: int, chance: float) -> bool:
    """Say whether a count is within three standard errors of what was worked out."""
    error = math.sqrt(max(chance * (1 - chance), 1e-6) / LOTS)
    return abs(passing / LOTS - chance) <= 3 * error + 1 / LOTS


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: f"{scene.rule}-{scene.off_pct}")
def test_lots_pass_as_often_as_worked_out(scene: Scene) -> None:
    """500 lots; ten thousand in the benchmark. Batches wander by 3 g around their aim."""
    judged = [
        judge_lot(row, nominal_g=800, rule=scene.rule, lot_size=scene.lot_size)
        for row in lots(scene, LOTS, seed=round(10 * scene.off_pct) + scene.sample).tolist()
    ]
    counts = sum(each.count_t1 <= each.allowed_t1 and not each.count_t2 for each in judged)

    assert within(sum(each.mean_ok for each in judged), chance_mean(scene))
    assert within(counts, chance_counts(scene))
    if scene.confidence is None:
        assert within(sum(each.passes is True for each in judged), chance_both(scene))


def test_both_together_agree_with_each_alone_where_the_other_always_passes() -> None:
    """A check of the measure: with a wide deficiency only the mean counts."""
    scene = Scene("eu-76-211", 60, 60, 800, 200, 3, 0.25)

    assert chance_both(scene) == pytest.approx(chance_mean(scene), abs=2e-3)

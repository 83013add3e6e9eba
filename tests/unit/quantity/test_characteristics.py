"""Lots pass as often as worked out, by the mean, by the counts and by both together."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from characteristics import QUICK, Scene, chance_both, chance_counts, chance_mean
from judged_lots import passing

LOTS = 500


def within(seen: float, chance: float) -> bool:
    """Say whether a share is within three standard errors of what was worked out."""
    error = math.sqrt(max(chance * (1 - chance), 1e-6) / LOTS)
    return abs(seen - chance) <= 3 * error + 1 / LOTS


@pytest.mark.parametrize(
    "scene",
    QUICK,
    ids=lambda scene: f"{scene.rule}-{scene.plan}-{scene.lot_size}-{scene.off_pct}-{scene.drift_g}",
)
def test_lots_pass_as_often_as_worked_out(scene: Scene) -> None:
    """500 lots; thousands in the benchmark. Lots wander by 3 g, or walk 6 g either way within."""
    seen = passing(scene, LOTS, seed=round(10 * scene.off_pct) + scene.sample)

    assert within(seen.mean, chance_mean(scene))
    assert within(seen.counts, chance_counts(scene))
    assert within(seen.both, chance_both(scene))


WHOLE = Scene("eu-76-211", 60, 60, 800, 15, 3, 0.25)
SAMPLED = [scene for scene in QUICK if scene.confidence and scene.off_pct == 0]


def of(scene: Scene) -> str:
    """Return what tells a scene apart in a test's name."""
    return f"{scene.rule}-{scene.plan}-{scene.sample}"


@pytest.mark.parametrize(("scene", "near"), [(WHOLE, 2e-3), *((each, 2e-5) for each in SAMPLED)])
def test_both_agree_with_the_mean_where_the_counts_always_pass(scene: Scene, near: float) -> None:
    """A check of the measure, by a deficiency that none reaches."""
    wide = replace(scene, deficiency_g=200)

    assert chance_both(wide) == pytest.approx(chance_mean(wide), abs=near)


@pytest.mark.parametrize("scene", SAMPLED, ids=of)
def test_both_agree_with_the_counts_where_the_mean_always_passes(scene: Scene) -> None:
    """A check of the measure: 800 g declared as 700 g, and short below what was short before."""
    off_pct = 100 * (1 - scene.mean_g / 700)
    low = replace(
        scene,
        nominal_g=700,
        deficiency_g=scene.deficiency_g - 100,
        off_pct=off_pct,
        outer=False,
    )

    assert chance_both(low) == pytest.approx(chance_counts(low), abs=2e-5)
    assert chance_counts(low) < 0.9999

"""The lowest lawful scaling weight: the declared weight or the least aim, through the loss."""

from __future__ import annotations

import pytest

from weighstation.errors import SpecificationError
from weighstation.plan import FloorBy, lowest_scaling, split
from weighstation.quantity import least_aim


def measured_law(baked_g: float) -> float:
    """Hand-divided wheat pieces of 650 to 1000 g, bread weighed after 3 h: published regression,
    silverstripe.fkit.hr/kui/issue-archive/article/316, read in excerpts.
    """
    return 45.654 + 1.0624 * baked_g


def test_the_law_decides_whether_a_lighter_piece_is_lawful() -> None:
    """901.6 g bake to 805.7 g by the measured law and to 793.4 g by a flat 12 %: own arithmetic."""
    measured = lowest_scaling(800, measured_law)
    flat = lowest_scaling(800, 0.12)

    assert 805.7 == pytest.approx((901.6 - 45.654) / 1.0624, abs=0.05)
    assert 895.6 == pytest.approx(measured.floor_g, abs=0.05)
    assert 909.1 == pytest.approx(flat.floor_g, abs=0.05)
    assert measured.floor_g < 901.6 < flat.floor_g


@pytest.mark.parametrize(
    ("floor_g", "pieces"),
    [
        (lowest_scaling(800, measured_law).floor_g, [48, 49]),
        (lowest_scaling(800, 0.12).floor_g, [48]),
    ],
)
def test_no_choice_is_below_the_floor(floor_g: float, pieces: list[int]) -> None:
    """49 pieces of 901.6 g are offered only if such a piece bakes to what it is sold as."""
    found = split(44_180, 800 / 0.88, under_g=9.09, over_g=9.09, floor_g=floor_g)

    assert pieces == [each.pieces for each in found.choices]


def test_a_least_aim_above_the_declared_weight_asks_for_more() -> None:
    aim = least_aim(800, 8, rule="eu-76-211", batch_size=48, batch_sd_g=3)
    found = lowest_scaling(800, 0.12, least_aim_g=aim.aim_g)

    assert aim.aim_g / 0.88 == pytest.approx(found.floor_g)
    assert found.by is FloorBy.AIM


def test_a_least_aim_below_the_declared_weight_asks_for_nothing() -> None:
    found = lowest_scaling(800, 0.12, least_aim_g=790)

    assert lowest_scaling(800, 0.12) == found
    assert found.by is FloorBy.DECLARED


def test_numbers_that_mean_nothing_are_refused() -> None:
    with pytest.raises(SpecificationError, match="A declared weight"):
        lowest_scaling(0, 0.12)
    with pytest.raises(SpecificationError, match="A least aim"):
        lowest_scaling(800, 0.12, least_aim_g=-1)
    with pytest.raises(SpecificationError, match="The dough for a loaf"):
        lowest_scaling(800, lambda baked_g: 100 - baked_g)

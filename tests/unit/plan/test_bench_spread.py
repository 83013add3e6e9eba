"""How evenly a bench scales, from what it kept."""

from __future__ import annotations

import math
import random

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor import Moments
from weighstation.plan import Carry, Evenness, LossLaw, bench_spread

RATIO = Carry(0.88, (0.87, 1.0), LossLaw.RATIO)
LINE = Carry(0.94, (0.90, 0.98), LossLaw.LINE)


def weighed(means_g: list[float], sd_g: float, n: int, seed: int = 1) -> list[list[float]]:
    hand = random.Random(seed)
    return [[hand.gauss(mean_g, sd_g) for _ in range(n)] for mean_g in means_g]


def test_spread_and_wander_are_those_of_one_way_random_effects() -> None:
    """Within and between mean squares held against SciPy's one-way analysis of variance: F is
    their ratio, and the between part (MS between - MS within) / n.
    """
    batches = weighed([-3.0, 1.0, 4.0, 0.0], 3.0, 40)
    found = bench_spread(map(Moments.of, batches), band_g=18)
    f = stats.f_oneway(*batches).statistic

    assert found.sd_g**2 * (1 + 40 * found.wander_g**2 / found.sd_g**2) == pytest.approx(
        f * found.sd_g**2
    )
    assert (4, 160, 40, True) == (
        found.batches,
        found.pieces,
        found.batch_size,
        found.measured is not None,
    )
    assert found.off_g == pytest.approx(math.fsum(map(math.fsum, batches)) / 160)
    assert "160 kept pieces of 4 batches vary by" in found.text
    assert f"from one batch to the next by {found.wander_g:.1f} g more" in found.text


def test_what_chance_explains_is_no_wander() -> None:
    halves = [Moments.of([-2.0, 2.0] * 20), Moments.of([-2.0, 2.0] * 20)]
    found = bench_spread(halves, band_g=18)

    assert 0.0 == found.wander_g
    assert "no more than by chance" in found.text


def test_one_batch_has_a_spread_and_no_wander() -> None:
    found = bench_spread([Moments.of([-2.0, 2.0] * 24)], band_g=18)

    assert (48, 0.0, True) == (found.batch_size, found.wander_g, found.measured is not None)
    assert "48 kept pieces of 1 batch vary by 2.0 g" in found.text


@pytest.mark.parametrize("n", [0, 1, 29])
def test_from_too_few_pieces_the_band_is_taken_to_be_filled(n: int) -> None:
    """+-5 g filled evenly is 2.89 g, +-1 % of 909 g 5.25 g, +-2 % 10.5 g: width / root(12),
    textbook; own arithmetic.
    """
    few = [Moments.of([0.5] * n)]

    assert 2.89 == pytest.approx(bench_spread(few, band_g=10).sd_g, abs=0.005)
    assert 5.25 == pytest.approx(bench_spread(few, band_g=2 * 9.09).sd_g, abs=0.005)
    assert 10.5 == pytest.approx(bench_spread(few, band_g=4 * 9.09).sd_g, abs=0.05)
    assert bench_spread(few, band_g=10).measured is None


def test_how_loaves_vary_follows_the_line_or_the_safe_end_of_a_ratio() -> None:
    """Variances of independent parts add; 8 g of 909 g, the loss by 0.6 points: 9.30 g of bread
    with a slope of 0.941 (own arithmetic).
    """
    found = bench_spread([Moments.of([-8.0, 8.0] * 500)], band_g=40)
    slope = Carry(0.941, (0.9, 0.98), LossLaw.LINE)

    assert 9.30 == pytest.approx(found.evenness(carry=slope, oven_sd_g=909 * 0.006).sd_g, abs=0.01)
    assert found.sd_g == found.evenness(carry=RATIO).sd_g
    assert Evenness(0.94 * found.sd_g, 1000, 0.0) == found.evenness(carry=LINE)
    assert 48 == found.evenness(carry=LINE, batch_size=48).batch_size


def test_numbers_that_mean_nothing_are_refused() -> None:
    with pytest.raises(SpecificationError, match="width"):
        bench_spread([], band_g=-1)
    with pytest.raises(SpecificationError, match="oven"):
        bench_spread([], band_g=10).evenness(carry=LINE, oven_sd_g=-1)

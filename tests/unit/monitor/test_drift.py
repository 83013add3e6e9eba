"""The slope of weight against age is that of a reference library, and knows what it does not."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.process.drift import drift


def morning(seed: int, *, slope: float, r: float = 0.0, n: int = 60) -> tuple[list[float], ...]:
    """Return ages and weights: a piece every 15 s, noise of 4 g that remembers r of the last."""
    draw = random.Random(seed)
    noise, ages, weights = draw.gauss(0, 4), [], []
    for place in range(n):
        ages.append(10 + place / 4)
        weights.append(740 + slope * ages[-1] + noise)
        noise = r * noise + math.sqrt(1 - r * r) * draw.gauss(0, 4)
    return ages, weights


def test_a_thousand_slopes_agree_with_a_reference_library() -> None:
    """SciPy `linregress`; slope and its standard error, furthest 8.9e-13 of its half width."""
    draw = random.Random(78)
    apart = 0.0
    for _ in range(1000):
        n = draw.randint(3, 80)
        ages = sorted(draw.uniform(0, 60) for _ in range(n))
        weights = [740 - 0.3 * age + draw.gauss(0, 4) for age in ages]
        wanted = stats.linregress(ages, weights)
        found = drift(weights, age_min=ages, target_g=740)
        half = float(stats.t.ppf(0.975, n - 2) * wanted.stderr)
        low, high = found.interval_g_per_min
        apart = max(apart, abs(found.slope_g_per_min - wanted.slope) / half)
        apart = max(apart, abs((high - low) / 2 / half - 1))

    assert 1e-10 > apart


def test_units_of_the_slope() -> None:
    """Without noise: 0.37 g a minute of 740 g is 0.5 % in ten minutes; arithmetic."""
    ages = [0.0, 5.0, 10.0, 20.0]
    found = drift([740 - 0.37 * age for age in ages], age_min=ages, target_g=740)

    assert -0.37 == pytest.approx(found.slope_g_per_min, rel=1e-12)
    assert -0.5 == pytest.approx(found.pct_per_10_min, rel=1e-12)
    assert "lighter by 0.50 % in 10 minutes" in found.text


def test_a_steady_morning_is_called_so() -> None:
    ages, weights = morning(1, slope=0.0)
    found = drift(weights, age_min=ages, target_g=740)

    assert not found.is_certain
    assert "Nothing shows" in found.text
    assert "heavier" in drift(morning(1, slope=1.0)[1], age_min=ages, target_g=740).text


def share_held(*, r: float, cautious: bool, times: int = 600) -> float:
    held = 0
    for seed in range(times):
        ages, weights = morning(seed, slope=-0.3, r=r)
        found = drift(weights, age_min=ages, target_g=740)
        low, high = found.cautious_g_per_min if cautious else found.interval_g_per_min
        held += low <= -0.3 <= high
    return held / times


def test_an_interval_holds_the_slope_as_often_as_it_says_when_pieces_are_independent() -> None:
    """600 seeded mornings of 60 pieces; 95 % within three standard errors."""
    assert abs(share_held(r=0.0, cautious=False) - 0.95) < 3 * math.sqrt(0.95 * 0.05 / 600)


def test_neighbours_that_hang_together_break_the_plain_interval() -> None:
    """With r = 0.5 the plain interval held 74 % of 600, the cautious one 95 %; both say 95."""
    plain, cautious = share_held(r=0.5, cautious=False), share_held(r=0.5, cautious=True)

    assert plain < 0.80
    assert 0.92 < cautious < 0.97
    ages, weights = morning(0, slope=-0.3, r=0.8)
    assert "too narrow" in drift(weights, age_min=ages, target_g=740).text


def test_a_cautious_interval_is_little_wider_where_nothing_hangs_together() -> None:
    """It holds 95 % within three standard errors upwards too, and is the plain one where r1 < 0."""
    assert abs(share_held(r=0.0, cautious=True) - 0.95) < 3 * math.sqrt(0.95 * 0.05 / 600)
    found = drift([740.0, 744.0, 739.0, 743.0, 741.0], age_min=range(5), target_g=740)

    assert 0 > found.r1
    assert found.interval_g_per_min == found.cautious_g_per_min


def test_a_cautious_interval_is_that_of_so_many_fewer_pieces() -> None:
    """NumPy's line and SciPy's t, with r put right by what the fit of a line took from it."""
    ages, weights = morning(3, slope=-0.3, r=0.5)
    slope, at_zero = np.polyfit(ages, weights, 1)
    left = np.array(weights) - slope * np.array(ages) - at_zero
    r1 = float(left[1:] @ left[:-1] / (left @ left))
    r = r1 + (2 + 4 * r1) / 60
    factor = (1 + r) / (1 - r)
    error = math.sqrt(float(left @ left) / 58 * factor / (60 * np.var(ages)))
    half = float(stats.t.ppf(0.975, 60 / factor - 2)) * error
    low, high = drift(weights, age_min=ages, target_g=740).cautious_g_per_min

    assert r1 > 0.2
    assert (low, high) == pytest.approx((slope - half, slope + half), rel=1e-8)


@pytest.mark.parametrize("n", [3, 4, 5, 8])
def test_a_few_pieces_are_worth_three_at_least(n: int) -> None:
    """As alike as they can be: the factor is n / 3, and t has one degree of freedom; by hand."""
    weights = [740.0 + (place > n // 2) for place in range(n)]
    found = drift(weights, age_min=range(n), target_g=740)
    low, high = found.interval_g_per_min
    wide_low, wide_high = found.cautious_g_per_min
    most = math.sqrt(n / 3) * stats.t.ppf(0.975, 1) / stats.t.ppf(0.975, n - 2)

    assert 1 <= (wide_high - wide_low) / (high - low) <= most * (1 + 1e-9)


@given(
    st.lists(st.tuples(st.integers(0, 3600), st.integers(600_000, 900_000)), min_size=3).filter(
        lambda pairs: len({age for age, _ in pairs}) > 1
    ),
    st.floats(0.01, 100),
    st.floats(-100, 100),
    st.randoms(use_true_random=False),
)
def test_percent_changes_neither_with_unit_nor_clock_nor_order(
    pairs: list[tuple[int, int]], unit: float, later: float, shuffle: random.Random
) -> None:
    """Equal ages keep no order of their own, so they are given one here."""
    pairs = sorted(dict(pairs).items())
    if len(pairs) < 3:
        return
    here = drift([mg / 1000 for _, mg in pairs], age_min=[s / 60 for s, _ in pairs], target_g=740)
    shuffle.shuffle(pairs)
    there = drift(
        [mg / 1000 * unit for _, mg in pairs],
        age_min=[s / 60 + later for s, _ in pairs],
        target_g=740 * unit,
    )

    assert here.pct_per_10_min == pytest.approx(there.pct_per_10_min, rel=1e-6, abs=1e-6)
    assert here.interval_pct_per_10_min == pytest.approx(
        there.interval_pct_per_10_min, rel=1e-5, abs=1e-5
    )


@pytest.mark.parametrize(
    ("weights", "ages", "target", "says"),
    [
        ([740.0] * 4, [1.0, 2.0, 3.0], 740.0, "an age for every weight"),
        ([740.0, 741.0, 742.0], [5.0] * 3, 740.0, "more than one age"),
        ([740.0, math.nan, 742.0], [1.0, 2.0, 3.0], 740.0, "finite"),
        ([740.0, 741.0, 742.0], [1.0, math.inf, 3.0], 740.0, "finite"),
        ([740.0, 741.0, 742.0], [1.0, 2.0, 3.0], 0.0, "positive scaling weight"),
    ],
)
def test_what_means_nothing_is_refused(
    weights: list[float], ages: list[float], target: float, says: str
) -> None:
    with pytest.raises(SpecificationError, match=says):
        drift(weights, age_min=ages, target_g=target)


def test_too_few_are_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 3"):
        drift([740.0, 741.0], age_min=[1.0, 2.0], target_g=740)

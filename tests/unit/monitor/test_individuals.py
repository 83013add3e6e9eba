"""The individuals chart says what the published example says."""

from __future__ import annotations

import math

import numpy as np
import pytest

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor import Rule, beyond_limits, individuals

# NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 6.3.2.2,
# "flowrate" example (data from memory; its last ten points are also the EWMA list there).
FLOWRATE = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
D2_AS_PRINTED = 1.128


def test_published_example_gives_its_mean_and_mean_moving_range() -> None:
    chart = individuals(FLOWRATE)

    assert math.isclose(50.81, chart.centre, abs_tol=1e-12)
    # The page prints 1.8778.
    assert math.isclose(1.8778, sum(chart.moving_range) / 9, abs_tol=5e-5)
    assert FLOWRATE == tuple(chart.points)
    assert (2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5) == tuple(
        round(step, 9) for step in chart.moving_range
    )


def test_published_limits_follow_once_d2_is_rounded_as_printed() -> None:
    chart = individuals(FLOWRATE)
    three_sigma = (chart.upper - chart.centre) * (2 / math.sqrt(math.pi)) / D2_AS_PRINTED

    # The page prints 55.8041 and 45.8159, with d2 = 1.128.
    assert math.isclose(55.8041, chart.centre + three_sigma, abs_tol=5e-5)
    assert math.isclose(45.8159, chart.centre - three_sigma, abs_tol=5e-5)
    assert () == chart.signals


def test_limits_with_the_exact_d2() -> None:
    """With d2 = 2/sqrt(pi), computed independently to ten digits from the same data."""
    chart = individuals(FLOWRATE)

    assert math.isclose(55.80241168, chart.upper, abs_tol=5e-9)
    assert math.isclose(45.81758832, chart.lower, abs_tol=5e-9)


def test_a_piece_far_out_is_named_by_place_and_rule() -> None:
    steady = [740.0, 742.0] * 10
    chart = individuals([*steady, 790.0, *steady])

    assert [(20, Rule.BEYOND_LIMITS)] == [(s.index, s.rule) for s in chart.signals]
    assert chart.signals[0].text.startswith("Piece 21 (790.0 g) is above the upper control limit")


def test_a_light_piece_is_named_as_below() -> None:
    chart = individuals([740.0, 742.0] * 10 + [690.0])

    assert "below the lower" in chart.signals[-1].text


@pytest.mark.parametrize("weight", [0.1, 740.3, 1e9 / 3])
def test_equal_weights_never_signal(weight: float) -> None:
    """A point on its limit is inside, also where the mean of equal decimals would round."""
    chart = individuals([weight] * 7)

    assert (weight, 0.0, ()) == (chart.centre, chart.sigma, chart.signals)


def test_one_weight_is_refused_with_what_it_takes() -> None:
    with pytest.raises(NotEnoughDataError) as caught:
        individuals([740.0])

    assert (1, 2) == (caught.value.have, caught.value.need)


def test_a_weight_that_is_no_number_is_refused() -> None:
    with pytest.raises(SpecificationError):
        individuals([740.0, math.nan])


def test_a_point_just_beyond_is_told_apart_from_its_limit() -> None:
    """With one decimal both would read 63.0."""
    found = beyond_limits(np.array([63.04]), lower=60.0, upper=63.01)

    assert "Piece 1 (63.04 g) is above the upper control limit (63.01 g)." == found[0].text


@pytest.mark.parametrize(("weights", "there"), [([], "there are 0"), ([740.0], "there is 1")])
def test_too_few_weights_are_counted(weights: list[float], there: str) -> None:
    with pytest.raises(NotEnoughDataError, match=f"at least 2 weights, and {there}"):
        individuals(weights)

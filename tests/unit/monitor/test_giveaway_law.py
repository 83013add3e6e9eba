"""Mean overs and unders of a normal piece are those of the printed loss table."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, special  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor.process.giveaway import (
    expected_over_g,
    expected_under_g,
    unit_normal_loss,
)

MASS = st.floats(1, 2000)


@pytest.mark.parametrize(
    ("u", "printed"),
    [
        *((0.0, 0.398942), (0.25, 0.286345), (0.5, 0.197797), (1.0, 0.083315), (1.5, 0.029307)),
        *((2.0, 0.008491), (2.5, 0.002004), (3.0, 0.000382)),
    ],
)
def test_unit_normal_loss_table(u: float, printed: float) -> None:
    """The usual table of the unit normal loss (from memory, recomputed)."""
    assert printed == round(unit_normal_loss(u), 6)


def test_example() -> None:
    """Mean 405 g, s 5 g, target 400 g: computed apart from this project."""
    over = expected_over_g(405, sd_g=5, target_g=400)
    under = expected_under_g(405, sd_g=5, target_g=400)

    assert (5.416577, 0.416577) == (round(over, 6), round(under, 6))


def test_a_thousand_losses_are_those_of_a_quadrature() -> None:
    """SciPy: the integral of the upper tail from u; furthest 5.9e-13."""
    draw = random.Random(70)
    apart = 0.0
    for _ in range(1000):
        u = draw.uniform(-6, 6)
        wanted = integrate.fixed_quad(lambda z: special.ndtr(-z), u, 14.0, n=150)[0]
        apart = max(apart, abs(unit_normal_loss(u) / wanted - 1))

    assert 1e-11 > apart


@given(MASS, st.floats(0, 50), MASS)
def test_over_less_under_is_mean_less_target(mean: float, sd: float, target: float) -> None:
    over = expected_over_g(mean, sd_g=sd, target_g=target)
    under = expected_under_g(mean, sd_g=sd, target_g=target)

    assert mean - target == pytest.approx(over - under, rel=1e-9, abs=1e-9)
    assert over >= max(0.0, mean - target) - 1e-9


def test_without_spread_it_is_the_difference() -> None:
    assert 5.0 == expected_over_g(405, sd_g=0, target_g=400)
    assert 0.0 == expected_under_g(405, sd_g=0, target_g=400)


@pytest.mark.parametrize(
    ("mean", "sd"), [(405.0, -1.0), (math.nan, 5.0), (405.0, math.inf), (math.inf, 5.0)]
)
def test_what_means_nothing_is_refused(mean: float, sd: float) -> None:
    with pytest.raises(SpecificationError, match="not negative"):
        expected_over_g(mean, sd_g=sd, target_g=400)

"""The places that a height agrees with are those where Fieller's inequality holds."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weighstation.plan.loss.forecast import inverse_interval


@settings(max_examples=50)
@given(st.floats(-300, 300), st.floats(0.2, 2), st.floats(0, 0.99), st.floats(0.01, 50))
def test_the_ends_lie_on_the_edge_of_the_inequality(
    off: float, slope: float, share: float, level: float
) -> None:
    """(off - slope z)^2 = level^2 + (share slope z)^2, the definition."""
    low, high = inverse_interval(off, slope=slope, slope_half=share * slope, level_half_g=level)

    assert low <= off / slope <= high
    for z in (low, high):
        assert abs(off - slope * z) == pytest.approx(
            math.hypot(level, share * slope * z), rel=1e-6, abs=1e-9
        )


def test_a_slope_that_might_be_zero_tells_no_place() -> None:
    assert (-math.inf, math.inf) == inverse_interval(10, slope=0.1, slope_half=0.1, level_half_g=1)

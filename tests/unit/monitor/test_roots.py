"""The zero of a rising or falling function is found from any guess."""

from __future__ import annotations

import math

import pytest

from weighstation.errors import SpecificationError
from weighstation.monitor.roots import root


@pytest.mark.parametrize("start", [-30.0, 0.0, 0.7, 2.0, 50.0])
def test_rising_and_falling_functions(start: float) -> None:
    assert math.log(2) == pytest.approx(root(lambda x: math.exp(x) - 2, start), rel=1e-15)
    assert math.log(2) == pytest.approx(root(lambda x: 2 - math.exp(x), start), rel=1e-15)
    assert 2 ** (1 / 9) == pytest.approx(root(lambda x: x**9 - 2, start), rel=1e-15)


def test_a_step_is_found_by_halving() -> None:
    """An infinite value bars interpolation, and the zero is never met exactly."""
    edge = root(lambda x: math.inf if x > math.pi else -math.inf, 3.0)

    assert math.pi == pytest.approx(edge, rel=1e-15)


def test_where_there_is_no_zero_that_is_said() -> None:
    with pytest.raises(SpecificationError, match="too far out"):
        root(lambda _: 1.0, 0.0)

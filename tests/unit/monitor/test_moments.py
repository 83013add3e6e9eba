"""Moments of certified data, put together in any way."""

from __future__ import annotations

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strd import SETS

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor import Moments

weights = st.lists(st.floats(-1e6, 1e6), max_size=30)


def digits(found: float, certified: float) -> float:
    """Return how many digits agree: minus the logarithm of the relative difference."""
    return 16.0 if found == certified else -math.log10(abs(found - certified) / abs(certified))


@pytest.mark.parametrize("name", SETS)
def test_certified_mean_and_deviation_are_reached(name: str) -> None:
    """NIST StRD, read. Measured digits of the deviation: 8.3 (NumAcc4), 9.5 (NumAcc3), else 12."""
    x, certified = SETS[name]
    found = Moments.of(x)
    in_parts = sum((Moments.of(x[at : at + 7]) for at in range(0, len(x), 7)), Moments())

    assert found.n == len(x)
    assert digits(found.mean, certified.mean) > 14
    assert digits(found.sd, certified.sd) > certified.digits
    assert digits(in_parts.sd, certified.sd) > certified.digits


@given(weights, weights)
def test_merging_is_the_same_as_one_pass(left: list[float], right: list[float]) -> None:
    merged, whole = Moments.of(left) + Moments.of(right), Moments.of(left + right)
    scale = max(map(abs, [*left, *right, 1.0]))

    assert whole.n == merged.n
    assert whole.mean_of == pytest.approx(merged.mean_of, abs=1e-12 * scale)
    assert whole.m2 == pytest.approx(merged.m2, rel=1e-9, abs=1e-9 * scale * scale)


@given(st.lists(st.floats(0, 2000), min_size=2, max_size=60))
def test_moments_are_those_of_the_standard_library(x: list[float]) -> None:
    found = Moments.of(x)

    assert statistics.fmean(x) == pytest.approx(found.mean, rel=1e-12, abs=1e-9)
    assert statistics.stdev(x) == pytest.approx(found.sd, rel=1e-6, abs=1e-6)


def test_too_few_and_no_number_are_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 1 weight"):
        _ = Moments().mean
    with pytest.raises(NotEnoughDataError, match="at least 2 weights"):
        _ = Moments.of([740.0]).sd
    with pytest.raises(SpecificationError, match="finite"):
        Moments.of([740.0, math.nan])
    with pytest.raises(SpecificationError, match="finite"):
        Moments.of([740.0, math.inf, -math.inf])
    with pytest.raises(SpecificationError, match="finite"):
        Moments.of([740.0]).plus(math.inf)


@given(weights)
def test_one_by_one_is_the_same_on_every_prefix(x: list[float]) -> None:
    online = Moments()
    for count, each in enumerate(x, 1):
        online = online.plus(each)

        assert Moments.of(x[:count]) == online

"""A part of a variance keeps its sign, and its interval holds it."""

from __future__ import annotations

import math
import random

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.moments import Moments
from weighstation.plan.loss.part import Part


def test_interval_is_that_of_chi_square() -> None:
    """SciPy `chi2`, 200 draws; furthest 4.3e-15, relative."""
    draw, apart = random.Random(1), 0.0
    for _ in range(200):
        var, df, confidence = draw.uniform(1, 90), draw.randint(1, 60), draw.uniform(0.5, 0.99)
        low, high = Part.of(var, df=df, confidence=confidence).interval_g2
        tail = (1 - confidence) / 2
        apart = max(apart, abs(low / (var * df / stats.chi2.ppf(1 - tail, df)) - 1))
        apart = max(apart, abs(high / (var * df / stats.chi2.ppf(tail, df)) - 1))

    assert 1e-11 > apart


def test_a_negative_part_is_shown_as_one() -> None:
    """4 - 9 is -5, and its interval is cut off where variances end."""
    left = Part(4.0, (2.0, 9.0)).less(Part(9.0, (5.0, 16.0)))

    assert -5 == left.var_g2
    assert left.sd_g is None
    assert (0.0, -5 + math.hypot(5, 4)) == pytest.approx(left.interval_g2)


def test_what_is_left_adds_up() -> None:
    left = Part(30.0, (20.0, 50.0)).less(Part(9.0, (5.0, 16.0)))

    assert math.sqrt(21) == left.sd_g
    assert (21 - math.hypot(10, 7), 21 + math.hypot(20, 4)) == pytest.approx(left.interval_g2)
    assert tuple(map(math.sqrt, left.interval_g2)) == left.sd_interval_g


def test_share_goes_into_a_variance_as_a_square() -> None:
    part = Part(4.0, (1.0, 9.0)).times(0.5)

    assert Part(1.0, (0.25, 2.25)) == part


def test_too_little_is_refused() -> None:
    with pytest.raises(NotEnoughDataError):
        Part.of_sample(Moments.of([800.0]), confidence=0.95)
    with pytest.raises(SpecificationError):
        Part.of(4.0, df=0, confidence=0.95)
    with pytest.raises(SpecificationError):
        Part.of(4.0, df=5, confidence=95)

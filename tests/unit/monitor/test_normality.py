"""Anderson and Darling: as a reference library has it, and it errs as often as it says."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from statsmodels.stats.diagnostic import normal_ad  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.process.normality import normality


def test_statistic_and_p_are_those_of_a_reference_library() -> None:
    """statsmodels 0.14 `normal_ad` on 1,000 normal and even samples; furthest 1.3e-12.

    With a long tail the library takes 1 - cdf, loses digits and at last says infinity; those are
    not compared.
    """
    draw = random.Random(65)
    kinds = (draw.gauss, draw.uniform)
    apart = 0.0
    for _ in range(1000):
        kind = draw.choice(kinds)
        sample = [kind(740.0, 755.0) for _ in range(draw.randint(8, 200))]
        found = normality(sample)
        statistic, p = (float(value) for value in normal_ad(np.array(sample)))
        apart = max(apart, abs(found.a_squared / statistic - 1))
        apart = max(apart, abs(found.p / p - 1))

    assert 1e-10 > apart


def test_normal_samples_are_doubted_as_often_as_the_level_says() -> None:
    """2,000 seeded samples of 30 at 5 %; within three standard errors, and 0.5 % for the fit."""
    draw = random.Random(66)
    doubted = sum(
        not normality([draw.gauss(740, 4) for _ in range(30)]).is_plausible for _ in range(2000)
    )

    assert abs(doubted / 2000 - 0.05) < 3 * math.sqrt(0.05 * 0.95 / 2000) + 0.005


def test_a_coarse_division_alone_makes_normal_weights_look_otherwise() -> None:
    """What the sentence warns of: s of 4 g on a 5 g division, 200 weights."""
    draw = random.Random(67)
    true = [draw.gauss(740, 4) for _ in range(200)]

    assert normality(true).is_plausible
    coarse = normality([5 * round(weight / 5) for weight in true])
    assert not coarse.is_plausible
    assert "coarse division" in coarse.text
    assert "does not prove" in normality(true).text


def test_a_wild_weight_among_very_many_does_not_overflow() -> None:
    draw = random.Random(68)
    found = normality([*(draw.gauss(0, 1) for _ in range(3000)), 1e6])

    assert 0 < found.p < 1e-29


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 8"):
        normality([740.0 + place for place in range(7)])
    with pytest.raises(SpecificationError, match="all 9 weights are equal"):
        normality([740.0] * 9)
    with pytest.raises(SpecificationError, match="between 0 and 1"):
        normality(range(9), level=5)

"""What a hand can do at its best is the normal law on the marks of a scale."""

from __future__ import annotations

import math

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor.plausibility import ALPHA, finest_hand_mg, least_cut_mg, most_on_marks
from weighstation.monitor.plausibility.flag import grams, marks_of, rarely
from weighstation.monitor.plausibility.hands import most_on_one


@pytest.mark.parametrize("every", [2, 5, 10, 25])
@pytest.mark.parametrize("sd", [0.1, 0.4, 1.0, 1.5, 3.0, 12.0])
def test_share_of_round_marks_is_that_of_a_reference_library(every: int, sd: float) -> None:
    marks = [mark * every for mark in range(-200, 201)]
    masses = stats.norm.cdf([mark + 0.5 for mark in marks], scale=sd) - stats.norm.cdf(
        [mark - 0.5 for mark in marks], scale=sd
    )

    assert math.isclose(masses.sum(), most_on_marks(every, sd_divisions=sd), rel_tol=1e-9)


@pytest.mark.parametrize("sd", [0.8, 1.5, 3.0])
def test_share_of_round_marks_by_the_sum_formula_of_poisson(sd: float) -> None:
    """1/N (1 + 2 sum exp(-2 pi^2 m^2 s^2 / N^2) sinc(m / N)), own derivation."""
    terms = (
        math.exp(-2 * (math.pi * m * sd / 5) ** 2) * math.sin(math.pi * m / 5) / (math.pi * m / 5)
        for m in range(1, 50)
    )

    assert math.isclose((1 + 2 * sum(terms)) / 5, most_on_marks(5, sd_divisions=sd), rel_tol=1e-9)


def test_no_mean_and_no_mixture_has_more_round_marks() -> None:
    most = most_on_marks(5, sd_divisions=1.2)
    for mean in (0.1, 0.7, 1.3, 2.5):
        share = sum(
            stats.norm.cdf(5 * k + 0.5, mean, 1.2) - stats.norm.cdf(5 * k - 0.5, mean, 1.2)
            for k in range(-9, 10)
        )

        assert share < most


def test_one_mark_and_no_spread() -> None:
    assert math.isclose(stats.norm.cdf(0.5) - stats.norm.cdf(-0.5), most_on_one(sd_divisions=1.0))
    assert 1.0 == most_on_one(sd_divisions=0.0) == most_on_marks(5, sd_divisions=0.0)
    assert (1110.0, 3700.0) == (finest_hand_mg(740_000), least_cut_mg(740_000))


@pytest.mark.parametrize(("every", "sd"), [(1, 1.0), (5, -1.0), (5, math.nan)])
def test_what_is_no_question_is_refused(every: int, sd: float) -> None:
    with pytest.raises(SpecificationError):
        most_on_marks(every, sd_divisions=sd)


def test_no_division_is_refused() -> None:
    with pytest.raises(SpecificationError, match="above 0"):
        marks_of([740_000], 0)


def test_the_false_alarms_of_ten_years_are_those_that_are_told() -> None:
    """Poisson with 10 x 52 weeks of 3 products and 4 people."""
    expected = 10 * 52 * 12 * ALPHA

    assert 0.0624 == round(expected, 4)
    assert 0.06 == round(stats.poisson.sf(0, expected), 2)
    assert 0.002 == round(stats.poisson.sf(1, expected), 3)


@pytest.mark.parametrize(
    ("p", "words"),
    [
        (0.004, "less than 1 in 100"),
        (9.9e-6, "less than 1 in 100,000"),
        (1e-8, "less than 1 in 100 million"),
        (0.0, "less than 1 in 1 million million"),
    ],
)
def test_a_small_chance_in_words(p: float, words: str) -> None:
    assert words == rarely(p)
    assert "0.5 g" == grams(500)

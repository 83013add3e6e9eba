"""How sure one weight is, and what a guard band makes of it, against the published relations."""

from __future__ import annotations

import math
import random
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.metrology import (
    Uncertainty,
    acceptance,
    chance_within,
    guard_band,
    piece_uncertainty,
    worst_false_accept,
)

SMALL = st.floats(0.01, 50)


@pytest.mark.parametrize(
    ("division", "printed"), [(1.0, 0.288675), (2.0, 0.577350), (5.0, 1.443376)]
)
def test_rounding_of_zero_and_of_load(division: float, printed: float) -> None:
    """JCGM 100:2008, F.2.2.1 (from memory); net d / sqrt(6), EURAMET cg-18 (from memory)."""
    sure = piece_uncertainty(division)

    assert (printed, printed) == (round(sure.zero_g, 6), round(sure.load_g, 6))
    assert division * 0.408248 == pytest.approx(sure.standard_g, rel=2e-6)


def test_a_permissible_error_counts_as_rectangular() -> None:
    """JCGM 100:2008, 4.3.7 (from memory): the standard deviation of a uniform law, from SciPy."""
    sure = piece_uncertainty(1.0, permissible_error_g=2.0)

    assert stats.uniform(-2, 4).std() == pytest.approx(sure.scale_g)
    assert "what its limits leave open" in sure.text_at(740)
    assert 2.5 == sure.said_g


@pytest.mark.parametrize(
    ("standard", "said"), [(0.9129, 1.9), (0.9, 1.8), (6.01, 13.0), (0.0451, 0.091), (49.6, 100.0)]
)
def test_it_is_said_in_two_digits_rounded_up(standard: float, said: float) -> None:
    """JCGM 100:2008, 7.2.6 (from memory)."""
    assert said == Uncertainty(0.0, 0.0, standard, 0.0).said_g


def test_the_parts_add_up_to_what_a_simulation_finds() -> None:
    """40,000 seeded net weights on a division of 1 g: within 1.5 %, four standard errors."""
    draw = random.Random(91)
    errors = []
    for _ in range(40_000):
        true, zero = draw.uniform(500, 501), draw.uniform(-0.5, 0.5)
        off = draw.uniform(-2, 2)
        shown = round(true + zero + off + draw.gauss(0, 0.4)) - round(zero)
        errors.append(shown - true)
    sure = piece_uncertainty(1.0, repeatability_g=0.4, permissible_error_g=2.0)

    assert statistics.pstdev(errors) == pytest.approx(sure.standard_g, rel=0.015)


@pytest.mark.parametrize(
    ("ratio", "wanted"),
    [(0, 0.5), (0.83, 0.048457), (1, 0.022750), (1.5, 0.00134990), (3, 9.8659e-10)],
)
def test_worst_false_accept(ratio: float, wanted: float) -> None:
    """JCGM 106:2012, 8.3 and ILAC-G8:09/2019 (from memory), recomputed."""
    assert wanted == pytest.approx(worst_false_accept(ratio), rel=2e-5)


@pytest.mark.parametrize(("read", "wanted"), [(389.0, 0.977250), (388.5, 0.841345), (388.0, 0.5)])
def test_chance_above_a_lower_limit(read: float, wanted: float) -> None:
    """T_L = 388 g, u = 0.5 g: JCGM 106:2012 (from memory), recomputed."""
    assert wanted == round(chance_within(read, standard_g=0.5, lower_g=388), 6)


@pytest.mark.parametrize(
    ("index", "place", "wanted"),
    [
        *((1, 0.0, 0.49997), (1, 0.1, 0.65526), (1, 0.25, 0.83999), (1, 0.5, 0.95450)),
        *((2, 0.1, 0.78814), (2, 0.25, 0.97725), (2, 0.5, 0.99994)),
        *((4, 0.1, 0.94520), (4, 0.25, 0.99997)),
    ],
)
def test_chance_between_two_limits(index: float, place: float, wanted: float) -> None:
    """By measurement capability Cm = band / 4u and place in the band; 106:2012, recomputed."""
    lower, band = 732.0, 16.0
    read = lower + place * band
    chance = chance_within(read, standard_g=band / (4 * index), lower_g=lower, upper_g=lower + band)

    assert wanted == round(chance, 5)


def test_limits_drawn_in() -> None:
    """388 g and u = 0.5 g, r = 1: from 389.0 g on (recomputed)."""
    drawn = acceptance(guard_band(0.5), lower_g=388, upper_g=412)

    assert (389.0, 411.0, 1.0) == (drawn.lower_g, drawn.upper_g, drawn.guard_g)


@given(SMALL, SMALL)
def test_without_a_ratio_limits_stay(sd: float, band: float) -> None:
    off = acceptance(guard_band(sd, ratio=0), lower_g=700.0, upper_g=700.0 + band)

    assert (700.0, 700.0 + band, 0.0) == (off.lower_g, off.upper_g, off.guard_g)


@given(SMALL, st.floats(0, 3))
def test_on_the_acceptance_limit_the_chance_is_the_worst(sd: float, ratio: float) -> None:
    limit = 700 + guard_band(sd, ratio=ratio)
    outside = 1 - chance_within(limit, standard_g=sd, lower_g=700)

    assert worst_false_accept(ratio) == pytest.approx(outside, rel=1e-6, abs=1e-12)


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(SpecificationError, match="leaves nothing between"):
        acceptance(guard_band(5), lower_g=732, upper_g=748)
    with pytest.raises(SpecificationError, match="at least one limit"):
        acceptance(1)
    with pytest.raises(
        SpecificationError, match="A guard band in grams is a finite number from 0 up, not -1"
    ):
        acceptance(-1, lower_g=732)
    with pytest.raises(SpecificationError, match="is above"):
        acceptance(1, lower_g=748, upper_g=732)
    with pytest.raises(
        SpecificationError, match="An uncertainty in grams is a finite number from 0 up, not -1"
    ):
        guard_band(-1)
    with pytest.raises(SpecificationError, match="more than 0 g"):
        chance_within(740, standard_g=0, lower_g=732)
    with pytest.raises(SpecificationError, match="A repeatability in grams is a finite number"):
        piece_uncertainty(1.0, repeatability_g=math.nan)

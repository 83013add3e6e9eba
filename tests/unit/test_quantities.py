"""Masses are exact, rounded once, half to even."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.quantities import (
    MG_PER_UNIT,
    Unit,
    decimals,
    grams,
    grams_text,
    mg_from_grams,
    mg_from_indicated,
    on_division,
)


@pytest.mark.parametrize(
    ("digits", "unit", "mg"),
    [
        # International yard and pound agreement, 1959: 1 lb = 0.45359237 kg exactly.
        ("1", Unit.POUND, 453_592),
        ("100", Unit.POUND, 45_359_237),
        # Avoirdupois ounce, a sixteenth of it: 28.349523125 g.
        ("1", Unit.OUNCE, 28_350),
        ("16", Unit.OUNCE, 453_592),
        ("26.1", Unit.OUNCE, 739_923),
        ("0.651", Unit.KILOGRAM, 651_000),
        ("-0.5", Unit.GRAM, -500),
        ("0.0005", Unit.GRAM, 0),
        ("0.0015", Unit.GRAM, 2),
        ("0.0025", Unit.GRAM, 2),
    ],
)
def test_an_indicated_mass_is_rounded_once_half_to_even(digits: str, unit: Unit, mg: int) -> None:
    assert mg == mg_from_indicated(digits, unit)


def test_a_float_of_grams_means_its_shortest_decimal_text() -> None:
    assert [mg_from_grams(0.1), mg_from_grams(Decimal("740.5")), mg_from_grams("73.2")] == [
        100,
        740_500,
        73_200,
    ]


@given(st.integers(-(10**9), 10**9))
def test_grams_at_the_edge_come_back_to_the_same_milligrams(mg: int) -> None:
    assert mg == mg_from_grams(grams(mg))


@given(st.integers(-(10**8), 10**8), st.sampled_from([1, 20, 100, 500, 1000, 2000, 5000, 28_350]))
def test_on_division_is_the_nearest_multiple(mg: int, division_mg: int) -> None:
    nearest = on_division(mg, division_mg)

    assert nearest % division_mg == 0
    assert 2 * abs(nearest - mg) <= division_mg


@given(st.decimals(-(10**6), 10**6, places=5), st.sampled_from(Unit))
def test_rounding_is_that_of_exact_fractions(digits: Decimal, unit: Unit) -> None:
    """Held against Python's own fractions, which round half to even."""
    exact = Fraction(digits)

    assert round(exact * MG_PER_UNIT[unit]) == mg_from_indicated(digits, unit)
    assert round(exact * 1000) == mg_from_grams(digits)


@pytest.mark.parametrize(("mg", "nearest"), [(500, 0), (1500, 2000), (2500, 2000), (-1500, -2000)])
def test_on_division_goes_half_to_even(mg: int, nearest: int) -> None:
    assert nearest == on_division(mg, 1000)


@pytest.mark.parametrize(
    ("division_mg", "places"),
    [(5000, 0), (1000, 0), (500, 1), (100, 1), (20, 2), (1, 3), (14_175, 3), (28_350, 2)],
)
def test_a_division_needs_so_many_decimals(division_mg: int, places: int) -> None:
    assert places == decimals(division_mg)


@pytest.mark.parametrize(
    ("mg", "division_mg", "text"),
    [
        (12_000, 1000, "+12"),
        (-7_500, 500, "-7.5"),
        (0, 100, "0.0"),
        (-40, 100, "0.0"),
        (-60, 100, "-0.1"),
        (999_960, 100, "+1000.0"),
    ],
)
def test_grams_are_written_with_the_digits_the_division_supports(
    mg: int, division_mg: int, text: str
) -> None:
    assert text == grams_text(mg, division_mg, signed=True)


@given(st.integers(-(10**8), 10**8), st.sampled_from([1, 20, 100, 500, 1000, 5000]))
def test_written_grams_are_within_half_their_last_digit(mg: int, division_mg: int) -> None:
    written = Fraction(Decimal(grams_text(mg, division_mg)))

    assert abs(written - Fraction(mg, 1000)) <= Fraction(1, 2 * 10 ** decimals(division_mg))

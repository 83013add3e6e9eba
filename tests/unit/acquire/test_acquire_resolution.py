"""Counts of a last printed place become milligrams, exactly and rounded once."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.acquire.resolution import Resolution, counts_of
from weighstation.quantities import Unit, mg_from_indicated


@given(st.sampled_from(Unit), st.integers(-3, 6), st.integers(-(10**8), 10**8))
def test_it_equals_the_exact_conversion(unit: Unit, decimals: int, counts: int) -> None:
    number = Decimal(counts).scaleb(-decimals)

    assert mg_from_indicated(number, unit) == Resolution(unit, decimals).mg(counts)


@pytest.mark.parametrize("decimals", [-3, 0, 4])
def test_a_count_is_worth_an_exact_fraction(decimals: int) -> None:
    resolution = Resolution(Unit.POUND, decimals)

    assert Fraction(45_359_237, 100) == resolution.mg_per_count * Fraction(10) ** decimals


@pytest.mark.parametrize(("counts", "mg"), [(5, 0), (15, 2), (25, 2), (-5, 0), (-15, -2)])
def test_a_half_goes_to_the_even_milligram(counts: int, mg: int) -> None:
    assert mg == Resolution(Unit.GRAM, 4).mg(counts)


def test_units_follow_the_international_pound() -> None:
    """1 lb = 453.59237 g exactly, 16 oz to the lb (yard and pound agreement, 1959)."""
    assert Resolution(Unit.POUND, 0).mg(1) == 453_592
    assert Resolution(Unit.POUND, 0).mg(100) == 45_359_237
    assert Resolution(Unit.OUNCE, 0).mg(16) == 453_592


@pytest.mark.parametrize(
    ("run", "counts"), [("651", 651), ("0,651", 651), ("1,234.5", 12345), (".5", 5), ("12.", 12)]
)
def test_separators_are_no_digits(run: str, counts: int) -> None:
    assert counts == counts_of(run)

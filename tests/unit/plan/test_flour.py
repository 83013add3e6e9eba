"""Bench flour on a piece dries its dough, and small goods most."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import Dusting, bench_flour, formula, picked_up_g


@pytest.mark.parametrize(
    ("piece_g", "flour_g", "hydration_pct"),
    [
        (500, 1, 69.76),
        (500, 3, 69.28),
        (500, 5, 68.82),
        (900, 5, 69.34),
        (60, 0.5, 69.01),
        (60, 1, 68.05),
    ],
)
def test_hydration_with_the_dust(piece_g: float, flour_g: float, hydration_pct: float) -> None:
    """Own arithmetic, S = 172 and h = 70."""
    found = bench_flour(piece_g, flour_g, sum_pct=172, hydration_pct=70)

    assert hydration_pct == pytest.approx(found.hydration_pct, abs=0.005)
    assert hydration_pct - 70 == pytest.approx(found.change_pct, abs=0.005)


@pytest.mark.parametrize(
    ("piece_g", "flour_g", "dusting"),
    [
        (500, 1, Dusting.GOOD),
        (500, 5, Dusting.GOOD),
        (57, 0.57, Dusting.GOOD),
        (60, 1, Dusting.MUCH),
        (500, 10, Dusting.MUCH),
        (500, 10.1, Dusting.FAULT),
        (60, 1.3, Dusting.FAULT),
    ],
)
def test_what_is_good_and_what_a_fault(piece_g: float, flour_g: float, dusting: Dusting) -> None:
    """Up to 1 % of the dough is good, above 2 % a fault: common practice, no source."""
    assert dusting is bench_flour(piece_g, flour_g, sum_pct=172, hydration_pct=70).dusting


def test_a_fault_is_said_with_the_caution() -> None:
    """What dust does: hse.gov.uk/food/bakery.htm and whlgni.org.uk/control-measures-flour-dust,
    read in excerpts.
    """
    fault = bench_flour(60, 2, sum_pct=172, hydration_pct=70)
    good = bench_flour(500, 2.5, sum_pct=172, hydration_pct=70)

    assert fault.text.startswith("2 g of bench flour on a piece are 3.3 % of it (too much)")
    assert "change its hydration by -3.80 points. Use a dredger" in fault.text
    assert "follow the rules of your place" in fault.text
    assert (
        "2.5 g of bench flour on a piece are 0.5 % of it (good) and change its hydration by"
        " -0.60 points."
    ) == good.text


def test_a_formula_says_what_is_asked() -> None:
    made_of = formula({"flour": 100, "water": 70}, 1234.5)
    assert made_of.hydration_pct is not None
    found = bench_flour(500, 0, sum_pct=made_of.sum_pct, hydration_pct=made_of.hydration_pct)

    assert found.hydration_pct == pytest.approx(70)
    assert 0 == found.change_pct


@given(st.floats(20, 2000), st.floats(0, 50), st.floats(0, 100), st.floats(0, 30))
def test_dust_only_dries_and_no_water_is_lost(
    piece_g: float, flour_g: float, hydration_pct: float, others_pct: float
) -> None:
    sum_pct = 100 + hydration_pct + others_pct
    found = bench_flour(piece_g, flour_g, sum_pct=sum_pct, hydration_pct=hydration_pct)
    in_formula_g = piece_g * 100 / sum_pct

    assert found.change_pct <= 0
    assert in_formula_g * hydration_pct == pytest.approx(
        (in_formula_g + flour_g) * found.hydration_pct
    )


def test_flour_of_the_tub() -> None:
    """Own arithmetic: 180 g gone, 60 g swept up, 48 pieces."""
    assert 2.5 == picked_up_g(2000, 1820, swept_g=60, pieces=48)


def test_flour_that_came_back_too_much_is_refused() -> None:
    with pytest.raises(SpecificationError) as refused:
        picked_up_g(2000, 1980, swept_g=60, pieces=48)

    assert "2040 g of flour came back of 2000 g. Weigh the tub again" in refused.value.sentence


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ({"piece_g": 0}, "A piece"),
        ({"flour_g": -1}, "Bench flour"),
        ({"flour_g": math.nan}, "Bench flour"),
        ({"sum_pct": 0}, "The sum of a formula"),
        ({"hydration_pct": -1}, "A hydration"),
        ({"sum_pct": 165}, "Give both in percent of the flour"),
    ],
)
def test_numbers_that_mean_nothing_are_refused(numbers: dict[str, float], said: str) -> None:
    asked = {"piece_g": 500.0, "flour_g": 1.0, "sum_pct": 172.0, "hydration_pct": 70.0} | numbers
    with pytest.raises(SpecificationError) as refused:
        bench_flour(asked.pop("piece_g"), asked.pop("flour_g"), **asked)

    assert said in refused.value.sentence


def test_flour_is_picked_up_by_pieces() -> None:
    with pytest.raises(SpecificationError, match="The number of pieces is a whole number from 1"):
        picked_up_g(2000, 1820, swept_g=60, pieces=0)

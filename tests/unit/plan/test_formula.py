"""A formula adds up to its dough, and its flours to 100 %."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import formula

LEAN = {"flour": 100.0, "water": 67.0, "salt": 2.0, "yeast": 1.0}


def test_textbook_worksheet() -> None:
    """73 baguettes of 390 g, 100/67/2/1: published worksheet, scribd.com/doc/79999339, read in
    excerpts.
    """
    found = formula(LEAN, 73 * 390)

    assert 28_470 == found.dough_g
    assert ["flour", "water", "salt", "yeast"] == list(found.grams)
    assert [16_747.06, 11_220.53, 334.94, 167.47] == pytest.approx(
        list(found.grams.values()), abs=0.005
    )
    assert 28_470 == pytest.approx(math.fsum(found.grams.values()), abs=1e-8)
    assert 170 == found.sum_pct


def test_flour_of_a_worked_order() -> None:
    """Own arithmetic: 44,526.9 g at a sum of 168."""
    found = formula({"flour": 100, "water": 65, "salt": 2, "yeast": 1}, 44_526.9)

    assert 26_504.1 == pytest.approx(found.flour_g, abs=0.05)


def test_dough_yield() -> None:
    """600 flour and 450 water: brot-magazin.de/?p=2068, read in excerpts."""
    found = formula({"flour": 100, "water": 75, "salt": 2}, 1062)

    assert 600 == pytest.approx(found.flour_g)
    assert 450 == pytest.approx(found.liquid_g)
    assert found.hydration_pct == pytest.approx(75)
    assert found.dough_yield == pytest.approx(175)


def test_field_bread_of_1916() -> None:
    """105 lb of flour, 6.25 of sugar, salt, oil and yeast, 54.24 of water: Manual for Army Bakers,
    p. 82, read in excerpts; 165.49 lb is own arithmetic. A formula is the same in pounds.
    """
    found = formula({"flour": 100, "small": 100 * 6.25 / 105, "water": 100 * 54.24 / 105}, 165.49)

    assert 105 == pytest.approx(found.flour_g, abs=0.005)
    assert 54.24 == pytest.approx(found.liquid_g, abs=0.005)


def test_flours_stand_first_and_are_100_together() -> None:
    found = formula({"wheat": 70, "spelt": 20, "rye": 10, "Water": 68, "salt": 2}, 1700)

    assert ("wheat", "spelt", "rye") == found.flours
    assert 1000 == pytest.approx(found.flour_g)
    assert found.hydration_pct == pytest.approx(68)


def test_thirds_are_100_percent_too() -> None:
    assert ("a", "b", "c") == formula({"a": 33.33, "b": 33.33, "c": 33.33, "water": 70}, 1).flours


def test_one_flour_may_stand_anywhere() -> None:
    assert ("flour",) == formula({"water": 70, "flour": 100, "salt": 2}, 1000).flours


def test_flours_and_liquids_are_named_where_they_are_not_found() -> None:
    percentages = {"milk": 40.0, "wheat": 60.0, "eggs": 20.0, "rye": 40.0}
    found = formula(percentages, 1600, flours=["wheat", "rye"], liquids=["milk", "eggs"])

    assert 1000 == pytest.approx(found.flour_g)
    assert found.hydration_pct == pytest.approx(60)


def test_one_name_is_no_list_of_letters() -> None:
    percentages = {"sourdough": 30.0, "wheat": 100.0, "buttermilk": 50.0}
    found = formula(percentages, 1800, flours="wheat", liquids="buttermilk")

    assert found.dough_yield == pytest.approx(150)


def test_without_a_liquid_nothing_is_said_of_hydration() -> None:
    found = formula({"flour": 100, "milk": 60}, 1600)

    assert (None, None, None) == (found.liquid_g, found.hydration_pct, found.dough_yield)


@given(
    st.dictionaries(st.text(min_size=1), st.floats(0.1, 200), max_size=8),
    st.floats(1, 1e6),
)
def test_ingredients_add_up_to_the_dough(others: dict[str, float], dough_g: float) -> None:
    found = formula({"the flour": 100, **others}, dough_g, flours=["the flour"])

    assert dough_g == pytest.approx(math.fsum(found.grams.values()), rel=1e-12)
    assert found.grams["the flour"] == found.flour_g


@pytest.mark.parametrize(
    ("percentages", "more", "said"),
    [
        ({}, {}, "at least a flour"),
        ({"flour": 0}, {}, "at least a flour"),
        ({"flour": 90, "water": 67}, {}, "100 % together"),
        ({"wheat": 80, "rye": 10, "water": 70}, {}, "Write the flours first"),
        ({"a": 30, "b": 100, "c": 100}, {}, "say which ingredients are flour"),
        ({"wheat": 80, "rye": 10}, {"flours": ["wheat", "rye"]}, "these are 90 %"),
        ({"flour": 100}, {"flours": ["meal"]}, "'meal' is not in the formula. It has 'flour'."),
        ({"flour": 100}, {"liquids": ["milk"]}, "'milk' is not in the formula"),
        ({"flour": 100, "salt": -2}, {}, "The percentage of 'salt' is a number from 0 up, not -2."),
        ({"flour": math.nan}, {}, "The percentage of 'flour'"),
        ({"flour": "all"}, {}, "not 'all'"),
        ([("flour", 100)], {}, "gives each ingredient its percentage"),
    ],
)
def test_what_is_no_formula_is_refused(
    percentages: dict[str, float], more: dict[str, list[str]], said: str
) -> None:
    with pytest.raises(SpecificationError) as refused:
        formula(percentages, 1000, **more)

    assert said in refused.value.sentence


@pytest.mark.parametrize("dough_g", [0, -1, math.inf])
def test_a_dough_weighs_something(dough_g: float) -> None:
    with pytest.raises(SpecificationError, match="The dough is a number above 0"):
        formula(LEAN, dough_g)


def test_three_thirds_are_all_flour_and_a_slip_of_the_pen_is_not() -> None:
    thirds = {"wheat": 33.33, "rye": 33.33, "spelt": 33.33, "water": 65.0}

    assert ("wheat", "rye", "spelt") == formula(thirds, 1000).flours
    with pytest.raises(SpecificationError, match="100 % together"):
        formula(thirds | {"spelt": 33.2}, 1000)
    with pytest.raises(SpecificationError, match=r"these are 99\.86 %"):
        formula(thirds | {"spelt": 33.2}, 1000, flours=["wheat", "rye", "spelt"])

"""What is left over has four uses, each with its grams, its price and its caution."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import Choice, Use, split, uses_of_leftover

COST = 0.3408  # a kilogram of dough, see the tests of formulas
LEFT = split(44_180, 909, under_g=9, over_g=9).choices[0]


def test_all_four_are_priced() -> None:
    """548 g left of 48 pieces: own arithmetic; the four uses are common practice, no source."""
    found = uses_of_leftover(LEFT, cost_per_kg=COST, over_g=9, smaller_g=60, next_flour_g=4000)
    by_use = {each.use: each for each in found}

    assert 548 == LEFT.rest_g
    assert list(Use) == list(by_use)
    assert (432, 48, 116) == _figures(found[0])
    assert (540, 9, 8) == _figures(found[1])
    assert (400, 0, 148) == _figures(found[2])
    assert (548, 1, 0) == _figures(found[3])
    for each in found:
        assert each.grams / 1000 * COST == pytest.approx(each.money)


def _figures(use: object) -> tuple[float, ...]:
    return tuple(round(getattr(use, name), 6) for name in ("grams", "pieces", "left_g"))


def test_each_says_what_to_mind() -> None:
    found = uses_of_leftover(LEFT, cost_per_kg=COST, over_g=9, smaller_g=60, next_flour_g=4000)
    spread, smaller, held, test_piece = (each.caution for each in found)

    assert spread.startswith("9 g more in each piece are given away")
    assert "their own loss" in smaller
    assert "same recipe with the same allergens, at most 10 % of its flour" in held
    assert "labelled with recipe, allergens and time" in held
    assert "not for sale" in test_piece


def test_what_there_is_no_room_for_is_not_offered() -> None:
    found = uses_of_leftover(LEFT, cost_per_kg=COST, smaller_g=900, next_flour_g=0)

    assert [Use.TEST] == [each.use for each in found]


def test_without_a_price_nothing_is_priced() -> None:
    found = uses_of_leftover(LEFT, over_g=9)

    assert [None, None] == [each.money for each in found]


def test_nothing_left_has_no_use() -> None:
    everything = split(44_180, 909, under_g=9.09, over_g=9.09).best

    assert () == uses_of_leftover(everything, cost_per_kg=COST, over_g=9, smaller_g=60)


@given(st.floats(0, 900), st.floats(0, 50), st.floats(10, 300), st.floats(0, 1e5))
def test_no_use_takes_more_than_there_is(
    rest_g: float, over_g: float, smaller_g: float, flour_g: float
) -> None:
    choice = Choice(10, 900, rest_g, 900 + rest_g / 10)
    found = uses_of_leftover(
        choice, cost_per_kg=COST, over_g=over_g, smaller_g=smaller_g, next_flour_g=flour_g
    )

    for each in found:
        assert 0 < each.grams <= rest_g + 1e-6
        assert rest_g == pytest.approx(each.grams + each.left_g, abs=1e-6)
        assert each.use is not Use.HELD or each.grams <= 0.1 * flour_g + 1e-9


@pytest.mark.parametrize("held_share", [0.21, 20, -0.1])
def test_too_much_old_dough_is_refused(held_share: float) -> None:
    with pytest.raises(SpecificationError):
        uses_of_leftover(LEFT, cost_per_kg=COST, next_flour_g=4000, held_share=held_share)


def test_a_fifth_of_the_flour_is_the_most() -> None:
    """10 to 20 % is common practice, no source."""
    found = uses_of_leftover(LEFT, cost_per_kg=COST, next_flour_g=2000, held_share=0.2)

    assert 400 == pytest.approx(found[0].grams)


@pytest.mark.parametrize(
    "more", [{"cost_per_kg": -1}, {"over_g": -1}, {"smaller_g": 0}, {"next_flour_g": -1}]
)
def test_numbers_that_mean_nothing_are_refused(more: dict[str, float]) -> None:
    with pytest.raises(SpecificationError):
        uses_of_leftover(LEFT, **({"cost_per_kg": COST} | more))

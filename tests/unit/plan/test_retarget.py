"""While the dough goes down, a target is offered that would use it all; none is switched."""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import Room, retarget, scaling_weight

ONE_PERCENT = Room(909, 9.09, 9.09)


def test_worked_retarget() -> None:
    """44,180 g, 48 planned: 920.4 g; after 20 pieces of 924 g on average 25,700 g are left, T =
    917.9 g. The rule T = R / (N - k), held in the band, is common practice, no source; own
    arithmetic.
    """
    start = retarget(44_180, 48, room=ONE_PERCENT)
    later = retarget(44_180 - 20 * 924, 48 - 20, room=ONE_PERCENT)

    assert 920.4 == pytest.approx(start.wanted_g, abs=0.05)
    assert 918.09 == start.going_on.target_g
    assert start.instead is not None
    assert (49, 0) == (start.instead.pieces, start.instead.rest_g)
    assert 901.6 == pytest.approx(start.instead.target_g, abs=0.05)
    assert 917.9 == pytest.approx(later.going_on.target_g, abs=0.05)
    assert (28, 0, None) == (later.going_on.pieces, later.going_on.rest_g, later.instead)


def test_one_piece_less_where_too_little_is_left() -> None:
    found = retarget(25_700, 29, room=ONE_PERCENT)

    assert 899.91 == found.going_on.target_g
    assert found.going_on.rest_g == pytest.approx(25_700 - 29 * 899.91)
    assert found.instead is not None
    assert (28, 0) == (found.instead.pieces, found.instead.rest_g)


def test_nothing_is_suggested_where_no_other_number_is_nearer() -> None:
    """9500 g: ten are heavy, eleven light, whatever the target."""
    found = retarget(9500, 10, room=ONE_PERCENT)

    assert 9500 - 10 * 918.09 == pytest.approx(found.going_on.rest_g)
    assert found.instead is None


def test_no_offer_is_below_the_floor() -> None:
    """44,180 g could be 49 pieces of 901.6 g, but at a flat loss of 12 % they are short of 800."""
    floor_g = scaling_weight(800, 0.12).scaling_g
    found = retarget(44_180, 49, room=Room(floor_g, 9.09, 9.09, floor_g))

    assert floor_g == found.going_on.target_g
    assert found.instead is not None
    assert 48 == found.instead.pieces
    assert floor_g + 9.09 == pytest.approx(found.instead.target_g)


def test_several_pieces_more_or_none_at_all() -> None:
    much, little = retarget(4600, 2, room=ONE_PERCENT), retarget(400, 1, room=ONE_PERCENT)
    odd = retarget(2 * 918.09 + 400, 1, room=ONE_PERCENT)

    assert much.instead is not None
    assert little.instead is not None
    assert odd.instead is not None
    assert (5, 918.09) == (much.instead.pieces, much.instead.target_g)
    assert (0, 400) == (little.instead.pieces, little.instead.rest_g)
    assert 2 == odd.instead.pieces
    assert 400 == pytest.approx(odd.instead.rest_g)


@pytest.mark.parametrize(
    ("left_g", "pieces", "text"),
    [
        (25_700, 28, "28 pieces still to come at 917.9 g, nothing left over."),
        (9500, 10, "10 pieces still to come at 918.1 g, 319.1 g left over."),
        (
            1810,
            3,
            (
                "3 pieces still to come at 899.9 g, 889.7 g missing. Or 2 pieces still to come at"
                " 905 g, nothing left over."
            ),
        ),
        (
            400,
            1,
            (
                "1 piece still to come at 899.9 g, 499.9 g missing. Or 0 pieces still to come,"
                " 400 g left over."
            ),
        ),
    ],
)
def test_the_offer_in_words(left_g: float, pieces: int, text: str) -> None:
    assert text == retarget(left_g, pieces, room=ONE_PERCENT).text


def test_an_offer_cannot_be_changed_and_moves_no_band() -> None:
    found = retarget(25_700, 28, room=ONE_PERCENT)

    with pytest.raises(dataclasses.FrozenInstanceError):
        found.wanted_g = 900  # type: ignore[misc]
    assert Room(909, 9.09, 9.09) == ONE_PERCENT


@given(
    st.floats(0, 200_000),
    st.integers(1, 300),
    st.floats(20, 2000),
    st.tuples(st.floats(0, 0.2), st.floats(0, 0.2), st.floats(0, 1)),
)
def test_no_dough_is_lost_and_no_target_leaves_its_room(
    left_g: float, pieces: int, scaling_g: float, shares: tuple[float, float, float]
) -> None:
    under, over, floor = (share * scaling_g for share in shares)
    room = Room(scaling_g, under, over, floor)
    found = retarget(left_g, pieces, room=room)
    others = [found.going_on] + ([found.instead] if found.instead else [])

    for each in others:
        assert left_g == pytest.approx(each.pieces * each.target_g + each.rest_g, abs=1e-3)
        assert room.lowest_g <= each.target_g <= room.highest_g
    assert pieces == found.going_on.pieces
    if found.instead:
        assert found.instead.pieces != pieces
        assert 0 <= found.instead.rest_g
        assert abs(found.instead.rest_g) < abs(found.going_on.rest_g) or found.going_on.rest_g < 0


@pytest.mark.parametrize(
    ("left_g", "pieces", "said"),
    [
        (-1, 3, "The dough left is a number from 0 up, not -1."),
        (math.nan, 3, "The dough left"),
        (1000, 0, "The number of pieces left is a whole number from 1 up, not 0."),
        (1000, 2.5, "The number of pieces left"),
    ],
)
def test_numbers_that_mean_nothing_are_refused(left_g: float, pieces: int, said: str) -> None:
    with pytest.raises(SpecificationError, match=said):
        retarget(left_g, pieces, room=ONE_PERCENT)

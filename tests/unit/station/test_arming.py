"""What V names is what it strikes out, whatever happens between its two presses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.specification import Limits
from weighstation.station.bench.keys import Control
from weighstation.station.bench.messages import StrikeOut
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot
from weighstation.station.panel.arming import Arming

NOTHING = Snapshot(0.0, "Roll", Limits(62_000, 1_500, 2_000), 1000, Scene.EMPTY)
ONE = replace(NOTHING, known_number=1, known_mg=62_000, happened=1)
TWO = replace(NOTHING, known_number=2, known_mg=63_000, happened=2)


@pytest.fixture
def arming() -> Arming:
    return Arming()


def test_a_second_press_strikes_out_the_piece_that_the_first_named(arming: Arming) -> None:
    first = arming.feed("v", 10.0, ONE)
    picture = arming.picture(10.1, ONE)

    assert ([], "void", 1) == (first, picture.armed, picture.known_number)
    assert [StrikeOut(1)] == arming.feed("v", 12.0, ONE)


def test_a_piece_counted_in_between_stands_it_down_and_says_so(arming: Arming) -> None:
    arming.feed("v", 10.0, ONE)
    arming.feed("", 11.0, TWO)
    picture = arming.picture(11.0, TWO)
    asked = arming.feed("v", 12.0, TWO)

    assert "Piece 2 is counted now: press V again to strike out piece 2." == picture.notice
    assert ("", []) == (picture.armed, asked)
    assert ("void", "") == (arming.picture(12.1, TWO).armed, arming.picture(12.1, TWO).notice)
    assert [StrikeOut(2)] == arming.feed("v", 14.0, TWO)


def test_a_piece_counted_at_the_moment_of_the_second_press_is_not_struck_out(
    arming: Arming,
) -> None:
    arming.feed("v", 10.0, ONE)

    assert [] == arming.feed("v", 12.0, TWO)


def test_a_piece_lifted_in_between_stands_it_down_too(arming: Arming) -> None:
    arming.feed("v", 10.0, ONE)
    lifted = replace(ONE, happened=2, lifted=LiftedNote(2, 12_000, None, is_open=True))
    asked = arming.feed("v", 12.0, lifted)

    assert [] == asked
    assert [StrikeOut(1)] == arming.feed("v", 14.0, lifted)


def test_where_nothing_can_be_struck_out_nothing_is_asked(arming: Arming) -> None:
    asked = arming.feed("v", 10.0, NOTHING)
    picture = arming.picture(10.0, NOTHING)

    assert ([], "", "No piece can be struck out.") == (asked, picture.armed, picture.notice)
    assert "" == arming.picture(14.0, NOTHING).notice


def test_other_keys_pass_through(arming: Arming) -> None:
    assert [Control.TURN] == arming.feed("b", 10.0, ONE)
    assert [] == arming.feed("e", 11.0, ONE)
    assert [Control.END] == arming.feed("e", 13.0, TWO)


def test_the_picture_is_the_same_one_while_nothing_changes(arming: Arming) -> None:
    """A screen is only drawn anew for another picture."""
    assert arming.picture(1.0, ONE) is arming.picture(2.0, ONE)
    assert arming.picture(3.0, ONE) is not arming.picture(3.0, TWO)

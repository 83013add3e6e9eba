"""What V names is what it strikes out, whatever happens between its two presses."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce

import pytest

from weighstation.plan import (
    BoardFact,
    BoardRecord,
    Boards,
    BoardToBench,
    OvenIn,
    PieceBoarded,
)
from weighstation.specification import Limits
from weighstation.station.bench.clocks import Clocks
from weighstation.station.bench.keys import Control, OfBoard
from weighstation.station.bench.messages import BoardAsked, StrikeOut
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


def with_boards(*facts: BoardFact, places: int = 2, is_filling: bool = True) -> Snapshot:
    boards = reduce(Boards.after, facts, Boards(places))
    return replace(ONE, clocks=Clocks(record=BoardRecord(boards), is_filling=is_filling))


FIVE = tuple(PieceBoarded(number, 10.0 * number) for number in range(1, 6))
MORNING = with_boards(*FIVE)


@pytest.mark.parametrize(
    ("char", "control", "boards", "meant"),
    [
        ("c", Control.CLOSE, MORNING, 3),
        ("s", Control.BENCH, MORNING, 1),
        ("s", Control.BENCH, with_boards(*FIVE, BoardToBench(1, 60.0)), 2),
        ("s", Control.BENCH, with_boards(FIVE[0]), 1),
        ("i", Control.OVEN_IN, MORNING, 1),
        ("i", Control.OVEN_IN, with_boards(*FIVE, BoardToBench(2, 60.0)), 2),
        ("o", Control.OVEN_OUT, with_boards(*FIVE, OvenIn(2, 60.0), OvenIn(1, 70.0)), 2),
    ],
)
def test_a_key_means_the_board_whose_turn_it_is(
    arming: Arming, char: str, control: OfBoard, boards: Snapshot, meant: int
) -> None:
    arming.feed(char, 10.0, boards)
    picture = arming.picture(10.1, boards)

    assert (control.value, meant) == (picture.armed, picture.armed_board)
    assert [BoardAsked(control, meant)] == arming.feed(char, 12.0, boards)
    assert arming.picture(12.1, boards).armed_board is None


def test_what_was_named_is_meant_even_if_the_turn_has_passed_to_another(arming: Arming) -> None:
    arming.feed("s", 10.0, MORNING)
    later = with_boards(*FIVE, BoardToBench(1, 60.0))

    assert [BoardAsked(Control.BENCH, 1)] == arming.feed("s", 12.0, later)


def test_a_number_that_is_typed_names_the_board(arming: Arming) -> None:
    arming.feed("s", 10.0, MORNING)
    arming.feed("2", 11.0, MORNING)
    picture = arming.picture(11.0, MORNING)

    assert 2 == picture.armed_board
    assert [BoardAsked(Control.BENCH, 2)] == arming.feed("s", 12.5, MORNING)


@pytest.mark.parametrize(
    ("char", "boards", "said"),
    [
        ("c", with_boards(*FIVE[:2]), "No piece lies on the board that is filling."),
        ("s", with_boards(), "No board waits to be shaped."),
        ("i", with_boards(FIVE[0]), "No board waits for the oven."),
        ("o", MORNING, "No board is in the oven."),
        (
            *("s", NOTHING),
            "No boards are kept: say in products.toml how many board_places a board has.",
        ),
    ],
)
def test_a_key_that_means_no_board_says_so_and_asks_for_nothing(
    arming: Arming, char: str, boards: Snapshot, said: str
) -> None:
    first = arming.feed(char, 10.0, boards)
    picture = arming.picture(10.0, boards)
    second = arming.feed(char, 12.0, boards)

    assert ([], []) == (first, second)
    assert ("", said) == (picture.armed, picture.notice)


def test_what_a_key_said_before_gives_way_to_what_the_next_one_means(arming: Arming) -> None:
    arming.feed("o", 10.0, MORNING)
    arming.feed("s", 11.0, MORNING)

    assert ("bench", "") == (
        arming.picture(11.1, MORNING).armed,
        arming.picture(11.1, MORNING).notice,
    )


def test_a_first_press_is_forgotten_after_a_while(arming: Arming) -> None:
    arming.feed("s", 10.0, MORNING)
    arming.feed("", 13.5, MORNING)

    assert arming.picture(13.5, MORNING).armed_board is None
    assert [] == arming.feed("s", 14.0, MORNING)

"""A rest has a sign and a word for each state, and a board says where it is."""

from __future__ import annotations

from functools import reduce

import pytest

from weighstation.plan import (
    BoardClosed,
    BoardFact,
    Boards,
    BoardToBench,
    OvenIn,
    OvenOut,
    PieceBoarded,
    Rested,
    RestWindow,
    rest_of,
)
from weighstation.station.bench.board_words import (
    REST_SIGNS,
    armed_board_text,
    moved_text,
    rest_text,
)
from weighstation.station.bench.keys import Control, OfBoard


def boards(*facts: BoardFact) -> Boards:
    return reduce(Boards.after, (PieceBoarded(1, 0.0), PieceBoarded(2, 10.0), *facts), Boards(4))


@pytest.mark.parametrize(
    ("t_s", "said"),
    [
        (0.0, "· WAIT   board 1, rested 0 min, ready in 10 min"),
        (250.0, "· WAIT   board 1, rested 4 min, ready in 6 min"),
        (599.9, "· WAIT   board 1, rested 9 min, ready in 1 min"),
        (600.0, "► READY  board 1, rested 10 min, 5 min left"),
        (899.9, "► READY  board 1, rested 14 min, 0 min left"),
        (900.0, "► READY  board 1, rested 15 min, 0 min left"),
        (900.1, "! LATE   board 1, rested 15 min, 1 min too long"),
        (1080.0, "! LATE   board 1, rested 18 min, 3 min too long"),
    ],
)
def test_a_rest_is_told_in_whole_minutes_on_the_careful_side(t_s: float, said: str) -> None:
    """The window of 10 to 15 minutes is that of textbooks; both ends belong to it."""
    rest = rest_of(boards().board(1), t_s=t_s, window=RestWindow())

    assert rest is not None
    assert said == rest_text(rest)
    assert f"{said}; 3 more wait" == rest_text(rest, more=3)


def test_three_states_are_three_signs_and_three_words() -> None:
    signs, words = zip(*(REST_SIGNS[rested] for rested in Rested), strict=True)

    assert (3, 3) == (len(set(signs)), len(set(words)))


def test_the_signs_are_in_the_old_code_pages_of_terminals() -> None:
    assert all(sign.encode("cp437") for sign, _ in REST_SIGNS.values() if sign != "►")


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ((BoardClosed(1),), "Board 1 is closed with 2 pieces."),
        ((BoardToBench(1, 720.0),), "Board 1 is at the bench: it rested 12 min."),
        (
            (BoardToBench(1, 400.0),),
            "Board 1 is at the bench: it rested 6 min, 4 min too short.",
        ),
        (
            (BoardToBench(1, 1080.0),),
            "Board 1 is at the bench: it rested 18 min, 3 min too long.",
        ),
        ((OvenIn(1, 720.0),), "Board 1 is in the oven."),
        ((OvenIn(1, 720.0), OvenOut(1, 2000.0)), "Board 1 is out of the oven, and hot."),
    ],
)
def test_a_board_says_where_it_is(facts: tuple[BoardFact, ...], said: str) -> None:
    board = boards(*facts).board(1)

    assert said == moved_text(board, rest_of(board, t_s=9000.0, window=RestWindow()))


@pytest.mark.parametrize(
    ("control", "said"),
    [
        (Control.CLOSE, "C again closes board 1 (2 pieces); another: type its number"),
        (Control.BENCH, "S again takes board 1 to the bench (2 pieces); another: type its number"),
        (
            Control.OVEN_IN,
            "I again puts board 1 into the oven (2 pieces); another: type its number",
        ),
        (
            Control.OVEN_OUT,
            "O again has board 1 out of the oven (2 pieces); another: type its number",
        ),
    ],
)
def test_a_first_press_says_what_the_second_will_do(control: OfBoard, said: str) -> None:
    assert said == armed_board_text(control, 1, boards().board(1))
    assert len(armed_board_text(control, 9999, boards().board(1))) <= 80


def test_a_number_that_is_no_board_is_asked_for_all_the_same() -> None:
    """The digits of a longer number come one by one."""
    assert "S again takes board 12 to the bench; another: type its number" == armed_board_text(
        Control.BENCH, 12, None
    )

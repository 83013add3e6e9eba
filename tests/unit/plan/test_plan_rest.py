"""Rests of boards, which is next, and when dough wants a cover."""

from __future__ import annotations

import math
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import (
    BoardRest,
    Boards,
    BoardToBench,
    OvenIn,
    PieceBoarded,
    PieceVoided,
    Rested,
    RestWindow,
    Stage,
    cover_caution,
    next_board,
    rest_of,
    rests,
)

WINDOW = RestWindow()


def laid(pieces: int, *, every_s: float = 10.0, places: int = 3) -> Boards:
    facts = [PieceBoarded(number, number * every_s) for number in range(1, pieces + 1)]
    return reduce(Boards.after, facts, Boards(places))


def waiting(rest_s: float) -> BoardRest:
    return BoardRest(1, Stage.CLOSED, 1, rest_s, WINDOW)


def test_the_window_is_ten_to_fifteen_minutes() -> None:
    """Common range of textbooks and training texts, read in excerpts: 5-15, 8-15, 5-30 min."""
    assert (600, 900) == (WINDOW.least_s, WINDOW.most_s)


@pytest.mark.parametrize(
    ("rest_s", "rested", "text"),
    [
        (0, Rested.TOO_SHORT, "Board 1 has rested 0 min: ready in 10 min."),
        (599, Rested.TOO_SHORT, "Board 1 has rested 10 min: ready in 1 min."),
        (600, Rested.READY, "Board 1 has rested 10 min: shape it within 5 min."),
        (900, Rested.READY, "Board 1 has rested 15 min: shape it within 0 min."),
        (901, Rested.TOO_LONG, "Board 1 has rested 15 min, 1 min too long: shape it now."),
        (1140, Rested.TOO_LONG, "Board 1 has rested 19 min, 4 min too long: shape it now."),
    ],
)
def test_a_rest_says_what_to_do(rest_s: float, rested: Rested, text: str) -> None:
    assert (rested, text) == (waiting(rest_s).rested, waiting(rest_s).text)


def test_rest_left_of_the_window() -> None:
    assert (200, 500) == (waiting(400).until_s, waiting(400).left_s)
    assert (0, -100) == (waiting(1000).until_s, waiting(1000).left_s)


def test_the_oldest_piece_gives_the_rest_of_its_board() -> None:
    found = rests(laid(7), t_s=700.0)

    assert [(1, 1, 690.0), (2, 4, 660.0), (3, 7, 630.0)] == [
        (rest.board, rest.piece, rest.rest_s) for rest in found
    ]


def test_a_voided_piece_counts_for_no_rest() -> None:
    (rest, *_) = rests(laid(7).after(PieceVoided(1)), t_s=700.0)

    assert (1, 2, 680.0) == (rest.board, rest.piece, rest.rest_s)


def test_rest_ends_when_shaping_or_baking_begins() -> None:
    boards = laid(6).after(BoardToBench(1, 730.0)).after(OvenIn(2, 940.0))
    boards = boards.after(OvenIn(1, 4000.0))
    shaped = rest_of(boards.board(1), t_s=5000.0, window=WINDOW)
    baked = rest_of(boards.board(2), t_s=5000.0, window=WINDOW)

    assert shaped is not None
    assert baked is not None
    assert (720.0, 900.0) == (shaped.rest_s, baked.rest_s)
    assert "Board 1 had rested 12 min when it was taken." == shaped.text
    assert () == rests(boards, t_s=5000.0)


def test_first_in_is_first_out_and_what_is_filling_comes_last() -> None:
    boards = laid(5)
    first = next_board(boards)
    second = next_board(boards.after(BoardToBench(1, 700.0)))

    assert first is not None
    assert second is not None
    assert (1, 2) == (first.number, second.number)
    assert next_board(Boards(3)) is None


def test_an_empty_board_has_no_rest() -> None:
    boards = laid(1).after(PieceVoided(1))

    assert rest_of(boards.board(1), t_s=10.0, window=WINDOW) is None
    assert next_board(boards) is None


def test_a_clock_that_is_a_little_behind_shows_no_negative_rest() -> None:
    (rest,) = rests(laid(1), t_s=9.5)

    assert 0.0 == rest.rest_s


@given(st.integers(1, 30), st.integers(1, 8), st.floats(1, 60))
def test_rests_fall_from_board_to_board(pieces: int, places: int, every_s: float) -> None:
    found = rests(laid(pieces, every_s=every_s, places=places), t_s=5000.0)
    times = [rest.rest_s for rest in found]

    assert times == sorted(times, reverse=True)
    assert math.ceil(pieces / places) == len(found)


@pytest.mark.parametrize(("least_s", "most_s"), [(-1, 5), (900, 600), (0, math.inf), (math.nan, 5)])
def test_a_window_is_a_span_of_time(least_s: float, most_s: float) -> None:
    with pytest.raises(SpecificationError):
        RestWindow(least_s, most_s)


@pytest.mark.parametrize(
    ("uncovered_s", "said"),
    [
        (59, None),
        (60, "The dough has lain open for 1.0 min: cover it before it skins."),
        (120, "The dough has lain open for 2.0 min: cover it now, away from any fan."),
    ],
)
def test_open_dough_is_covered_within_one_to_two_minutes(
    uncovered_s: float, said: str | None
) -> None:
    """Common practice for a dry or draughty room, no source."""
    assert said == cover_caution(uncovered_s)


def test_moist_air_gives_time() -> None:
    """From 70 to 75 % relative humidity: common practice, no source."""
    assert cover_caution(600, humidity_pct=70) is None
    assert cover_caution(600, humidity_pct=69) is not None


@pytest.mark.parametrize(("uncovered_s", "humidity_pct"), [(math.nan, 50), (60, -1), (60, 101)])
def test_what_is_no_time_or_humidity_is_refused(uncovered_s: float, humidity_pct: float) -> None:
    with pytest.raises(SpecificationError):
        cover_caution(uncovered_s, humidity_pct=humidity_pct)


def test_a_rest_at_no_time_is_refused() -> None:
    with pytest.raises(SpecificationError):
        rests(laid(1), t_s=math.nan)

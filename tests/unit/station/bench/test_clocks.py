"""What the clocks of dough and boards say, and when they ask for care."""

from __future__ import annotations

from functools import reduce

import pytest

from weighstation.plan import (
    BoardClosed,
    BoardFact,
    BoardRecord,
    Boards,
    BoardToBench,
    DoughClock,
    OvenIn,
    Pace,
    PieceBoarded,
    RestWindow,
    Stage,
    TimeLimit,
)
from weighstation.station.bench.clocks import COVER_SHOWN_S, Clocks
from weighstation.station.bench.keys import Control

CLOCK_S = 1000.0
"""Where the clock of the run begins on that of the boards."""


def laid(
    pieces: int, *facts: BoardFact, places: int = 6, every_s: float = 10.0, run: str = "r1"
) -> Clocks:
    """Lay one piece after another; times of facts are on the clock of the boards."""
    cuts = [PieceBoarded(n, CLOCK_S + every_s * n, run) for n in range(1, pieces + 1)]
    boards = reduce(Boards.after, (*cuts, *facts), Boards(places))
    return Clocks(record=BoardRecord(boards, clock_s=CLOCK_S), is_filling=True)


def test_the_board_that_fills_is_told_with_its_pieces_and_places() -> None:
    assert [(1, 0, 6), (1, 4, 6), (2, 0, 6)] == [laid(n).filling for n in (0, 4, 6)]


def test_a_product_without_boards_fills_none() -> None:
    clocks = laid(4)

    assert Clocks(record=clocks.record).filling is None
    assert Clocks().filling is None


def test_the_oldest_board_rests_on_the_clock_of_the_station() -> None:
    """Rest counts from the cut of the first piece, at 10 s, to now."""
    rest = laid(14).resting(630.0)

    assert rest is not None
    assert (1, 620.0) == (rest.board, rest.rest_s)


def test_rests_go_by_the_window_of_the_run_that_a_piece_is_of() -> None:
    clocks = laid(2, run="rolls")
    assert clocks.record is not None
    record = BoardRecord(
        clocks.record.boards, clock_s=CLOCK_S, windows={"rolls": RestWindow(300.0, 480.0)}
    )
    rest = Clocks(record=record).resting(400.0)

    assert rest is not None
    assert (300.0, 480.0) == (rest.window.least_s, rest.window.most_s)


def test_how_many_boards_wait_leaves_out_those_at_the_bench() -> None:
    assert [0, 1, 3, 2] == [
        clocks.waiting for clocks in (laid(0), laid(2), laid(14), laid(14, BoardToBench(1, 2000.0)))
    ]


def test_goods_that_are_baked_as_cut_go_from_the_rest_into_the_oven() -> None:
    board = laid(8).meant(Control.OVEN_IN)

    assert board is not None
    assert (1, Stage.CLOSED) == (board.number, board.stage)


def about(clocks: Clocks, t_s: float, left: int | None = None) -> tuple[str | int, ...] | None:
    caution = clocks.caution(t_s, left)
    return caution.about if caution else None


@pytest.mark.parametrize(
    ("pieces", "at_s", "expected"),
    [
        (6, 69.9, None),  # its first piece was cut at 10 s
        (6, 70.0, ("cover", 1)),
        (6, 70.0 + COVER_SHOWN_S - 0.1, ("cover", 1)),
        (6, 70.0 + COVER_SHOWN_S, None),
        (4, 129.9, None),
        (4, 130.0, ("cover", 1)),
        (12, 130.0, ("cover", 2)),
    ],
)
def test_a_board_is_said_once_to_want_its_cover(
    pieces: int, at_s: float, expected: tuple[str, int] | None
) -> None:
    """When it is full, but not before a minute; when it fills slowly, after two (common practice).

    Nobody says when a cover is on, so it is said for a while and not again.
    """
    assert expected == about(laid(pieces), at_s)


def test_a_board_that_is_shaped_or_baked_wants_no_cover() -> None:
    assert about(laid(6, BoardToBench(1, 1065.0)), 75.0) is None
    assert about(laid(6, OvenIn(1, 1065.0)), 75.0) is None


def test_a_cover_says_what_to_do() -> None:
    caution = laid(6).caution(85.0, None)

    assert caution is not None
    assert "Board 1 has lain open for 1.2 min: cover it before it skins." == caution.text


def test_shaping_that_falls_behind_is_said() -> None:
    """Worked by hand: boards of 6, cut at 10 s a piece, taken 300 s apart: 50 s a piece.

    Piece 60 is the 48th that waits; the first of them may begin at 1000 + 1000 s, so its turn comes
    47 x 50 s later, 1000 + 1000 + 2350 - (1000 + 600) = 2750 s after its cut, which is 46 min.
    """
    clocks = laid(60, BoardToBench(1, CLOCK_S + 400.0), BoardToBench(2, CLOCK_S + 700.0))
    caution = clocks.caution(1000.0, None)

    assert caution is not None
    assert "Shaping too slow: piece 60 rests 46 min. More hands, or pause scaling." == caution.text


def test_shaping_that_keeps_step_is_not_warned_of() -> None:
    clocks = laid(18, BoardToBench(1, CLOCK_S + 620.0), BoardToBench(2, CLOCK_S + 680.0))

    assert about(clocks, 700.0) is None


def test_where_nobody_ever_says_s_the_panel_asks_for_it_in_the_end() -> None:
    assert about(laid(6), 1800.0) is None
    assert ("unsaid", 1) == about(laid(6), 1811.0)
    assert about(laid(12, BoardToBench(1, 2000.0)), 1900.0) is None


def test_a_dough_that_takes_too_long_is_said_with_what_helps() -> None:
    """80 pieces at 12 s are 960 s, and 600 s are left: 50 fit, two scalers would do."""
    clocks = Clocks(
        DoughClock(first_cut_s=0.0, limit=TimeLimit(900.0, 900.0)), Pace(12.0, 12), None
    )
    caution = clocks.caution(300.0, 80)

    assert caution is not None
    assert "Only 50 of the 80 left fit in time. Put 2 scalers to it." == caution.text
    assert clocks.caution(300.0, 40) is None
    assert clocks.caution(300.0, -2) is None


def test_a_dough_far_too_large_goes_in_part_into_the_cold() -> None:
    clocks = Clocks(
        DoughClock(first_cut_s=0.0, limit=TimeLimit(900.0, 900.0)), Pace(12.0, 12), None
    )
    caution = clocks.caution(840.0, 80)

    assert caution is not None
    assert caution.text.endswith("Put the others in the cold, covered.")


def test_what_passes_soonest_is_said_first() -> None:
    clocks = laid(6)
    both = Clocks(
        DoughClock(first_cut_s=0.0, limit=TimeLimit(60.0, 60.0)), Pace(12.0, 12), clocks.record
    )

    assert ("cover", 1) == about(both, 75.0, 80)
    assert ("dough", "cooler dough") == about(both, 95.0, 80)


@pytest.mark.parametrize("seconds", [0.0, 75.0, 700.0, 1300.0, 4000.0, 40_000.0])
@pytest.mark.parametrize("pieces", [0, 1, 6, 60, 600])
def test_every_caution_fits_one_line_of_the_panel(pieces: int, seconds: float) -> None:
    """80 columns, less a margin of two on either side and the sign."""
    clocks = laid(
        pieces, *(BoardToBench(n, CLOCK_S + 6000.0 + n * 400.0) for n in (1, 2)[: pieces // 12])
    )
    whole = Clocks(
        DoughClock(first_cut_s=0.0, limit=TimeLimit(900.0, 900.0)), Pace(6.0, 12), clocks.record
    )
    for part in (clocks, whole):
        caution = part.caution(seconds + 6000.0 * (pieces == 600), 200)

        assert caution is None or len(caution.text) <= 74


def test_a_closed_board_is_the_newest_that_is_full() -> None:
    early = laid(2, BoardClosed(1)).newest_full

    assert laid(2).newest_full is None
    assert early is not None
    assert 1 == early.number

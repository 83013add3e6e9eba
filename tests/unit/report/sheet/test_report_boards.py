"""The sheet tells each board, and whether its rest was within the window."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING

import pytest

from weighstation.plan import (
    BoardClosed,
    BoardFact,
    Boards,
    BoardToBench,
    OvenIn,
    OvenOut,
    PieceBoarded,
    RestWindow,
)
from weighstation.report import batch_record, batch_sheet
from weighstation.report.sheet.boards import BatchBoard, boards_table

if TYPE_CHECKING:
    from weighstation.report import BatchFigures

BEGAN_S = 1_772_424_600.0
"""2026-03-02 04:10 UTC."""


def boards(*facts: BoardFact, pieces: int = 6, every_s: float = 30.0) -> tuple[BatchBoard, ...]:
    """Lay pieces on boards of four, the first at 04:10:30."""
    cuts = [PieceBoarded(n, BEGAN_S + every_s * n, "a1") for n in range(1, pieces + 1)]
    morning = reduce(Boards.after, (*cuts, *facts), Boards(4))
    return tuple(BatchBoard(board, RestWindow()) for board in morning.boards)


def at(minutes: float) -> float:
    return BEGAN_S + 60.0 * minutes


def rows(figures: BatchFigures) -> dict[str, tuple[str, str]]:
    table = boards_table(figures)

    assert table is not None
    return {row.label: (row.said, row.note) for row in table.rows}


def test_without_boards_and_without_a_limit_there_is_no_such_table(figures: BatchFigures) -> None:
    assert boards_table(figures) is None
    assert "Dough's time and boards" not in [each.title for each in batch_sheet(figures).tables]


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ((), "cut 04:10 to 04:12"),
        ((BoardToBench(1, at(12.5)),), "cut 04:10 to 04:12; shaped 04:22, rested 12 min"),
        (
            (BoardToBench(1, at(6.5)),),
            "cut 04:10 to 04:12; shaped 04:16, rested 6 min, 4 min too short",
        ),
        (
            (BoardToBench(1, at(18.0)),),
            "cut 04:10 to 04:12; shaped 04:28, rested 17 min, 3 min too long",
        ),
        (
            (BoardToBench(1, at(12.5)), OvenIn(1, at(80))),
            "cut 04:10 to 04:12; shaped 04:22, rested 12 min; in the oven since 05:30",
        ),
        (
            (OvenIn(1, at(12.5)), OvenOut(1, at(50))),
            "cut 04:10 to 04:12; baked as cut, rested 12 min; in the oven 04:22 to 05:00",
        ),
    ],
)
def test_a_board_is_told_with_its_pieces_times_and_rest(
    figures: BatchFigures, facts: tuple[BoardFact, ...], said: str
) -> None:
    """The first piece was cut at 04:10:30; the window is 10 to 15 min (textbook)."""
    found = rows(replace(figures, boards=boards(*facts)))

    assert ("pieces 1-4", said) == found["Board 1"]


def test_a_board_that_was_not_full_says_so(figures: BatchFigures) -> None:
    found = rows(replace(figures, boards=boards(BoardClosed(2))))

    assert ("pieces 5-6", "cut 04:12 to 04:13, 2 of 4 places") == found["Board 2"]


def test_a_board_of_one_piece_has_one_time(figures: BatchFigures) -> None:
    found = rows(replace(figures, boards=boards(pieces=5)))

    assert ("piece 5", "cut 04:12, 1 of 4 places") == found["Board 2"]


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ((), ("—", "not said when 2 boards went to be shaped")),
        (
            (BoardToBench(1, at(12.5)),),
            ("1 of 1 board", "within 10 to 15 min; longest 12 min, board 1; of 1 it was not said"),
        ),
        (
            (BoardToBench(1, at(12.5)), BoardToBench(2, at(22.5))),
            ("1 of 2 boards", "within 10 to 15 min; longest 20 min, board 2"),
        ),
    ],
)
def test_the_rests_of_all_boards_are_summed_up(
    figures: BatchFigures, facts: tuple[BoardFact, ...], said: tuple[str, str]
) -> None:
    assert said == rows(replace(figures, boards=boards(*facts)))["Rest"]


def test_the_dough_is_told_since_mixing_and_by_its_limit(figures: BatchFigures) -> None:
    """The last of six pieces was on the pan 60 s after the dough was first cut, and for 5 s."""
    timed = replace(
        figures,
        product=replace(figures.product, dough_limit_min=20.0),
        mixed_utc_ms=round(1000 * at(-75)),
        first_cut_utc_ms=round(1000 * at(0.1)),
    )
    found = rows(timed)

    assert ("02:55", "1 h 15 min before the first cut") == found["Mixed"]
    assert ("1 min", "within its 20 min") == found["First to last cut"]


def test_a_dough_that_took_too_long_says_by_how_much(figures: BatchFigures) -> None:
    slow = tuple(replace(each, dough_age_ms=1_500_000) for each in figures.pieces)
    product = replace(figures.product, dough_limit_min=20.0)
    found = rows(replace(figures, pieces=slow, product=product))

    assert ("25 min", "6 min over its 20 min") == found["First to last cut"]


def test_a_program_reads_each_piece_with_its_place_and_its_cut(figures: BatchFigures) -> None:
    facts = (BoardToBench(1, at(12.5)), OvenIn(1, at(80)))
    record = batch_record(replace(figures, boards=boards(*facts), mixed_utc_ms=0))
    written = record["boards"]

    assert isinstance(written, list)
    first, second = written

    assert "1970-01-01T00:00:00.000+00:00" == record["mixed"]
    assert {"piece": 2, "place": 2, "cut": "2026-03-02T04:11:00.000+00:00"} == first["pieces"][1]
    assert (1, 4, "in_oven", 720.0, True) == tuple(
        first[key] for key in ("board", "places", "stage", "rest_s", "within_window")
    )
    assert ("2026-03-02T04:22:30.000+00:00", None) == (first["at_bench"], first["out_of_oven"])
    assert [600.0, 900.0] == first["rest_window_s"]
    assert (None, None, "filling") == tuple(
        second[key] for key in ("rest_s", "within_window", "stage")
    )


def test_pieces_struck_out_leave_a_gap_in_the_numbers(figures: BatchFigures) -> None:
    found = boards()
    board = found[0].board
    struck = replace(board, pieces=(*board.pieces[:1], *board.pieces[2:]))

    assert (
        "pieces 1, 3-4"
        == rows(replace(figures, boards=(BatchBoard(struck, RestWindow()),)))["Board 1"][0]
    )

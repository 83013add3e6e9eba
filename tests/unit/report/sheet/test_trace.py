"""The sheet names the board on which something went astray."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING

import pytest

from weighstation.journal import DoughWeighed, PanShifted
from weighstation.plan import Boards, PieceBoarded, RestWindow
from weighstation.report import batch_record, batch_sheet
from weighstation.report.sheet.boards import BatchBoard
from weighstation.report.sheet.figures import Dough
from weighstation.report.sheet.trace import FirstCutsMoved, Pile, trace_records, trace_table, traced

if TYPE_CHECKING:
    from weighstation.report import BatchFigures
    from weighstation.report.sheet.trace import BenchFact

FINAL_G = (744, 738, 748, 732, 728, 756)
"""Of the six pieces of the figures."""
ON_HAND_G = 5000


def two_boards() -> tuple[BatchBoard, ...]:
    """Lay the pieces on boards of four."""
    cuts = (PieceBoarded(number, 30.0 * number, "a1") for number in range(1, 7))
    laid = reduce(Boards.after, cuts, Boards(4))
    return tuple(BatchBoard(board, RestWindow()) for board in laid.boards)


def morning(
    figures: BatchFigures, *facts: BenchFact, boarded: bool = True, left_g: float | None = None
) -> BatchFigures:
    """Return six pieces on two boards of four, their dough weighed back as told."""
    left_mg = None if left_g is None else round(left_g * 1000)
    return replace(
        figures,
        boards=two_boards() if boarded else (),
        dough=Dough(ON_HAND_G * 1000, left_mg=left_mg),
        bench_facts=facts,
    )


def back(after: int, *, gone_g: float = 0.0) -> DoughWeighed:
    """Weigh back what is left after a piece, and after so much has gone besides."""
    return DoughWeighed(round((ON_HAND_G - sum(FINAL_G[:after]) - gone_g) * 1000), 1, after)


def told(figures: BatchFigures) -> list[tuple[str, str, float]]:
    return [(one.kind, one.where, one.mass_mg / 1000) for one in traced(figures)]


def test_where_nobody_weighs_back_the_dough_names_no_board(figures: BatchFigures) -> None:
    """The sum of the batch is in its own table; it cannot tell one board from the other."""
    assert [] == told(morning(figures, left_g=200))
    assert trace_table(morning(figures, left_g=200)) is None
    assert "Traced to a board" not in [each.title for each in batch_sheet(figures).tables]


def test_dough_that_agrees_is_said_to_agree(figures: BatchFigures) -> None:
    table = trace_table(morning(figures, back(4), back(6)))

    assert table is not None
    assert [
        (
            "Dough weighed back",
            "2 times",
            "dough agrees on 2 of 2 stretches, each to 62 g or better",
        )
    ] == [(row.label, row.said, row.note) for row in table.rows]


def test_a_scrap_that_is_gone_names_its_board(figures: BatchFigures) -> None:
    found = morning(figures, back(4), back(6, gone_g=61))

    assert [("dough gone", "Board 2", 61.0)] == told(found)
    assert traced(found)[0].text == (
        "61 g of dough are gone and in no piece, between pieces 5 and 6: scraps, or dough on the"
        " floor?"
    )


def test_without_boards_the_pieces_are_named(figures: BatchFigures) -> None:
    found = morning(figures, back(4), back(6, gone_g=61), boarded=False)

    assert [("dough gone", "Pieces 5-6", 61.0)] == told(found)


def test_one_weighing_back_for_two_boards_names_both(figures: BatchFigures) -> None:
    found = morning(figures, back(2), back(6, gone_g=150))

    assert [("dough gone", "Boards 1-2", 150.0)] == told(found)


def test_the_rest_that_is_typed_ends_the_last_stretch(figures: BatchFigures) -> None:
    left_g = ON_HAND_G - sum(FINAL_G) - 80

    assert [("dough gone", "Board 2", 80.0)] == told(morning(figures, back(4), left_g=left_g))


def test_pieces_weighed_with_a_cloth_are_too_heavy_by_it(figures: BatchFigures) -> None:
    found = morning(figures, back(4), back(6, gone_g=-40))

    assert [("counted too much", "Board 2", -40.0)] == told(found)
    assert "weighed 40 g heavier than what left the dough, 20 g each if all are" in (
        traced(found)[0].text
    )


def test_a_pile_that_is_missing_lies_on_the_board_that_was_filling(figures: BatchFigures) -> None:
    found = morning(figures, back(4), Pile(1_479_000, 5), back(6, gone_g=1481))
    (one,) = traced(found)

    assert ("not counted", "Board 2", 1_481_000) == (one.kind, one.where, one.mass_mg)
    assert "after piece 5 (1479 g) and was not counted: it lies on board 2 besides" in one.text


def test_a_pile_of_which_the_dough_agrees_was_weighed_again(figures: BatchFigures) -> None:
    assert [] == told(morning(figures, back(4), Pile(1_479_000, 5), back(6)))


def test_a_pile_without_dough_to_tell_is_asked_about(figures: BatchFigures) -> None:
    (one,) = traced(morning(figures, Pile(1_479_000, 4)))

    assert ("two at once", "Board 2") == (one.kind, one.where)
    assert "unless they were weighed again one by one" in one.text


def test_a_whole_piece_that_was_not_counted_is_called_one(figures: BatchFigures) -> None:
    (one,) = traced(morning(figures, back(4), back(6, gone_g=745)))

    assert ("not counted", "Board 2") == (one.kind, one.where)
    assert "about one piece: was something boarded that was not weighed" in one.text


@pytest.mark.parametrize(
    ("fact", "kind", "where", "part"),
    [
        (
            PanShifted(0, -20_000, 4),
            "pan shifted",
            "Board 2",
            "from piece 5 on the empty pan showed \N{MINUS SIGN}20 g, before that 0 g",
        ),
        (
            FirstCutsMoved(3, 6, 19_400),
            "first cuts",
            "Boards 1-2",
            "first cuts of pieces 3-6 were 19 g heavy on the mean",
        ),
    ],
)
def test_what_needs_no_dough_names_its_board_too(
    fact: BenchFact, kind: str, where: str, part: str, figures: BatchFigures
) -> None:
    (one,) = traced(morning(figures, fact))

    assert (kind, where) == (one.kind, one.where)
    assert part in one.text


def test_programs_are_told_the_same(figures: BatchFigures) -> None:
    (one,) = trace_records(morning(figures, back(4), back(6, gone_g=61)))

    assert ("dough gone", [2], [5, 6], 61.0) == tuple(
        one[key] for key in ("kind", "boards", "pieces", "grams")
    )
    assert str(one["text"]).startswith("Board 2: 61 g of dough are gone")
    assert [one] == batch_record(morning(figures, back(4), back(6, gone_g=61)))["traced"]

"""A batch's figures follow from integers alone."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.report import BatchFigures


def test_sums_add_up_over_runs(figures: BatchFigures) -> None:
    assert len(figures.pieces) == figures.kept.n
    assert sum(piece.final_mg - 740_000 for piece in figures.pieces) == figures.kept.sum_d_mg
    assert sum(piece.first_mg - 740_000 for piece in figures.pieces) == figures.first.sum_d_mg
    assert sum(piece.touches for piece in figures.pieces) == figures.touches
    assert sum(piece.ms for piece in figures.pieces) == figures.ms


def test_money_is_the_exact_price_of_the_dough_given_away(figures: BatchFigures) -> None:
    """6 g over in all at 0.62 a kilogram, worked out by hand."""
    assert Decimal("0.00372") == figures.money


def test_without_a_price_there_is_no_money(figures: BatchFigures) -> None:
    free = replace(figures, product=replace(figures.product, dough_cost_per_kg=None))

    assert free.money is None


def test_light_pieces_are_those_below_the_band(figures: BatchFigures) -> None:
    """A piece on the lower limit is kept, so it is not light."""
    assert figures.light_mg == (12_000,)


def test_what_is_open_is_gathered_from_every_run(figures: BatchFigures) -> None:
    assert figures.unresolved == (2, 7)
    assert [run.run for run in figures.interrupted] == ["a1"]
    assert figures.voided == 1
    assert figures.out_of_band == 1

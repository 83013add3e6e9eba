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
    assert sum(mg - 740_000 for mg in figures.first_cuts.values()) == figures.first.sum_d_mg


def test_touches_and_seconds_are_means_of_the_pieces_they_are_known_of(
    figures: BatchFigures,
) -> None:
    """Of six pieces touched 1, 0, 0, 2, 0, 0 times in 30 s together; then of five without 2."""
    assert (0.5, 5000) == (figures.touches_each, figures.ms_each)

    tallied = replace(figures.pieces[3], first_mg=None, touches=None, ms=None)
    mixed = replace(figures, pieces=(*figures.pieces[:3], tallied, *figures.pieces[4:]))

    assert (0.2, 4200) == (mixed.touches_each, mixed.ms_each)
    assert [1, 2, 3, 5, 6] == list(mixed.first_cuts)


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

"""Bench flour that stays on the pieces -> what becomes of the dough.

Flour on a piece is weighed and counts as dough: a dusty piece holds less of it than the scale
says, and its dough is drier than the formula. Small goods suffer most.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from weighstation.errors import SpecificationError
from weighstation.plan import given

GOOD_PCT = 1.0
FAULT_PCT = 2.0
"""Flour in percent of the dough: up to the first is good, above the second a fault."""
_NOISE_PCT = 1e-9
FLOUR_CAUTION = (
    "Use a dredger, throw no flour and sweep none up dry: its dust harms the lungs, and a cloud of"
    " it can explode; follow the rules of your place."
)


class Dusting(Enum):
    """How much flour the pieces take along."""

    GOOD = "good"
    MUCH = "much"
    FAULT = "too much"


@dataclass(frozen=True, slots=True)
class BenchFlour:
    """What bench flour does to a piece.

    Parameters
    ----------
    flour_g : float, grams
        Picked up by one piece.
    dough_pct : float, percent of the dough
        The same.
    hydration_pct : float, percent of the flour
        Of the piece with its dust.
    change_pct : float, percentage points
        Against the formula; negative.
    dusting : Dusting
    """

    flour_g: float
    dough_pct: float
    hydration_pct: float
    change_pct: float
    dusting: Dusting

    @property
    def text(self) -> str:
        """One plain sentence, with the caution where it is too much."""
        said = (
            f"{given.plain(self.flour_g)} g of bench flour on a piece are {self.dough_pct:.1f} % of"
            f" it ({self.dusting.value}) and change its hydration by {self.change_pct:+.2f} points."
        )
        return f"{said} {FLOUR_CAUTION}" if self.dusting is Dusting.FAULT else said


def bench_flour(
    piece_g: float, flour_g: float, *, sum_pct: float, hydration_pct: float
) -> BenchFlour:
    """Return what the flour that a piece picks up does to it.

    Parameters
    ----------
    piece_g : float, grams
        The dough of the piece, without dust.
    flour_g : float, grams
        Picked up by it, `picked_up_g`.
    sum_pct : float, percent of the flour
        All percentages of the formula added up, `Formula.sum_pct`.
    hydration_pct : float, percent of the flour
        Of the formula, `Formula.hydration_pct`.

    Returns
    -------
    BenchFlour

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    ``F = piece 100 / S``, ``W = F h / 100``, ``h' = 100 W / (F + flour)``, which is
    ``h - h flour / (F + flour)``: arithmetic. Up to 1 % of the dough is good, above 2 % a fault:
    common practice, no source.

    Examples
    --------
    >>> found = bench_flour(500, 5, sum_pct=172, hydration_pct=70)
    >>> round(found.hydration_pct, 2), found.dusting.value
    (68.82, 'good')
    """
    piece = given.number(piece_g, "A piece", positive=True)
    flour = given.number(flour_g, "Bench flour")
    total = given.number(sum_pct, "The sum of a formula", positive=True)
    hydration = given.number(hydration_pct, "A hydration")
    if total < 100 + hydration - _NOISE_PCT:
        raise SpecificationError(
            f"A formula of {total:g} % holds no flour of 100 and liquid of {hydration:g} %.",
            hint="Give both in percent of the flour.",
        )
    in_formula_g = piece * 100 / total
    change_pct = 0.0 - hydration * flour / (in_formula_g + flour)
    dough_pct = 100 * flour / piece
    return BenchFlour(flour, dough_pct, hydration + change_pct, change_pct, _dusting(dough_pct))


def picked_up_g(tub_start_g: float, tub_end_g: float, *, swept_g: float, pieces: int) -> float:
    """Return how much bench flour one piece takes along.

    Parameters
    ----------
    tub_start_g, tub_end_g : float, grams
        The tub of flour before and after.
    swept_g : float, grams
        Taken up from bench and floor.
    pieces : int
        Handled in between, at least 1.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number makes no sense, or more came back than was taken.

    Notes
    -----
    ``(start - end - swept) / pieces``: common practice, no source.

    Examples
    --------
    >>> picked_up_g(2000, 1820, swept_g=60, pieces=48)
    2.5
    """
    start = given.number(tub_start_g, "The tub at the start")
    end = given.number(tub_end_g, "The tub at the end")
    swept = given.number(swept_g, "What was swept up")
    number = given.count(pieces, "The number of pieces", least=1)
    if end + swept > start:
        raise SpecificationError(
            f"{given.plain(end + swept)} g of flour came back of {given.plain(start)} g.",
            hint="Weigh the tub again, and leave out flour that was filled up.",
        )
    return (start - end - swept) / number


def _dusting(dough_pct: float) -> Dusting:
    if dough_pct <= GOOD_PCT + _NOISE_PCT:
        return Dusting.GOOD
    return Dusting.MUCH if dough_pct <= FAULT_PCT + _NOISE_PCT else Dusting.FAULT

"""``plan flour``: flour that the pieces pick up at the bench -> what it does to their hydration."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import Dusting, bench_flour, formula, picked_up_g
from weighstation.quantities import grams
from weighstation.report.plans.flour import FlourPlan, flour_page, flour_record
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.answering import ON_SCREEN, Answering

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.plan import Formula
    from weighstation.specification import Product


@dataclass(frozen=True, slots=True)
class Tub:
    """A tub of bench flour, weighed before and after.

    Parameters
    ----------
    start_mg, end_mg, swept_mg : int, milligrams
        Before, after, and taken up from bench and floor.
    pieces : int
        Handled in between.
    """

    start_mg: int
    end_mg: int
    swept_mg: int
    pieces: int


@dataclass(frozen=True, slots=True)
class FlourAsked:
    """The words of ``plan flour``.

    Parameters
    ----------
    product : str
    flour_mg : int, milligrams, or None
        On a piece; None works it out from the tub.
    tub : Tub or None
    answering : Answering
    home : Path or None
    """

    product: str
    flour_mg: int | None = None
    tub: Tub | None = None
    answering: Answering = ON_SCREEN
    home: Path | None = None


def tub_of(
    start_mg: int | None, end_mg: int | None, *, swept_mg: int, pieces: int | None
) -> Tub | None:
    """Return a tub as it was typed.

    Parameters
    ----------
    start_mg, end_mg : int, milligrams, or None
    swept_mg : int, milligrams
    pieces : int or None

    Returns
    -------
    Tub or None
        None where nothing was said of it.

    Raises
    ------
    SpecificationError
        If only a part of it was said.
    """
    if start_mg is None and end_mg is None and pieces is None and not swept_mg:
        return None
    if start_mg is None or end_mg is None or pieces is None:
        raise SpecificationError(
            "A tub of flour is weighed before and after, for a number of pieces.",
            hint="Give --tub, --tub-after and --pieces together.",
        )
    return Tub(start_mg, end_mg, swept_mg, pieces)


def run_flour(asked: FlourAsked) -> int:
    """Print what bench flour does to the pieces of a product.

    Parameters
    ----------
    asked : FlourAsked

    Returns
    -------
    int
        Exit code: 1 where it is too much.

    Raises
    ------
    SpecificationError
        If products.toml or what was typed makes no sense, or the product has no formula.
    """
    product = Home.find(asked.home).catalogue().product(asked.product)
    flour_g, scaling_g = _flour_g(asked), grams(product.limits.target_mg)
    if flour_g >= scaling_g:
        raise SpecificationError(
            f"{flour_g:g} g of flour on a piece leave no dough in {scaling_g:g} g.",
            hint="Give the grams that one piece picks up.",
        )
    made = _formula_of(product, scaling_g)
    wet_pct = made.hydration_pct
    found = bench_flour(
        scaling_g - flour_g, flour_g, sum_pct=made.sum_pct, hydration_pct=wet_pct or 0.0
    )
    plan = FlourPlan(product.name, scaling_g, wet_pct, found)
    asked.answering.give(lambda: flour_page(plan), lambda: flour_record(plan))
    return 1 if found.dusting is Dusting.FAULT else 0


def _flour_g(asked: FlourAsked) -> float:
    """Return what one piece picks up: as given, or by the tub."""
    if (asked.flour_mg is None) == (asked.tub is None):
        raise SpecificationError(
            "The flour on a piece is not known."
            if asked.tub is None
            else "The flour on a piece is given twice.",
            hint="Give its GRAMS, or what the tub weighed: --tub, --tub-after and --pieces.",
        )
    if asked.tub is None:
        return grams(asked.flour_mg or 0)
    tub = asked.tub
    start_g, end_g, swept_g = (grams(mg) for mg in (tub.start_mg, tub.end_mg, tub.swept_mg))
    return picked_up_g(start_g, end_g, swept_g=swept_g, pieces=tub.pieces)


def _formula_of(product: Product, dough_g: float) -> Formula:
    said = product.formula
    if said is None:
        raise SpecificationError(
            f"'{product.name}' has no formula, so nothing says how much flour is in a piece.",
            hint="Give it a [product.formula] in products.toml, or the dough of one that has it.",
        )
    return formula(said.percentages, dough_g, flours=said.flours)

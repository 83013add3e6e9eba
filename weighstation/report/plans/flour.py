"""Bench flour on a piece -> a page: what it does to the dough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan import given
from weighstation.plan.pieces.flour import FAULT_PCT, FLOUR_CAUTION, GOOD_PCT
from weighstation.report.page.page import Page, figure
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, signed

if TYPE_CHECKING:
    from weighstation.plan import BenchFlour

_EATEN = "Bench flour is eaten too: its allergens belong to those of the product."


@dataclass(frozen=True, slots=True)
class FlourPlan:
    """What bench flour does to the pieces of a product.

    Parameters
    ----------
    product : str
    scaling_g : float, grams
        Of a piece as it is weighed, with its dust.
    formula_pct : float, percent of the flour, or None
        Hydration of the formula; None where none of its ingredients is called water.
    found : BenchFlour
    """

    product: str
    scaling_g: float
    formula_pct: float | None
    found: BenchFlour


def flour_page(plan: FlourPlan) -> Page:
    """Return the page of bench flour.

    Parameters
    ----------
    plan : FlourPlan

    Returns
    -------
    Page
    """
    found = plan.found
    dough_g = plan.scaling_g - found.flour_g
    rows = (
        SheetRow("As weighed", f"{given.plain(plan.scaling_g)} g", "flour on a piece weighs too"),
        SheetRow("Of that, dough", f"{given.plain(dough_g)} g"),
        SheetRow("Bench flour", f"{given.plain(found.flour_g)} g", _share(found)),
        _hydration(plan),
    )
    return Page(
        title=f"{plan.product}: bench flour on a piece",
        parts=(SheetTable("A piece", rows),),
        cautions=(_EATEN, FLOUR_CAUTION),
        conclusion=f"{found.dusting.value.capitalize()}: {_advice(found)}",
    )


def _share(found: BenchFlour) -> str:
    return (
        f"{found.dough_pct:.1f} % of the dough; up to {GOOD_PCT:g} % is good, above"
        f" {FAULT_PCT:g} % a fault (common practice)"
    )


def _hydration(plan: FlourPlan) -> SheetRow:
    if plan.formula_pct is None:
        return SheetRow("Hydration", NONE, "none of its ingredients is called water")
    change = f"{plan.formula_pct:.1f} % by the formula, {signed(plan.found.change_pct)}"
    return SheetRow("Hydration", f"{plan.found.hydration_pct:.1f} %", f"of the flour; {change}")


def _advice(found: BenchFlour) -> str:
    if found.dough_pct <= GOOD_PCT:
        return "leave it as it is."
    return "dust more thinly, or oil the bench where the product allows it."


def flour_record(plan: FlourPlan) -> dict[str, object]:
    """Return bench flour as a dictionary that json can write.

    Parameters
    ----------
    plan : FlourPlan

    Returns
    -------
    dict
        Grams and percent, units in the names.
    """
    found = plan.found
    return {
        "product": plan.product,
        "scaling_g": figure(plan.scaling_g),
        "flour_g": figure(found.flour_g),
        "dough_g": figure(plan.scaling_g - found.flour_g),
        "dough_pct": figure(found.dough_pct),
        "formula_hydration_pct": figure(plan.formula_pct),
        "hydration_pct": None if plan.formula_pct is None else figure(found.hydration_pct),
        "change_points": None if plan.formula_pct is None else figure(found.change_pct),
        "dusting": found.dusting.value,
        "cautions": [_EATEN, FLOUR_CAUTION],
    }

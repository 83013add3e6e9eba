"""One ``[[product]]`` table -> a product, and what is wrong with it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.specification import kinds
from weighstation.specification.limits import Limits, limit_faults
from weighstation.specification.parts import (
    Bake,
    BakersFormula,
    DustingFlour,
    FinalProof,
    LossBasis,
    StageLosses,
)
from weighstation.specification.product import Product
from weighstation.specification.table import Table, near

if TYPE_CHECKING:
    from collections.abc import Mapping

FLOURS_PCT = 100.0
ROUNDED_PCT = 0.05
"""Three flours written as 33.33 are 100 too."""
_BAND_KEYS = ("scaling_weight_g", "under_g", "over_g")
_NO_BAND = Limits(1, 0, 0)
"""Stands for limits that cannot be taken; its product has faults and is thrown away."""
_STAGES = ("fermentation_pct", "handling_pct", "oven_pct", "cooling_pct", "shelf_pct")


@dataclass(frozen=True, slots=True)
class Entry:
    """A product as it was read.

    Parameters
    ----------
    table : Table
        With the faults that were found so far; the product means nothing where there are any.
    product : Product
    ingredients : tuple of str
        Of its own formula, those too whose percentage does not fit.
    """

    table: Table
    product: Product
    ingredients: tuple[str, ...]


def read_entry(given: Mapping[str, object], where: str) -> Entry:
    """Return the product that a table describes.

    Parameters
    ----------
    given : mapping of str to object
    where : str
        What the table is called in a fault.

    Returns
    -------
    Entry
    """
    table = Table(given, where)
    product = Product(
        name=table.need("name", kinds.TEXT) or "",
        limits=_limits(table),
        declared_mg=table.take("declared_g", kinds.GRAMS_ABOVE_0),
        dough_cost_per_kg=table.take("dough_cost_per_kg", kinds.MONEY),
        is_guarded=table.take("guard", kinds.TRUTH) or False,
        board_places=table.take("board_places", kinds.PLACES),
        rest_min=table.take("rest_min", kinds.WINDOW),
        dough_limit_min=table.take("dough_limit_min", kinds.MINUTES),
        dough=table.take("dough", kinds.TEXT),
        allergens=table.take("allergens", kinds.TEXTS),
        quantity_rule=table.take("quantity_rule", kinds.RULE),
        sale_price_each=table.take("sale_price_each", kinds.MONEY),
        losses=_losses(table.part("losses")),
        dusting=_dusting(table.part("dusting")),
        proof=_proof(table.part("proof")),
        oven=_bake(table.part("oven")),
    )
    _see_to_dusting(table, product)
    formula, ingredients = _formula(table.part("formula"))
    table.end()
    return Entry(table, replace(product, formula=formula), ingredients)


def _limits(table: Table) -> Limits:
    target_mg, under_mg, over_mg = (table.need(key, kinds.GRAMS) for key in _BAND_KEYS)
    if target_mg is None or under_mg is None or over_mg is None:
        return _NO_BAND
    faults = limit_faults(target_mg, under_mg, over_mg, names=_BAND_KEYS)
    for fault in faults:
        table.fault(fault)
    return _NO_BAND if faults else Limits(target_mg, under_mg, over_mg)


def _losses(table: Table | None) -> StageLosses | None:
    if table is None:
        return None
    said = {stage: table.take(stage, kinds.LOSS) for stage in _STAGES}
    how = 'write "dough" for percent of what goes into a stage, "bread" for what comes out of it'
    basis = table.need("basis", kinds.one_of(LossBasis), how=how)
    table.end()
    return None if basis is None else StageLosses(basis, **said)


def _dusting(table: Table | None) -> DustingFlour | None:
    if table is None:
        return None
    name, allergens = table.need("name", kinds.TEXT), table.take("allergens", kinds.TEXTS)
    table.end()
    return None if name is None else DustingFlour(name, allergens)


def _see_to_dusting(table: Table, product: Product) -> None:
    """Refuse dusting flour with an allergen that the product does not name: it is eaten too."""
    if product.dusting is None or product.allergens is None:
        return
    named = {allergen.casefold() for allergen in product.allergens}
    for allergen in product.dusting.allergens or ():
        if allergen.casefold() not in named:
            table.fault(f"dusting.allergens has '{allergen}', and allergens must name it too")


def _proof(table: Table | None) -> FinalProof | None:
    if table is None:
        return None
    minutes = table.need("minutes", kinds.PROOF_MINUTES)
    temperature_c = table.take("temperature_c", kinds.PROOF_C)
    table.end()
    return None if minutes is None else FinalProof(minutes, temperature_c)


def _bake(table: Table | None) -> Bake | None:
    if table is None:
        return None
    bake = Bake(table.take("minutes", kinds.MINUTES), table.take("places", kinds.OVEN_PLACES))
    table.end()
    return bake


def _formula(table: Table | None) -> tuple[BakersFormula | None, tuple[str, ...]]:
    """Return a formula, None where something is wrong with it, and the names in it."""
    if table is None:
        return None, ()
    count = len(table.faults)
    flours = table.need("flours", kinds.FLOURS, how='name them, like flours = ["wheat flour"]')
    names = table.others()
    taken = {name: table.take(name, kinds.PERCENT) for name in names}
    for fault in _flour_faults(flours or (), taken):
        table.fault(fault)
    table.end()
    is_whole = len(table.faults) == count and flours is not None
    percentages = {name: pct for name, pct in taken.items() if pct is not None}
    return BakersFormula(percentages, flours or ()) if is_whole else None, names


def _flour_faults(flours: tuple[str, ...], taken: Mapping[str, float | None]) -> list[str]:
    unknown = [name for name in flours if name not in taken]
    if unknown:
        return [
            f"formula.flours has '{name}', which is not in the formula{near(name, taken)}"
            for name in unknown
        ]
    known = [pct for name in flours if (pct := taken[name]) is not None]
    total_pct = math.fsum(known)
    if len(known) < len(flours) or not flours or abs(total_pct - FLOURS_PCT) <= ROUNDED_PCT:
        return []
    return [f"formula.flours must be 100 together, and are {total_pct:g}"]

"""Products of one dough share its formula; a formula and prices make what it costs."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from weighstation.specification.entry import Entry
from weighstation.specification.table import near

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from decimal import Decimal

    from weighstation.specification.parts import BakersFormula
    from weighstation.specification.product import Product


@dataclass(frozen=True, slots=True)
class Prices:
    """What ingredients cost.

    Parameters
    ----------
    names : tuple of str
        All that have a price, those too whose price does not fit.
    per_kg : mapping of str to Decimal, for each kilogram
    """

    names: tuple[str, ...] = ()
    per_kg: Mapping[str, Decimal] = field(default_factory=dict)


def share_formulas(entries: Sequence[Entry]) -> list[Entry]:
    """Return products, each without a formula given that of the first of the same dough.

    Parameters
    ----------
    entries : sequence of Entry
        Those whose formula is another than that of the first of the same dough get a fault.

    Returns
    -------
    list of Entry
    """
    owners: dict[str, Entry] = {}
    for entry in entries:
        if entry.product.dough and entry.ingredients:
            owners.setdefault(entry.product.dough.casefold(), entry)
    return [_shared(entry, owners.get((entry.product.dough or "").casefold())) for entry in entries]


def _shared(entry: Entry, owner: Entry | None) -> Entry:
    if owner is None or owner is entry:
        return entry
    if not entry.ingredients:
        product = replace(entry.product, formula=owner.product.formula)
        return Entry(entry.table, product, owner.ingredients)
    if _differ(entry.product.formula, owner.product.formula):
        entry.table.fault(
            f"formula is another than that of {owner.table.where}, and both are of the dough"
            f" '{entry.product.dough}'"
        )
    return entry


def _differ(one: BakersFormula | None, other: BakersFormula | None) -> bool:
    if one is None or other is None:  # it has faults of its own
        return False
    return (one.percentages, set(one.flours)) != (other.percentages, set(other.flours))


def with_cost(entry: Entry, prices: Prices) -> Product:
    """Return a product with what its dough costs, worked out where that was not said.

    Parameters
    ----------
    entry : Entry
        Gets a fault for each price that is missing, unless all are.
    prices : Prices

    Returns
    -------
    Product
    """
    product, known = entry.product, set(prices.names)
    if "dough_cost_per_kg" in entry.table or known.isdisjoint(entry.ingredients):
        return product
    for name in entry.ingredients:
        if name not in known:
            entry.table.fault(
                f"prices_per_kg has no '{name}', which is in the formula"
                f"{near(name, known - set(entry.ingredients))}"
            )
    cost = product.formula.cost_per_kg(prices.per_kg) if product.formula else None
    return replace(product, dough_cost_per_kg=cost)

"""``plan order``: loaves that are ordered -> pieces, dough on the bench, and what to weigh."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import Ordered, dough_for_orders, given, stages_of
from weighstation.quantities import grams
from weighstation.report.plans.order import DoughOrder, order_page, order_record
from weighstation.station.commands.planning.history import history_of
from weighstation.station.commands.planning.shop import (
    bakes_to_g,
    by_dough,
    changeovers,
    declared_g,
    dough_of,
    refuse_too_much,
    require_losses,
)
from weighstation.station.commands.planning.words import ordered_from
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.answering import ON_SCREEN, Answering

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from weighstation.plan import KnownLoss
    from weighstation.specification import BakersFormula, Product
    from weighstation.station.commands.planning.words import Asked

TINY_G = 1e-6
"""What a product of doubles leaves beyond the microgram is noise."""


@dataclass(frozen=True, slots=True)
class OrderAsked:
    """The words of ``plan order``.

    Parameters
    ----------
    products : tuple of str
        Each ``NAME=PIECES``.
    by_declared : bool
        Scaling weights are to follow from declared weights, not from products.toml.
    answering : Answering
    home : Path or None
    """

    products: tuple[str, ...]
    by_declared: bool = False
    answering: Answering = ON_SCREEN
    home: Path | None = None


def run_order(asked: OrderAsked) -> int:
    """Print the doughs that an order takes.

    Parameters
    ----------
    asked : OrderAsked

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If products.toml or what was typed makes no sense, or a product says too little.
    """
    home = Home.find(asked.home)
    catalogue = home.catalogue()
    groups = by_dough(ordered_from(asked.products, catalogue))
    doughs = [_dough(group, home, by_declared=asked.by_declared) for group in groups]
    for dough in doughs:
        refuse_too_much(dough.dough.bowl_g, catalogue, f"Dough '{dough.name}' in the bowl")
    asked.answering.give(
        lambda: order_page(doughs, currency=catalogue.currency),
        lambda: order_record(doughs, currency=catalogue.currency),
    )
    return 0


def _dough(group: Sequence[Asked], home: Home, *, by_declared: bool) -> DoughOrder:
    products = [asked.product for asked in group]
    losses = [_loss(product, home) for product in products]
    formula = _formula(products[0])
    orders = [
        _ordered(asked, loss, by_declared=by_declared)
        for asked, loss in zip(group, losses, strict=True)
    ]
    dough = dough_for_orders(
        orders,
        percentages=formula.percentages,
        flours=formula.flours,
    )
    assert dough.formula is not None
    return DoughOrder(
        name=dough_of(products[0]),
        dough=dough,
        percentages=formula.percentages,
        formula=dough.formula,
        cost_per_kg=products[0].dough_cost_per_kg,
        baked_g=_baked_g(orders, losses),
        declared_g={p.name: weight for p in products if (weight := declared_g(p)) is not None},
        cautions=tuple(_cautions(products, orders, losses)),
    )


def _loss(product: Product, home: Home) -> KnownLoss:
    return history_of(home, product, now_utc_ms=time.time_ns() // 1_000_000).loss


def _formula(product: Product) -> BakersFormula:
    if product.formula is None:
        raise SpecificationError(
            f"'{product.name}' has no formula, so nothing says what to weigh into the bowl.",
            hint="Give it a [product.formula] in products.toml, or the dough of one that has it.",
        )
    return product.formula


def _ordered(asked: Asked, loss: KnownLoss, *, by_declared: bool) -> Ordered:
    product, stages = asked.product, stages_of(asked.product)
    pieces = asked.pieces or 0
    if not by_declared:
        return Ordered(product.name, pieces, grams(product.limits.target_mg), stages)
    weight_g = declared_g(product)
    if weight_g is None:
        raise SpecificationError(
            f"'{product.name}' has no declared weight.",
            hint="Give it declared_g in products.toml, or leave out --from-declared.",
        )
    require_losses(product, loss)
    return Ordered(product.name, pieces, loss.scaling_g(weight_g)[0], stages)


def _baked_g(orders: Sequence[Ordered], losses: Sequence[KnownLoss]) -> dict[str, float]:
    found = zip(orders, losses, strict=True)
    baked = {ordered.name: bakes_to_g(loss, ordered.scaling_g) for ordered, loss in found}
    return {name: weight_g for name, weight_g in baked.items() if weight_g is not None}


def _cautions(
    products: Sequence[Product], orders: Sequence[Ordered], losses: Sequence[KnownLoss]
) -> Iterator[str]:
    for product, ordered, loss in zip(products, orders, losses, strict=True):
        if not ordered.stages.bench:
            yield (
                f"Nothing is said of what '{product.name}' loses before it is scaled"
                " (fermentation_pct, handling_pct), so nothing is added for it."
            )
        weight_g, baked_g = declared_g(product), bakes_to_g(loss, ordered.scaling_g)
        if weight_g is not None and baked_g is not None and baked_g < weight_g - TINY_G:
            yield (
                f"{product.name}: {given.plain(ordered.scaling_g)} g of dough bake to"
                f" {baked_g:.1f} g, and {given.plain(weight_g)} g are declared: too light. See"
                " 'weighstation plan target'."
            )
    yield from changeovers(products)

"""Doughs for an order -> a page: pieces, losses stage by stage, what to weigh into the bowl."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from weighstation.plan import weight_after
from weighstation.report.page.page import (
    Grid,
    Page,
    column_of,
    figure,
    grams_of,
    loss_record,
    money_of,
    percent_of,
)
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from decimal import Decimal

    from weighstation.plan import Formula, Loss, Ordered, OrderedDough

G_PER_KG = 1000
LIFTED_G = 25_000
"""The most that one person lifts at a time; from memory of what many rules of work say, and less
where the rules of the place say less."""
_MIXING = (
    "Let the mixer stand still, switched off, before a hand or a scraper goes into its bowl, and"
    " keep to its maker's manual. Tip flour low and slowly: its dust harms the lungs."
)
_LEGAL = (
    "Baked weights are worked out and not weighed: they prove nothing, and the rules of your place"
    " decide what may be sold."
)


@dataclass(frozen=True, slots=True)
class DoughOrder:
    """One dough of an order.

    Parameters
    ----------
    name : str
    dough : OrderedDough
        Largest pieces first.
    percentages : mapping of str to float
        Of its formula, as they were written.
    formula : Formula
        What goes into the bowl.
    cost_per_kg : Decimal or None
        What its ingredients cost.
    baked_g : mapping of str to float, grams
        What loaves come to on average, by product, where that is known.
    declared_g : mapping of str to float, grams
        Declared weights, by product, where there are any.
    cautions : tuple of str
        What is to be minded of this dough.
    """

    name: str
    dough: OrderedDough
    percentages: Mapping[str, float]
    formula: Formula
    cost_per_kg: Decimal | None
    baked_g: Mapping[str, float]
    declared_g: Mapping[str, float]
    cautions: tuple[str, ...] = ()

    @property
    def cost(self) -> float | None:
        """What the ingredients in the bowl cost."""
        if self.cost_per_kg is None:
            return None
        return float(self.cost_per_kg) * self.dough.bowl_g / G_PER_KG


def order_page(doughs: Sequence[DoughOrder], *, currency: str) -> Page:
    """Return the page of an order.

    Parameters
    ----------
    doughs : sequence of DoughOrder
    currency : str

    Returns
    -------
    Page
    """
    parts: list[Grid | SheetTable] = []
    for each in doughs:
        parts += _parts(each, currency)
    return Page(
        title="Order: " + ", ".join(_wanted(doughs)), parts=tuple(parts), cautions=_cautions(doughs)
    )


def _wanted(doughs: Sequence[DoughOrder]) -> Iterator[str]:
    for each in doughs:
        for ordered in each.dough.orders:
            yield f"{ordered.pieces} {ordered.name}"


def _parts(each: DoughOrder, currency: str) -> Iterator[Grid | SheetTable]:
    yield _pieces(each)
    for ordered in each.dough.orders:
        if ordered.stages.bench or ordered.stages.loaf:
            yield _losses(ordered)
    yield _about(each, currency)
    yield _bowl(each)


def _pieces(each: DoughOrder) -> Grid:
    rows = tuple(_piece_row(ordered, each) for ordered in each.dough.orders)
    return Grid(
        f"Dough '{each.name}': pieces, the largest cut first",
        ("", "pieces", "scaling weight", "on the bench", "bakes to", "declared"),
        rows,
    )


def _piece_row(ordered: Ordered, each: DoughOrder) -> tuple[str, ...]:
    baked_g, declared = each.baked_g.get(ordered.name), each.declared_g.get(ordered.name)
    return (
        ordered.name,
        str(ordered.pieces),
        grams_of(ordered.scaling_g),
        grams_of(ordered.dough_g),
        NONE if baked_g is None else grams_of(baked_g),
        NONE if declared is None else grams_of(declared),
    )


def _losses(ordered: Ordered) -> Grid:
    stages = ordered.stages
    return Grid(
        f"{ordered.name}: losses, each of what the one before it left",
        ("", "of the dough", "of the bread", "left"),
        (
            *_stage_rows("in the bowl", ordered.bowl_g, stages.bench),
            *_stage_rows("a piece", ordered.scaling_g, stages.loaf),
        ),
    )


def _stage_rows(label: str, weight_g: float, losses: Sequence[Loss]) -> list[tuple[str, ...]]:
    """Return what there is, and under it what each loss leaves."""
    left = _left(weight_g, losses)
    first, *after = column_of([weight_g, *(left_g for _, left_g in left)])
    rows = [
        (f"  {loss.stage}", percent_of(loss.of_dough), percent_of(loss.of_bread), left_text)
        for (loss, _), left_text in zip(left, after, strict=True)
    ]
    return [(label, "", "", first), *rows]


def _left(weight_g: float, losses: Sequence[Loss]) -> list[tuple[Loss, float]]:
    left = accumulate(losses, weight_after, initial=weight_g)
    next(left)
    return list(zip(losses, left, strict=True))


def _bowl(each: DoughOrder) -> Grid:
    names = (*each.formula.grams, "all")
    percents = (*(each.percentages[name] for name in each.formula.grams), each.formula.sum_pct)
    weights = column_of([*each.formula.grams.values(), each.dough.bowl_g])
    rows = zip(names, (f"{pct:g} %" for pct in percents), weights, strict=True)
    return Grid(f"Dough '{each.name}': into the bowl", ("", "of the flour", "weigh"), tuple(rows))


def _about(each: DoughOrder, currency: str) -> SheetTable:
    made, dough = each.formula, each.dough
    rows = [SheetRow("On the bench", grams_of(dough.bench_g), counted(dough.pieces, "piece"))]
    if len(made.flours) > 1:
        rows.append(SheetRow("Flour in all", grams_of(made.flour_g), ", ".join(made.flours)))
    if made.hydration_pct is not None:
        note = f"dough yield {made.dough_yield:.0f}"
        rows.append(SheetRow("Water", f"{made.hydration_pct:.1f} %", f"of the flour, {note}"))
    if each.cost_per_kg is None or each.cost is None:
        rows.append(SheetRow("Cost", NONE, "give prices_per_kg in products.toml"))
    else:
        a_kg = f"{each.cost_per_kg} {currency} a kg of dough"
        rows.append(SheetRow("Cost", money_of(each.cost, currency), f"ingredients alone, {a_kg}"))
    return SheetTable(f"Dough '{each.name}': about it", tuple(rows))


def _cautions(doughs: Sequence[DoughOrder]) -> tuple[str, ...]:
    found = [caution for each in doughs for caution in (*_lifting(each), *each.cautions)]
    if any(each.declared_g for each in doughs):
        found.append(_LEGAL)
    return (*found, _MIXING)


def _lifting(each: DoughOrder) -> Iterator[str]:
    if each.dough.bowl_g > LIFTED_G:
        yield (
            f"Dough '{each.name}' weighs {each.dough.bowl_g / G_PER_KG:.1f} kg: nobody lifts more"
            f" than {LIFTED_G / G_PER_KG:.0f} kg at a time, less where your rules say so. Weigh"
            " flour in parts, and move the bowl on wheels."
        )


def order_record(doughs: Sequence[DoughOrder], *, currency: str) -> dict[str, object]:
    """Return an order as a dictionary that json can write.

    Parameters
    ----------
    doughs : sequence of DoughOrder
    currency : str

    Returns
    -------
    dict
        Weights in grams; null where there is no figure.
    """
    return {
        "currency": currency,
        "doughs": [_dough_record(each) for each in doughs],
        "cautions": list(_cautions(doughs)),
    }


def _dough_record(each: DoughOrder) -> dict[str, object]:
    made, dough = each.formula, each.dough
    return {
        "dough": each.name,
        "products": [_product_record(one, each) for one in dough.orders],
        "pieces": dough.pieces,
        "bench_g": figure(dough.bench_g),
        "bowl_g": figure(dough.bowl_g),
        "flour_g": figure(made.flour_g),
        "sum_pct": figure(made.sum_pct),
        "hydration_pct": figure(made.hydration_pct),
        "ingredients": [
            {"name": name, "pct": each.percentages[name], "grams": figure(grams)}
            for name, grams in made.grams.items()
        ],
        "dough_cost_per_kg": None if each.cost_per_kg is None else str(each.cost_per_kg),
        "cost": figure(each.cost, 4),
    }


def _product_record(ordered: Ordered, each: DoughOrder) -> dict[str, object]:
    stages = ordered.stages
    return {
        "product": ordered.name,
        "pieces": ordered.pieces,
        "scaling_g": figure(ordered.scaling_g),
        "bench_g": figure(ordered.dough_g),
        "bowl_g": figure(ordered.bowl_g),
        "baked_g": figure(each.baked_g.get(ordered.name)),
        "declared_g": figure(each.declared_g.get(ordered.name)),
        "bench_losses": [loss_record(*left) for left in _left(ordered.bowl_g, stages.bench)],
        "loaf_losses": [loss_record(*left) for left in _left(ordered.scaling_g, stages.loaf)],
    }

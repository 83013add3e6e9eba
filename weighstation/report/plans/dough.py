"""Dough on hand -> a page: the counts that it makes, their weights, and what is left over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan import Use, given
from weighstation.report.page.page import Grid, Page, column_of, figure, grams_of, money_of
from weighstation.report.page.tables import NONE, counted, signed
from weighstation.report.plans.target import LEGAL

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.plan import LeftoverUse, Short


@dataclass(frozen=True, slots=True)
class Cut:
    """What one product gets of a dough.

    Parameters
    ----------
    name : str
    pieces : int
    ordered : int or None
        None where nobody said.
    scaling_g : float, grams
        The weight to aim at.
    set_g : float, grams
        Scaling weight of the product.
    band_g : (low, high) tuple of float, grams
    baked_g : float, grams, or None
        What its loaves come to on average; None where that is not known.
    declared_g : float, grams, or None
    """

    name: str
    pieces: int
    ordered: int | None
    scaling_g: float
    set_g: float
    band_g: tuple[float, float]
    baked_g: float | None
    declared_g: float | None

    @property
    def moved_g(self) -> float:
        """By how much it is aimed at more than what is set, in grams; sign kept."""
        return self.scaling_g - self.set_g


@dataclass(frozen=True, slots=True)
class Dividing:
    """One way to divide a dough.

    Parameters
    ----------
    cuts : tuple of Cut
        In the order of cutting.
    left_g : float, grams
        Left over.
    spread_g : float, grams
        What a piece would weigh if all the dough went into these pieces, in the band or not.
    uses : tuple of LeftoverUse
        What can be done with that.
    smaller : str
        The product that smaller goods are; empty where there is none.
    """

    cuts: tuple[Cut, ...]
    left_g: float
    spread_g: float
    uses: tuple[LeftoverUse, ...]
    smaller: str = ""


@dataclass(frozen=True, slots=True)
class DoughPlan:
    """What a dough on hand makes.

    Parameters
    ----------
    dough_g : float, grams
    ways : tuple of Dividing
        At least one.
    best : int
        Which of them, from 0.
    short : Short or None
        The next number of pieces, which the dough does not make.
    currency : str
    cautions : tuple of str
    """

    dough_g: float
    ways: tuple[Dividing, ...]
    best: int
    short: Short | None
    currency: str
    cautions: tuple[str, ...] = ()


def dough_page(plan: DoughPlan) -> Page:
    """Return the page of a dough.

    Parameters
    ----------
    plan : DoughPlan

    Returns
    -------
    Page
    """
    names = ", ".join(cut.name for cut in plan.ways[0].cuts)
    parts = [_counts(plan) if len(plan.ways[0].cuts) == 1 else _portions(plan.ways[0])]
    parts += [_uses(way, plan.currency) for way in plan.ways if way.uses]
    return Page(
        title=f"{grams_of(plan.dough_g)} of dough: {names}",
        parts=tuple(parts),
        cautions=tuple(_cautions(plan)),
        conclusion=_conclusion(plan.ways[plan.best]),
        next_step=_next_step(plan),
    )


def _counts(plan: DoughPlan) -> Grid:
    """Return the numbers on either side of one product."""
    cuts = [way.cuts[0] for way in plan.ways]
    weights = column_of([cut.scaling_g for cut in cuts])
    rows = tuple(
        (
            str(cut.pieces),
            weight,
            f"{signed(cut.moved_g)} g",
            grams_of(way.left_g),
            *_baked(cut),
        )
        for way, cut, weight in zip(plan.ways, cuts, weights, strict=True)
    )
    heads = ("pieces", "aim at", "moved by", "left over", "bakes to", "declared")
    low, high = cuts[0].band_g
    title = (
        f"Both counts: set to {grams_of(cuts[0].set_g)}, band {given.plain(low)} to"
        f" {grams_of(high)}"
    )
    return Grid(title, heads, rows, " ".join(_out_of_reach(plan)))


def _out_of_reach(plan: DoughPlan) -> Iterator[str]:
    """Yield what the dough would make of the counts that do not use it all."""
    for way in plan.ways:
        if way.left_g:
            pieces = counted(way.cuts[0].pieces, "piece")
            yield f"All of it in {pieces} would be {grams_of(way.spread_g)} each, out of the band."
    if plan.short is not None:
        yield (
            f"{counted(plan.short.pieces, 'piece')} would weigh {grams_of(plan.short.spread_g)}"
            f" each: {grams_of(plan.short.short_g)} of dough are missing for that."
        )


def _portions(way: Dividing) -> Grid:
    weights = column_of([cut.scaling_g for cut in way.cuts])
    rows = tuple(
        (
            cut.name,
            str(cut.pieces),
            NONE if cut.ordered is None else str(cut.ordered),
            weight,
            f"{signed(cut.moved_g)} g",
            *_baked(cut),
        )
        for cut, weight in zip(way.cuts, weights, strict=True)
    )
    heads = ("", "pieces", "ordered", "aim at", "moved by", "bakes to", "declared")
    left = f"{grams_of(way.left_g)} left over." if way.left_g else "Nothing is left over."
    return Grid("Cut in this order, the largest first", heads, rows, left)


def _baked(cut: Cut) -> tuple[str, str]:
    return (
        NONE if cut.baked_g is None else grams_of(cut.baked_g),
        NONE if cut.declared_g is None else grams_of(cut.declared_g),
    )


def _uses(way: Dividing, currency: str) -> Grid:
    left = column_of([use.left_g for use in way.uses])
    rows = tuple(
        (
            _named(use, way),
            grams_of(use.grams),
            str(use.pieces) if use.pieces else NONE,
            still,
            NONE if use.money is None else money_of(use.money, currency),
        )
        for use, still in zip(way.uses, left, strict=True)
    )
    pieces = counted(sum(cut.pieces for cut in way.cuts), "piece")
    heads = ("", "takes", "in pieces", "still left", "dough worth")
    return Grid(f"What the {grams_of(way.left_g)} left by {pieces} can be", heads, rows)


def _named(use: LeftoverUse, way: Dividing) -> str:
    return f"{use.use.value}: {way.smaller}" if use.use is Use.SMALLER else use.use.value


def _cautions(plan: DoughPlan) -> Iterator[str]:
    yield from plan.cautions
    said = {use.use.value: use.caution for way in plan.ways for use in way.uses}
    for use, caution in said.items():
        yield f"{use[0].upper()}{use[1:]}: {caution}"
    if any(cut.declared_g is not None for way in plan.ways for cut in way.cuts):
        yield LEGAL


def _conclusion(way: Dividing) -> str:
    cuts = ", ".join(f"{cut.pieces} {cut.name} at {grams_of(cut.scaling_g)}" for cut in way.cuts)
    if way.left_g:
        return f"{cuts}: {grams_of(way.left_g)} left over."
    return f"{cuts}: nothing left over."


def _next_step(plan: DoughPlan) -> str:
    way = plan.ways[plan.best]
    if len(way.cuts) > 1:
        return ""
    (cut,) = way.cuts
    dough = f"--dough {given.plain(plan.dough_g)} --pieces {cut.pieces}"
    return f'weighstation divide "{cut.name}" {dough}'


def dough_record(plan: DoughPlan) -> dict[str, object]:
    """Return a plan of a dough as a dictionary that json can write.

    Parameters
    ----------
    plan : DoughPlan

    Returns
    -------
    dict
        Weights in grams; null where there is no figure.
    """
    return {
        "dough_g": figure(plan.dough_g),
        "ways": [_way_record(way) for way in plan.ways],
        "best": plan.best,
        "short": None
        if plan.short is None
        else {
            "pieces": plan.short.pieces,
            "spread_g": figure(plan.short.spread_g),
            "short_g": figure(plan.short.short_g),
        },
        "currency": plan.currency,
        "cautions": list(_cautions(plan)),
    }


def _way_record(way: Dividing) -> dict[str, object]:
    return {
        "products": [_cut_record(cut) for cut in way.cuts],
        "left_over_g": figure(way.left_g),
        "spread_g": figure(way.spread_g),
        "leftover": [
            {
                "use": _named(use, way),
                "grams": figure(use.grams),
                "pieces": use.pieces,
                "left_g": figure(use.left_g),
                "money": figure(use.money, 4),
                "caution": use.caution,
            }
            for use in way.uses
        ],
    }


def _cut_record(cut: Cut) -> dict[str, object]:
    return {
        "product": cut.name,
        "pieces": cut.pieces,
        "ordered": cut.ordered,
        "scaling_g": figure(cut.scaling_g),
        "moved_g": figure(cut.moved_g),
        "baked_g": figure(cut.baked_g),
        "declared_g": figure(cut.declared_g),
    }

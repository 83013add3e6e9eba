"""A simulated year in a journal on the disk, line by line as a station writes them."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from decimal import Decimal
from itertools import islice
from typing import TYPE_CHECKING

from weighstation.simulate.year import Bakery, BakeryProduct, YearLines, invented_bakery
from weighstation.specification import Limits, LossBasis, StageLosses
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from weighstation.journal import Line
    from weighstation.simulate.year import YearFact
    from weighstation.station.stores import SqliteStore

CURRENCY = "EUR"
LINES_A_COMMIT = 5000

PRICES = {
    "Tin loaf": ("0.92", "3.20"),
    "Hearth loaf": ("1.04", "4.10"),
    "Sesame roll": ("1.31", ""),
}
"""Cost of a kilogram of dough, and what one sells for; invented."""


def priced_bakery(**changes: object) -> Bakery:
    """Return the invented bakery with the cost of its doughs, its prices and its oven's losses."""
    bakery = invented_bakery()
    return replace(bakery, products=tuple(map(_priced, bakery.products)), **changes)  # type: ignore[arg-type]


def _priced(baked: BakeryProduct) -> BakeryProduct:
    cost, price = PRICES[baked.product.name]
    product = replace(
        baked.product,
        dough_cost_per_kg=Decimal(cost),
        sale_price_each=Decimal(price) if price else None,
        losses=StageLosses(LossBasis.DOUGH, oven_pct=round(100 * baked.oven_loss, 1)),
    )
    return replace(baked, product=product)


def dividers(*, per_week: float, **changes: object) -> Bakery:
    """Return a bakery that divides by machines, about evenly, into bands wide enough for it.

    A narrow band would hide a drift: what lies outside is trimmed to the scaling weight.
    """
    bakery = priced_bakery(drift_per_week=per_week, **changes)
    people = tuple(replace(each, spread=0.006, aims_inside=0.0) for each in bakery.people)
    products = tuple(
        replace(one, product=replace(one.product, limits=_wide(one.product.limits)))
        for one in bakery.products
    )
    return replace(bakery, people=people, products=products)


def _wide(limits: Limits) -> Limits:
    side_mg = round(0.035 * limits.target_mg)
    return Limits(limits.target_mg, side_mg, side_mg)


def write_year(path: Path, facts: Iterable[YearFact]) -> int:
    """Write facts into a journal, new or with others before them; return how many lines."""
    with closing(open_for_writing(path, journal_id="5eed" * 8, station="bakery")) as store:
        lines = YearLines(last_line=store.head().seq, currency=CURRENCY).of(facts)
        return append_many(store, lines)


def append_many(store: SqliteStore, lines: Iterable[Line]) -> int:
    """Append lines by the only way there is, some thousands to a transaction."""
    written, waiting = 0, iter(lines)
    while some := store.append_all(islice(waiting, LINES_A_COMMIT)):
        written += some
        store.checkpoint()
    return written

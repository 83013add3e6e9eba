"""A store and the products of a shop -> the sheet of baked loaves, printed or as JSON."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.baked.figures import BakedFigures, Found
from weighstation.station.commands.baking.baked import baked_batches
from weighstation.station.commands.shop.quantity_rules import rule_for
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.pages import show_page, show_record

if TYPE_CHECKING:
    from datetime import date

    from weighstation.quantity import Circumstances
    from weighstation.report.baked.batch import BakedBatch
    from weighstation.specification import Product
    from weighstation.station.commands.baking.bake import BakeOrder
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.stores import Store


def sheet_of(store: Store, home: Home, batch: str, said: Circumstances) -> BakedFigures:
    """Return the figures of one batch; the oven's loss is learned from all of its product.

    Parameters
    ----------
    store : Store
    home : Home
    batch : str
        Its newest run.
    said : Circumstances

    Returns
    -------
    BakedFigures

    Raises
    ------
    SpecificationError
        If no loaf of it counts.
    ChainBrokenError
        If lines do not follow from each other, or stored totals from them.
    """
    product = store.started(batch).product.name
    every = baked_batches(store, lambda _, name, day: name == product and bool(day), zone=UTC)
    batches = tuple(each for each in every if each.batch == batch)
    if not batches:
        raise SpecificationError(
            f"No loaf of batch {batch} is on record.",
            hint=f"'weighstation bake --batch {batch}' weighs the first.",
        )
    return _figures(store, home, batches, every, said)


def show_report(order: BakeOrder, store: Store, home: Home, batch: str, said: Circumstances) -> int:
    """Print what is on record of the baked loaves of a product, or of one batch.

    Parameters
    ----------
    order : BakeOrder
    store : Store
    home : Home
    batch : str
        The newest run of the batch that is meant; empty for all of a product.
    said : Circumstances

    Returns
    -------
    int
        Exit code: 1 where the numbers of a batch do not pass.

    Raises
    ------
    SpecificationError
        If no loaf is on record that is meant.
    ChainBrokenError
        If lines do not follow from each other, or stored totals from them.
    """
    if batch:
        figures = sheet_of(store, home, batch, said)
    else:
        batches = _meant(store, order)
        figures = _figures(store, home, batches, batches, said)
    show_baked(figures, as_json=order.as_json)
    return 1 if figures.fails else 0


def _meant(store: Store, order: BakeOrder) -> tuple[BakedBatch, ...]:
    """Return the batches of a report: of one product, in a span of days."""

    def wanted(_: str, name: str, day: date) -> bool:
        is_product = order.product.casefold() in ("", name.casefold())
        is_after = order.since is None or order.since <= day
        return is_product and is_after and (order.until is None or day <= order.until)

    zone = HERE
    found = baked_batches(store, wanted, zone=zone)
    if not found:
        what = f" of '{order.product}'" if order.product else ""
        when = " in that span" if order.since or order.until else ""
        raise SpecificationError(
            f"No baked loaf{what} is on record{when}.", hint="'weighstation bake' weighs them."
        )
    newest = max(found, key=lambda batch: batch.loaves[-1].line)
    return tuple(batch for batch in found if batch.product.name == newest.product.name)


def _figures(
    store: Store,
    home: Home,
    batches: tuple[BakedBatch, ...],
    taught_by: tuple[BakedBatch, ...],
    said: Circumstances,
) -> BakedFigures:
    head, name = store.head(), batches[-1].product.name
    product = home.product(name)
    return BakedFigures(
        product=name,
        batches=batches,
        taught_by=taught_by,
        rule=Found.of(lambda: rule_for(_with_kept_rule(product, batches[-1]), home)),
        as_of_line=head.seq,
        head=head.digest,
        cooling_loss_per_h=_cooling(product),
        said=said,
    )


def _with_kept_rule(product: Product | None, batch: BakedBatch) -> Product | None:
    """Return a product with what its rule file said when a batch of it was divided."""
    was = batch.product
    if product is None or product.quantity_rule != was.quantity_rule:
        return product
    return replace(product, rule_text=was.rule_text)


def _cooling(product: Product | None) -> float | None:
    losses = None if product is None else product.losses
    return None if losses is None else losses.of_dough.get("cooling")


def show_baked(figures: BakedFigures, *, as_json: bool) -> None:
    """Print the sheet of baked loaves.

    Parameters
    ----------
    figures : BakedFigures
    as_json : bool
    """
    if as_json:
        from weighstation.report.baked.record import baked_record  # noqa: PLC0415 - only here

        show_record(baked_record(figures))
        return
    from weighstation.report.baked.sheet import baked_sheet  # noqa: PLC0415 - only where it is shown

    show_page(baked_sheet(figures, zone=HERE))

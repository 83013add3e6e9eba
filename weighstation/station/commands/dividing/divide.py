"""``divide``: what to divide on which scale; what is not said is as it was the last time."""

from __future__ import annotations

import sys
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.errors import JournalError, SpecificationError
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.wording import promised
from weighstation.station.commands.batches.dough_clock import mixed_from
from weighstation.station.commands.batches.resume import last_promise
from weighstation.station.commands.dividing.guarding import as_promised
from weighstation.station.commands.dividing.paging import feed_at
from weighstation.station.commands.dividing.sitting import Job, View, sit
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.options import refuse_no_text, refuse_too_little
from weighstation.station.ports import Address

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.pages.place import Place


@dataclass(frozen=True, slots=True)
class DivideOrder:
    """The options of ``divide``.

    Parameters
    ----------
    product : str
        Name in products.toml; empty for the last.
    band : Limits or None
        Given in its stead, or over it.
    port : str or None
        URL of the scale; None for the last.
    pieces : int or None
        Pieces wanted.
    dough_mg : int, milligrams, or None
        On the bench now.
    mixed : str or None
        When the dough was mixed, as typed.
    person : str or None
        Initials of who divides; None for who did in a batch that is resumed.
    way : Way
    division_mg : int, milligrams, or None
    lifted : LiftedPolicy
    guard : bool or None
        Draw the band in by what a weighing does not know; None for what the product says.
    resume : bool or None
    record : Path or None
        Where to keep the scale's bytes.
    events : bool
        JSON lines.
    plain : bool
        Plain lines, no panel.
    pages : Place or None
        Where the bench is shown in a browser too.
    home : Path or None
    """

    product: str = ""
    band: Limits | None = None
    port: str | None = None
    pieces: int | None = None
    dough_mg: int | None = None
    mixed: str | None = None
    person: str | None = None
    way: Way = Way.SINGLE
    division_mg: int | None = None
    lifted: LiftedPolicy = LiftedPolicy.GUESS
    guard: bool | None = None
    resume: bool | None = None
    record: Path | None = None
    events: bool = False
    plain: bool = False
    pages: Place | None = None
    home: Path | None = None


def run_divide(order: DivideOrder) -> int:
    """Divide one batch.

    Parameters
    ----------
    order : DivideOrder

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If it is not clear what to divide or on which scale, there is not dough for one piece, or
        it was cut before it was mixed.
    ScaleError
        If the scale cannot be opened.
    JournalError
        If the journal cannot be written.
    """
    home = Home.find(order.home)
    home.make()
    job = job_of(order, home)
    if order.pages is None:
        return sit(job, home)
    with feed_at(order.pages, home.folder) as feed:
        return sit(job, home, feed)


def job_of(order: DivideOrder, home: Home) -> Job:
    """Return the batch that is to be divided.

    Parameters
    ----------
    order : DivideOrder
    home : Home

    Returns
    -------
    Job

    Raises
    ------
    SpecificationError
        As `run_divide`.
    JournalError
        If the journal cannot be read.
    """
    refuse_no_text(order.product, "The name of the product")
    product, currency = what_to_divide(order, home)
    if order.guard is not None:
        product = replace(product, is_guarded=order.guard)
    if order.dough_mg is not None:
        refuse_too_little(order.dough_mg, product.limits.target_mg, "--dough")
    mixed_ms = mixed_from(order.mixed, datetime.now(HERE))
    view = View.EVENTS if order.events else View.PLAIN if order.plain else View.PANEL
    return Job(
        product=product,
        currency=currency,
        url=which_scale(order, home),
        planned=order.pieces,
        dough_mg=order.dough_mg,
        way=order.way,
        lifted=order.lifted,
        division_mg=order.division_mg,
        resume=order.resume,
        record=order.record,
        view=view,
        changeover=changed_from_last(product, home),
        mixed_ms=mixed_ms,
        person=order.person,
    )


def changed_from_last(product: Product, home: Home) -> tuple[str, ...]:
    """Return what may not travel from the batch before to a product, in plain sentences.

    Parameters
    ----------
    product : Product
        What is divided now.
    home : Home

    Returns
    -------
    tuple of str
        Empty where nothing was divided before, or the same.
    """
    last = None
    with suppress(JournalError):  # told when the journal is opened for writing
        last = last_promise(home.journal_path)
    if last is None or last.product.name.casefold() == product.name.casefold():
        return ()
    from weighstation.plan import travels  # noqa: PLC0415 - all of it, and most batches change nothing

    return travels(_as_known(last.product, home), product)


def _as_known(product: Product, home: Home) -> Product:
    """Return a product of the journal as products.toml has it now, where it has it."""
    with suppress(SpecificationError):
        return home.catalogue().product(product.name)
    return product


def what_to_divide(order: DivideOrder, home: Home) -> tuple[Product, str]:
    """Return the product and the currency of its costs.

    Parameters
    ----------
    order : DivideOrder
    home : Home

    Returns
    -------
    Product
    str

    Raises
    ------
    SpecificationError
        If nothing says which, there is no such product, or products.toml has faults.
    """
    if order.band is not None:
        name = order.product or f"{promised(order.band.target_mg)} g"
        return Product(name, order.band), ""
    if order.product:
        catalogue = home.catalogue()
        return catalogue.product(order.product), catalogue.currency
    last = last_promise(home.journal_path)
    if last is None:
        raise SpecificationError(
            "Nothing was divided here before.",
            hint="Name a product of products.toml, as in 'weighstation divide \"Country loaf\"',"
            " or give --target, --under and --over.",
        )
    if home.products_path.exists():
        catalogue = home.catalogue()
        if any(product.name == last.product.name for product in catalogue.products):
            product = catalogue.product(last.product.name)
            is_guarded = product.is_guarded or last.product.is_guarded
            return replace(product, is_guarded=is_guarded), catalogue.currency
    return as_promised(last), last.currency


def which_scale(order: DivideOrder, home: Home) -> str:
    """Return the URL of the scale.

    Parameters
    ----------
    order : DivideOrder
    home : Home

    Returns
    -------
    str

    Raises
    ------
    SpecificationError
        If none is named and none was used before, or what is named is no URL.
    """
    last = None if order.port is not None else last_promise(home.journal_path)
    url = last.scale if last else order.port
    if url is None:
        raise SpecificationError(
            "No scale is named, and none was used here before.",
            hint="Give one with --port, as in --port serial:///dev/ttyUSB0.",
        )
    refuse_no_text(url, "The port")
    stands_in = Address.parse(url).stand_in
    if last and stands_in:
        sys.stderr.write(f"Going on with {url}: no real weight is read. Give a scale by --port.\n")
    return url

"""The text of a products file -> a catalogue, or every fault of it at once."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.specification import kinds
from weighstation.specification.catalogue import Catalogue, DayOrder, DecimalSign, ShopOven
from weighstation.specification.doughs import Prices, share_formulas, with_cost
from weighstation.specification.entry import Entry, read_entry
from weighstation.specification.table import Table, on_one_line

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from weighstation.specification.product import Product

_PARTS = ("formula", "losses", "dusting", "proof")
_AT_LINE = re.compile(r"at line ([0-9]+),")
_DECIMAL_COMMA = re.compile(r"=\s*([0-9]+),([0-9]+)\s*(?:#.*)?$")
_LONGEST = 60
"""A longer name is cut in a fault."""


def parse_catalogue(text: str, *, source: str = "products.toml") -> Catalogue:
    """Return the catalogue that a products file describes.

    Parameters
    ----------
    text : str
        TOML with ``currency`` and ``[[product]]`` tables.
    source : str
        What to call the file in a message.

    Returns
    -------
    Catalogue

    Raises
    ------
    SpecificationError
        With every fault of the file at once.
    """
    import tomllib  # noqa: PLC0415 - only where there is text

    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as exc:  # bad TOML, an integer past all bounds, 1000 [
        raise SpecificationError(
            f"{source} is not valid TOML: {exc}.",
            hint=_how_to_mend(text, exc),
        ) from exc
    return catalogue_of(tables, source=source)


def _how_to_mend(text: str, exc: Exception) -> str:
    """Return what to do with a line that is no TOML; a decimal comma is the usual slip."""
    found = _AT_LINE.search(str(exc))
    lines = text.splitlines()
    place = int(found[1]) - 1 if found else len(lines)
    comma = _DECIMAL_COMMA.search(lines[place]) if place < len(lines) else None
    if comma is not None:
        return (
            f"Write {comma[1]}.{comma[2]} in that line: numbers in this file have a decimal point."
        )
    return "Mend that line and start again; a name with a space in it stands in quotes."


def catalogue_of(tables: Mapping[str, object], *, source: str = "products.toml") -> Catalogue:
    """Return the catalogue that the tables of a products file describe.

    Parameters
    ----------
    tables : mapping of str to object
        As TOML is read.
    source : str
        What to call the file in a message.

    Returns
    -------
    Catalogue

    Raises
    ------
    SpecificationError
        With every fault at once, each with its product and its key.
    """
    top = Table(tables)
    currency = top.need("currency", kinds.CURRENCY, how='write a line like currency = "EUR"')
    show_people = top.take("show_people", kinds.TRUTH) or False
    decimal = top.take("decimal", kinds.one_of(DecimalSign)) or DecimalSign.POINT
    days = top.take("days", kinds.one_of(DayOrder)) or DayOrder.YEAR_FIRST
    bowl_kg = top.take("bowl_kg", kinds.BOWL_KG)
    entries = _entries(top, tables)
    oven = _oven(top.part("oven"))
    prices = _prices(top.part("prices_per_kg"))
    _refuse_parts(top)
    top.end()
    products = tuple(with_cost(entry, prices) for entry in share_formulas(entries))
    faults = [*top.faults, *(fault for entry in entries for fault in entry.table.faults)]
    faults += _repeated(products)
    if faults:
        raise _faulty(source, faults)
    return Catalogue(
        currency or "",
        products,
        prices.per_kg,
        oven,
        show_people,
        decimal=decimal,
        days=days,
        bowl_kg=bowl_kg,
    )


def _entries(top: Table, tables: Mapping[str, object]) -> list[Entry]:
    rows = tables.get("product")
    top.know("product")
    if isinstance(rows, dict):
        top.fault("[product] must be written [[product]], with two brackets on either side")
        return []
    if not isinstance(rows, list) or not rows:
        top.fault("there is no [[product]] table")
        return []
    found = []
    for place, row in enumerate(rows, start=1):
        if isinstance(row, dict):
            found.append(read_entry(row, called(row, place)))
        else:
            top.fault(f"product {place} is not a table")
    return found


def called(row: Mapping[str, object], place: int) -> str:
    """Return what a product is called in the faults of a file.

    Parameters
    ----------
    row : mapping of str to object
        Its table.
    place : int
        From 1.

    Returns
    -------
    str

    Examples
    --------
    >>> called({"name": "Roll"}, 2), called({}, 3)
    ("product 2 ('Roll')", 'product 3')
    """
    name = row.get("name")
    if isinstance(name, str) and name:
        return f"product {place} ('{name[:_LONGEST]}')"
    return f"product {place}"


def _refuse_parts(top: Table) -> None:
    """Refuse a part of a product that stands as one of the whole file."""
    for part in _PARTS:
        if part in top:
            top.know(part)
            top.fault(f"[{part}] must be written [product.{part}], below its product")


def _oven(table: Table | None) -> ShopOven | None:
    if table is None:
        return None
    places = table.need("places", kinds.OVEN_PLACES)
    cycle_min = table.need("cycle_min", kinds.MINUTES)
    table.end()
    return None if places is None or cycle_min is None else ShopOven(places, cycle_min)


def _prices(table: Table | None) -> Prices:
    if table is None:
        return Prices()
    names = table.others()
    taken = {name: table.take(name, kinds.MONEY) for name in names}
    table.end()
    return Prices(names, {name: price for name, price in taken.items() if price is not None})


def _repeated(products: Sequence[Product]) -> list[str]:
    names = [product.name.casefold() for product in products]
    twice = sorted({name for name in names if name and names.count(name) > 1})
    return [on_one_line(f"the name '{name}' is used twice") for name in twice]


def _faulty(source: str, faults: list[str]) -> SpecificationError:
    count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
    return SpecificationError(
        f"{source} has {count}: " + "; ".join(faults) + ".",
        hint="Mend the file and start again.",
        faults=tuple(faults),
    )

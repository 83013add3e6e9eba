"""The text of a products file -> its keys as they stand there, each with its faults."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.specification.products_file import called, parse_catalogue
from weighstation.specification.table import on_one_line

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

_MISSING = " is missing"


@dataclass(frozen=True, slots=True)
class Field:
    """A key of a products file.

    Parameters
    ----------
    key : str
        With the part that it stands in, as ``oven.places``; empty for what is of no one key.
    value : str
        As it stands there; empty where the key is missing.
    faults : tuple of str
        One clause each.
    """

    key: str
    value: str
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """The keys of one product, or of the shop.

    Parameters
    ----------
    name : str
        Of the product; empty of the shop.
    fields : tuple of Field
    """

    name: str
    fields: tuple[Field, ...]

    @property
    def faults(self) -> int:
        """How many faults there are in it."""
        return sum(len(field.faults) for field in self.fields)


def sections_of(text: str) -> tuple[Section, ...]:
    """Return what stands in a products file, right or wrong.

    Parameters
    ----------
    text : str
        TOML.

    Returns
    -------
    tuple of Section
        The shop first; that alone, with the fault, where the text is no TOML.
    """
    import tomllib  # noqa: PLC0415 - only where there is text

    try:
        tables = tomllib.loads(text)
    except (ValueError, RecursionError):
        return (Section("", (Field("", "", tuple(_faults(text))),)),)
    rows = tables.get("product")
    products = [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
    left = list(_faults(text))
    found = []
    for place, row in enumerate(products, start=1):
        mine = _taken(left, on_one_line(f"{called(row, place)}: "))
        found.append(Section(str(row.get("name", f"product {place}")), _fields(row, mine)))
    shop = {key: value for key, value in tables.items() if value is not rows}
    return (Section("", _fields(shop, left)), *found)


def _faults(text: str) -> Iterator[str]:
    """Yield the faults of a file; the whole sentence where it is no file of products at all."""
    try:
        parse_catalogue(text)
    except SpecificationError as exc:
        yield from exc.faults or (exc.sentence,)


def _taken(left: list[str], prefix: str) -> list[str]:
    """Take the faults that begin so, and return the rest of each."""
    mine = [fault for fault in left if fault.startswith(prefix)]
    left[:] = [fault for fault in left if fault not in mine]
    return [fault.removeprefix(prefix) for fault in mine]


def _fields(table: Mapping[str, object], faults: Sequence[str]) -> tuple[Field, ...]:
    values = dict(_flat(table))
    beside: dict[str, list[str]] = {}
    for fault in faults:
        beside.setdefault(_key_of(fault, values), []).append(fault)
    missing = [key for key in beside if key not in values]
    return (
        *(Field(key, "", tuple(beside[key])) for key in missing),
        *(Field(key, value, tuple(beside.get(key, ()))) for key, value in values.items()),
    )


def _flat(table: Mapping[str, object], above: str = "") -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _flat(value, f"{above}{key}.")
        else:
            yield f"{above}{key}", _text(value)


def _text(value: object) -> str:
    """Return a value nearly as it was typed."""
    if isinstance(value, list):
        return ", ".join(map(_text, value)) or "none"
    return value if isinstance(value, str) else json.dumps(value, default=str, ensure_ascii=False)


def _key_of(fault: str, keys: Iterable[str]) -> str:
    """Return which key a fault begins with; empty where it is of none."""
    said = fault.removeprefix("'")
    if _MISSING in said and " " not in said.partition(_MISSING)[0]:
        return said.partition(_MISSING)[0]
    fits = (key for key in keys if said.startswith(key) and not said[len(key) :][:1].isalnum())
    return max(fits, key=len, default="")

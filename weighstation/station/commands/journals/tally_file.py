"""The bytes of a tally -> its rows, or every fault of it at once, each with its line."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from typing import TYPE_CHECKING, ParamSpec, TypeVar

from weighstation.errors import SpecificationError
from weighstation.specification.table import near
from weighstation.station.commands.journals.tally_cells import (
    Fault,
    batch_of,
    day_of,
    dough_age_of,
    grams_of,
    offset_min,
    offset_text,
    person_of,
    product_of,
    refuse_untouched,
    shown,
    time_of,
    touches_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from weighstation.specification import Catalogue, Product

_P = ParamSpec("_P")
_T = TypeVar("_T")
NEEDED = ("time", "product", "grams")
MAY_STAND = ("batch", "first_grams", "touches", "person", "dough_age_min")
COLUMNS = (*NEEDED, *MAY_STAND)
MOST_APART_MIN = 60
"""One clock on a wall is put forward or back by this, at most; a wider gap is a slip."""
_MS = 1000
_SEE = "'weighstation journal import --help' lists them"


@dataclass(frozen=True, slots=True)
class TallyRow:
    """One piece as it was noted by hand.

    Parameters
    ----------
    line : int
        Of the file.
    at_utc_ms : int, milliseconds since 1970
        When it was weighed.
    offset_min : int, minutes
        Of the time that was written, east of UTC.
    product : Product
    final_mg : int, milligrams
        Of the kept piece.
    batch, person : str
        Empty where nobody said.
    first_mg : int, milligrams, or None
    touches : int or None
    dough_age_ms : int, milliseconds, or None
        None where nobody said.
    """

    line: int
    at_utc_ms: int
    offset_min: int
    product: Product
    final_mg: int
    batch: str = ""
    first_mg: int | None = None
    touches: int | None = None
    person: str = ""
    dough_age_ms: int | None = None

    @property
    def at(self) -> datetime:
        """When it was weighed, with the offset that was written."""
        zone = timezone(timedelta(minutes=self.offset_min))
        return datetime.fromtimestamp(self.at_utc_ms / _MS, zone)

    @property
    def day(self) -> str:
        """The day on the wall, year first."""
        return day_of(self.at_utc_ms, self.offset_min)


@dataclass(frozen=True, slots=True)
class Tally:
    """What a file holds.

    Parameters
    ----------
    rows : tuple of TallyRow
        In the order of the file; at least one.
    notes : tuple of str
        What is to be minded though it is no fault, one plain sentence each.
    """

    rows: tuple[TallyRow, ...]
    notes: tuple[str, ...] = ()


class _Faults:
    """Faults by line; lines that follow each other and say the same are told together."""

    def __init__(self) -> None:
        self._found: list[tuple[int, int, str]] = []
        self._last_line = 0

    def __bool__(self) -> bool:
        return bool(self._found)

    def add(self, line: int, text: str) -> None:
        """Gather a fault of a line."""
        for place, (first, last, said) in enumerate(self._found[-len(COLUMNS) :]):
            if said == text and last == line - 1:
                at = max(0, len(self._found) - len(COLUMNS)) + place
                self._found[at] = (first, line, text)
                return
        self._found.append((line, line, text))

    def told(self) -> tuple[str, ...]:
        """Return all of them, one plain sentence each."""
        return tuple(
            f"line {first}: {text}." if first == last else f"lines {first} to {last}: {text}."
            for first, last, text in sorted(self._found, key=_first_line)
        )


def _first_line(found: tuple[int, int, str]) -> int:
    return found[0]


def read_tally(data: bytes, catalogue: Catalogue, *, now: datetime, source: str) -> Tally:
    """Return the rows of a file of hand tallies.

    Parameters
    ----------
    data : bytes
        Of the file: UTF-8, columns apart by commas or semicolons.
    catalogue : Catalogue
    now : datetime
        What lies after it is a slip.
    source : str
        What to call the file in a message.

    Returns
    -------
    Tally

    Raises
    ------
    SpecificationError
        With every fault of the file at once.
    """
    faults = _Faults()
    records = _records(_text(data, source), faults, source)
    columns = _header(records, faults)
    products = {product.name.casefold(): product for product in catalogue.products}
    reader = _RowReader(columns, products, now, faults)
    rows = tuple(row for line, cells in records if columns for row in reader.row(line, cells))
    notes = () if faults else _refuse_other_clocks(rows, faults)
    if faults:
        raise _faulty(source, faults.told())
    if not rows:
        raise SpecificationError(
            f"{source} holds no piece below its header.", hint="Write one line for each piece."
        )
    return Tally(rows, notes)


def _faulty(source: str, told: tuple[str, ...]) -> SpecificationError:
    count = "1 fault" if len(told) == 1 else f"{len(told)} faults"
    return SpecificationError(
        f"{source} has {count}, and nothing of it is entered:\n"
        + "\n".join((*told, "Mend the file and give it again.")),
        faults=told,
    )


def _text(data: bytes, source: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as exc:
        line = data.count(b"\n", 0, exc.start) + 1
        raise SpecificationError(
            f"{source} is no text in UTF-8, as line {line} shows.",
            hint="Save it again as CSV in UTF-8; spreadsheets offer that by name.",
        ) from exc


def _records(text: str, faults: _Faults, source: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the cells of each record that is not empty, with the line that it begins on."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    if not header:
        raise SpecificationError(
            f"{source} is empty.", hint=f"Its first line names the columns; {_SEE}."
        )
    separator = ";" if ";" in header else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield line, [cell.strip() for cell in cells]
            line = reader.line_num + 1
    except csv.Error as exc:
        faults.add(line, f"what stands in quotes is not closed or goes on after them ({exc})")


def _header(records: Iterator[tuple[int, list[str]]], faults: _Faults) -> tuple[str, ...]:
    """Return the columns; none where rows cannot be read by them."""
    line, cells = next(records, (1, []))
    names = [cell.casefold() for cell in cells]
    for name in dict.fromkeys(names):
        if names.count(name) > 1:
            faults.add(line, f"the header names {shown(name)} twice: take one of them out")
        elif name not in COLUMNS:
            known = f"; known are {', '.join(COLUMNS)}"
            meant = near(name, COLUMNS) or known
            faults.add(line, f"the header's column {shown(name)} is not known{meant}")
    missing = [name for name in NEEDED if name not in names]
    if missing:
        faults.add(
            line,
            f"the header lacks {', '.join(missing)}: the first line is time,product,grams and"
            " where known batch,first_grams,touches,person,dough_age_min, with commas or"
            " semicolons between them",
        )
    is_usable = not missing and len(set(names)) == len(names)
    return tuple(names) if is_usable else ()


@dataclass(frozen=True, slots=True)
class _RowReader:
    """Reads rows by the columns of the header."""

    columns: tuple[str, ...]
    products: Mapping[str, Product]
    now: datetime
    faults: _Faults

    def row(self, line: int, cells: Sequence[str]) -> tuple[TallyRow, ...]:
        """Return the row, or none where it has a fault."""
        if len(cells) != len(self.columns):
            self.faults.add(line, self._miscounted(len(cells)))
            return ()
        return _Cells(line, dict(zip(self.columns, cells, strict=True)), self).row()

    def _miscounted(self, count: int) -> str:
        cells = "1 cell" if count == 1 else f"{count} cells"
        quotes = (
            ": a number with a decimal comma stands in quotes, or put semicolons between columns"
            if count > len(self.columns)
            else ": write all, empty ones too"
        )
        return f"there are {cells} where the header has {len(self.columns)} columns{quotes}"


@dataclass(frozen=True, slots=True)
class _Cells:
    line: int
    cells: Mapping[str, str]
    reader: _RowReader

    def row(self) -> tuple[TallyRow, ...]:
        cells = self.cells
        at = self._taken(time_of, cells["time"], self.reader.now)
        product = self._taken(product_of, cells["product"], self.reader.products)
        final_mg = None if product is None else self._grams("grams", product)
        has_first = product is not None and cells.get("first_grams")
        first_mg = self._grams("first_grams", product) if product and has_first else None
        touches = self._taken(touches_of, cells.get("touches", ""))
        self._taken(refuse_untouched, first_mg, final_mg, touches)
        person = self._taken(person_of, cells.get("person", ""))
        batch = self._taken(batch_of, cells.get("batch", ""))
        age_ms = self._taken(dough_age_of, cells.get("dough_age_min", ""))
        if at is None or product is None or final_mg is None:
            return ()
        return (
            TallyRow(
                self.line,
                round(at.timestamp() * _MS),
                offset_min(at),
                product,
                final_mg,
                batch or "",
                first_mg,
                touches,
                person or "",
                age_ms,
            ),
        )

    def _grams(self, column: str, product: Product) -> int | None:
        return self._taken(grams_of, self.cells[column], column, product.limits)

    def _taken(self, take: Callable[_P, _T], *args: _P.args, **kwargs: _P.kwargs) -> _T | None:
        try:
            return take(*args, **kwargs)
        except Fault as fault:
            self.reader.faults.add(self.line, str(fault))
            return None


def _refuse_other_clocks(rows: Sequence[TallyRow], faults: _Faults) -> tuple[str, ...]:
    """Refuse offsets that no one clock has; return that there are two, where there are."""
    if not rows:
        return ()
    usual = rows[0]
    for row in rows:
        if abs(row.offset_min - usual.offset_min) > MOST_APART_MIN:
            faults.add(
                row.line,
                f"the offset {offset_text(row.offset_min)} is more than an hour from"
                f" {offset_text(usual.offset_min)} on line {usual.line}: mend it, or give what was"
                " weighed elsewhere in a file of its own",
            )
    offsets = [offset_text(each) for each in dict.fromkeys(row.offset_min for row in rows)]
    if len(offsets) < 2:
        return ()
    several = " and ".join(offsets)
    said = f"The times have the offsets {several}, as where clocks are changed; each is taken as it"
    return (f"{said} is written.",)

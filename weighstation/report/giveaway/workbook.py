"""A statement -> a workbook for a spreadsheet: numbers as numbers, text as nothing but text."""

from __future__ import annotations

import io
from datetime import datetime, time
from typing import TYPE_CHECKING, Any

from weighstation.report.giveaway.groups import By
from weighstation.report.giveaway.page import SAID, TITLES
from weighstation.report.giveaway.parts import Part
from weighstation.report.giveaway.tables import (
    DEFINITIONS,
    cause_table,
    level_table,
    outcome_table,
    run_table,
)
from weighstation.specification import money_decimals

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    import pandas as pd
    from xlsxwriter.worksheet import Worksheet  # type: ignore[import-untyped]

    from weighstation.report.giveaway.statement import Statement
    from weighstation.report.giveaway.what_if import Outcome
    from weighstation.report.page.page import Page

_MOST_WIDE, _LEAST_WIDE = 44, 9
_ON_STATEMENT = ("from", "to", "level", "name", "currency", "as_of_line", "as_of_head")
"""Columns of the levels that are no figure."""
_ELSEWHERE = {
    *("from", "to", "level", "currency", "costed", "priced", "labelled", "as_of_line"),
    "as_of_head",
    *(f"{part.value}_at_{worth}" for part in Part for worth in ("cost", "price")),
}
_FORMATS = {
    "_g": "#,##0.0",
    "_piece": "0.00",
    "_pct": "0.00",
    "_s": "#,##0",
}
"""By the end of a column's name; each spreadsheet shows them with its own signs."""
_UNITS = {"_g": "g", "_g_per_piece": "g a piece", "_pct": "%", "_s": "s"}
_MONEY = {"_at_cost": "at cost", "_at_price": "as bread"}


def workbook(found: Statement, page: Page, outcomes: Mapping[str, Outcome] | None = None) -> bytes:
    """Return a statement as a workbook (Office Open XML); the same statement gives the same bytes.

    Parameters
    ----------
    found : Statement
    page : Page
        For the sentences that a person reads first.
    outcomes : mapping of str to Outcome, or None
        What the days would have been, each by a name.

    Returns
    -------
    bytes

    Raises
    ------
    ModuleNotFoundError
        If the extra ``xlsx`` is missing.
    """
    from xlsxwriter import Workbook  # type: ignore[import-untyped] # noqa: PLC0415 - an extra

    file = io.BytesIO()
    with Workbook(file, {"in_memory": True, "strings_to_formulas": False}) as book:
        book.set_properties(
            {"title": page.title, "created": datetime.combine(found.span.last, time())}
        )
        writer = _Writer(book, found)
        writer.statement(page)
        for title, table in _tables(found, outcomes or {}):
            writer.table(title, table)
    return file.getvalue()


def _tables(
    found: Statement, outcomes: Mapping[str, Outcome]
) -> Iterator[tuple[str, pd.DataFrame]]:
    causes, levels = cause_table(found), level_table(found)
    causes["cause"] = [SAID[Part(cause)] for cause in causes["cause"]]
    yield "Causes", _seen(causes)
    for by in By:
        rows = levels[levels["level"] == by.value]
        if len(rows) > 1 or by is By.PRODUCT:
            named = rows.rename(columns={"name": by.value.replace("_", " ")})
            yield TITLES[by], _seen(named)
    yield "Runs", _seen(run_table(found))
    if outcomes:
        yield "What if", _seen(outcome_table(outcomes))


def _seen(table: pd.DataFrame) -> pd.DataFrame:
    """Return a table without what holds nothing, stands on every sheet or among the causes."""
    bare = table.drop(columns=[key for key in table.columns if key in _ELSEWHERE])
    return bare.dropna(axis="columns", how="all")


class _Writer:
    """A workbook that is being written."""

    def __init__(self, book: Any, found: Statement) -> None:  # noqa: ANN401 - xlsxwriter has no types
        self._book = book
        self._found = found
        head = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"}
        self._head = book.add_format(head)
        self._head_of_numbers = book.add_format({**head, "align": "right"})
        self._title = book.add_format({"bold": True, "font_size": 14})
        self._bold = book.add_format({"bold": True})
        places = money_decimals(found.currency)
        self._money = "#,##0" + ("." + "0" * places if places else "")
        forms = {*_FORMATS.values(), self._money, "#,##0", "yyyy-mm-dd hh:mm"}
        self._formats = {form: book.add_format({"num_format": form}) for form in sorted(forms)}

    def statement(self, page: Page) -> None:
        """Write the first sheet: what a person wants to know, a figure a row."""
        sheet = self._sheet("Statement", (34, 14, 12, 70))
        sheet.write_string(0, 0, page.title, self._title)
        bold = (*page.urgent, page.conclusion)
        for place, text in enumerate((*bold, *page.cautions, page.as_of), 1):
            sheet.write_string(place, 0, text, self._bold if place <= len(bold) else None)
        top = 2 + len(bold) + len(page.cautions)
        for place, text in enumerate(("", "figure", "unit", "")):
            form = self._head_of_numbers if place == 1 else self._head
            sheet.write_string(top, place, text, form)
        sheet.freeze_panes(top + 1, 1)
        table = level_table(self._found).drop(columns=list(_ON_STATEMENT))
        table = table.loc[:, table.iloc[0].notna()]
        (whole, *_) = table.to_numpy(dtype=object).tolist()
        for row, (key, figure) in enumerate(zip(table.columns, whole, strict=True), top + 1):
            self._figure(sheet, row, key, figure)

    def _figure(self, sheet: Worksheet, row: int, key: str, figure: object) -> None:
        name, unit = self._named(key)
        sheet.write_string(row, 0, name)
        self._cell(sheet, (row, 1), key, figure)
        sheet.write_string(row, 2, unit)
        sheet.write_string(row, 3, DEFINITIONS[key])

    def table(self, title: str, table: pd.DataFrame) -> None:
        """Write a table on a sheet of its own."""
        heads = [", ".join(filter(None, self._named(str(key)))) for key in table.columns]
        rows = table.to_numpy(dtype=object).tolist()
        widths = [_width(head, [row[place] for row in rows]) for place, head in enumerate(heads)]
        sheet = self._sheet(title, widths)
        for place, head in enumerate(heads):
            is_text = any(isinstance(row[place], str) for row in rows)
            sheet.write_string(0, place, head, self._head if is_text else self._head_of_numbers)
        sheet.freeze_panes(1, 1)
        for place, row in enumerate(rows, 1):
            for column, cell in enumerate(row):
                self._cell(sheet, (place, column), str(table.columns[column]), cell)
        sheet.write_string(len(rows) + 2, 0, self._found.as_of.text)

    def _sheet(self, title: str, widths: Sequence[float]) -> Worksheet:
        sheet: Worksheet = self._book.add_worksheet(title)
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width)
        sheet.set_landscape()
        sheet.set_paper(9)
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(0)
        return sheet

    def _cell(self, sheet: Worksheet, at: tuple[int, int], key: str, cell: object) -> None:
        """Write a cell as what it is; text is never read as a formula, a number or an address."""
        form = self._formats[self._form(key)]
        if isinstance(cell, datetime):
            sheet.write_datetime(*at, cell, self._formats["yyyy-mm-dd hh:mm"])
        elif isinstance(cell, str):
            sheet.write_string(*at, cell)
        elif isinstance(cell, (int, float)) and cell == cell:  # noqa: PLR0124 - what is none is not equal to itself
            sheet.write_number(*at, cell, form)

    def _form(self, key: str) -> str:
        """Return how the numbers of a column are shown."""
        forms = {**_FORMATS, **dict.fromkeys(_MONEY, self._money)}
        return next((form for end, form in forms.items() if f"_{key}".endswith(end)), "#,##0")

    def _named(self, key: str) -> tuple[str, str]:
        """Return the name of a column and its unit."""
        for end, said in _MONEY.items():
            if f"_{key}".endswith(end):
                return f"{_words(f'_{key}'.removesuffix(end))} {said}".strip(), self._found.currency
        for end, unit in _UNITS.items():
            if key.endswith(end):
                return _words(key.removesuffix(end)), unit
        return _words(key), ""


def _words(key: str) -> str:
    said = key.strip("_").replace("_", " ").replace("giveaway", "give-away")
    return "standard deviation" if said == "sd" else said


def _width(head: str, cells: Sequence[object]) -> float:
    """Return how wide a column must be, in letters; a head may break in two."""
    texts = [cell for cell in cells if isinstance(cell, str)]
    dates = 16 if any(isinstance(cell, datetime) for cell in cells) else 0
    longest = max((len(text) for text in texts), default=0)
    return min(_MOST_WIDE, max(_LEAST_WIDE, (len(head) + 1) // 2 + 2, longest + 1, dates))

"""A batch sheet -> text on a console or in a file, at most 80 columns wide."""

from __future__ import annotations

import io
import textwrap
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from weighstation.report.chart import ASCII, BOX, individuals_chart

if TYPE_CHECKING:
    from weighstation.report.chart import Marks
    from weighstation.report.sheet import BatchSheet, SheetRow

WIDEST = 80
_LABEL, _SAID = 22, 16


def print_sheet(sheet: BatchSheet, console: Console) -> None:
    """Print a sheet.

    Parameters
    ----------
    sheet : BatchSheet
    console : Console
        Its width is used up to 80 columns.
    """
    width = min(console.width, WIDEST)
    console.print(Text(sheet.title, style="bold"))
    for table in sheet.tables:
        console.print()
        console.print(Text(table.title, style="bold"))
        for row in table.rows:
            for drawn in _row(row, width):
                console.print(drawn)
    console.print()
    console.print(Text("First cuts in the order of cutting", style="bold"))
    for line in _chart(sheet, width, _marks(console)):
        console.print(Text(line, no_wrap=True))
    console.print()
    console.print(Text(sheet.as_of, style="dim"))


def sheet_text(sheet: BatchSheet) -> str:
    """Return a sheet as plain text of at most 80 columns.

    Parameters
    ----------
    sheet : BatchSheet

    Returns
    -------
    str
    """
    stream = io.StringIO()
    print_sheet(sheet, Console(file=stream, width=WIDEST, color_system=None, force_terminal=False))
    return "".join(f"{line.rstrip()}\n" for line in stream.getvalue().splitlines())


def _row(row: SheetRow, width: int) -> list[Text]:
    """Return a row; a note that finds no room beside the figure goes on below it."""
    head = Text(f"  {row.label:<{_LABEL - 2}}")
    head.append(f"{row.said:<{_SAID}}" if row.note else row.said, style="bold")
    if not row.note:
        return [head]
    indent = " " * (_LABEL + _SAID)
    first, *rest = textwrap.wrap(row.note, max(width - len(indent), 20))
    if len(row.said) < _SAID:
        head.append(first, style="dim")
    else:
        rest = [first, *rest]
    return [head, *(Text(indent + line, style="dim") for line in rest)]


def _chart(sheet: BatchSheet, width: int, marks: Marks) -> list[str]:
    chart = sheet.first_cuts
    if chart is None:
        return ["  A chart takes at least 2 pieces."]
    lines = individuals_chart(chart, width=max(width, 40), marks=marks)
    lines.append(
        f"  centre {chart.centre:.1f} g, limits {chart.lower:.1f} to {chart.upper:.1f} g "
        f"(mean {chr(177)} 3 {chr(215)} mean moving range / 1.128)"
    )
    beyond = len(chart.signals)
    said = "no piece" if not beyond else "1 piece" if beyond == 1 else f"{beyond} pieces"
    lines.append(f"  {marks.point} first cut   {marks.beyond} beyond the limits: {said}")
    return lines


def _marks(console: Console) -> Marks:
    try:
        f"{BOX.point}{BOX.beyond}{BOX.limit}{BOX.corner}".encode(console.encoding)
    except (LookupError, UnicodeEncodeError):
        return ASCII
    return BOX

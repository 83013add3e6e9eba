"""A batch sheet -> text on a console or in a file, at most 80 columns wide."""

from __future__ import annotations

import io
import textwrap
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from weighstation.report.charts.chart import track_lines
from weighstation.report.charts.control import ENOUGH, track_of
from weighstation.report.charts.text import marks_of
from weighstation.report.page.text import WIDEST, print_lines, table_lines

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.report.charts.chart import Marks
    from weighstation.report.sheet.sheet import BatchSheet


def print_sheet(sheet: BatchSheet, console: Console) -> None:
    """Print a sheet.

    Parameters
    ----------
    sheet : BatchSheet
    console : Console
        Its width is used up to 80 columns.
    """
    width = min(console.width, WIDEST)
    print_lines(_lines(sheet, width, marks_of(console)), console)


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


def _lines(sheet: BatchSheet, width: int, marks: Marks) -> Iterator[Text]:
    yield Text(sheet.title, style="bold")
    for table in sheet.tables:
        yield from table_lines(table, width)
    yield Text()
    yield Text("First cuts of counted pieces, in the order of cutting", style="bold")
    for line in _chart(sheet, width, marks):
        yield Text(line, no_wrap=True)
    yield Text()
    yield Text(sheet.as_of, style="dim")


def _chart(sheet: BatchSheet, width: int, marks: Marks) -> list[str]:
    chart = sheet.first_cuts
    if chart is None:
        return ["  A chart takes at least 2 first cuts."]
    track = track_of(chart, "first cut")
    lines = track_lines(track, sheet.numbers, width=max(width, 40), marks=marks)
    lines.append(
        f"  centre {chart.centre:.1f} g, limits {chart.lower:.1f} to {chart.upper:.1f} g: "
        "3 sigma to each side,"
    )
    lines.append(f"  sigma {chart.sigma:.1f} g from the mean moving range / 1.128")
    beyond = ", ".join(str(sheet.numbers[signal.index]) for signal in chart.signals)
    said = f"piece {beyond}" if beyond else "no piece"
    key = f"{marks.point} first cut   {marks.beyond} beyond the limits: {said}"
    lines += (f"  {line}" for line in textwrap.wrap(key, max(width, 40) - 2))
    if len(chart.points) < ENOUGH:
        lines.append("  few pieces: limits are rough")
    return lines

"""A sheet or a control chart -> text on a console or in a file, at most 80 columns wide."""

from __future__ import annotations

import io
import textwrap
from datetime import UTC, tzinfo
from itertools import zip_longest
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from weighstation.report.charts.chart import ASCII, BOX, track_lines
from weighstation.report.charts.control import ENOUGH, clock, track_of
from weighstation.report.page.printable import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.report.baked.sheet import BakedSheet
    from weighstation.report.charts.chart import Marks
    from weighstation.report.charts.control import ControlChart
    from weighstation.report.page.tables import SheetRow, SheetTable
    from weighstation.report.sheet.sheet import BatchSheet

WIDEST = 80
MOST_TOLD = 20
"""Signals that are told one by one; more would push the chart off the screen."""
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
    for line in _lines(sheet, width, _marks(console)):
        line.plain = shown(line.plain, console.encoding)
        console.print(line)


def print_baked(sheet: BakedSheet, console: Console) -> None:
    """Print the sheet of baked loaves.

    Parameters
    ----------
    sheet : BakedSheet
    console : Console
        Its width is used up to 80 columns.
    """
    width = min(console.width, WIDEST)
    for line in _baked_lines(sheet, width):
        line.plain = shown(line.plain, console.encoding)
        console.print(line)


def _baked_lines(sheet: BakedSheet, width: int) -> Iterator[Text]:
    yield Text(sheet.title, style="bold")
    for table in sheet.tables:
        yield from _table(table, width)
    yield Text()
    for said in sheet.caution:
        for line in textwrap.wrap(said, width):
            yield Text(line, style="dim")
    yield Text(sheet.as_of, style="dim")


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
        yield from _table(table, width)
    yield Text()
    yield Text("First cuts of counted pieces, in the order of cutting", style="bold")
    for line in _chart(sheet, width, marks):
        yield Text(line, no_wrap=True)
    yield Text()
    yield Text(sheet.as_of, style="dim")


def _table(table: SheetTable, width: int) -> Iterator[Text]:
    yield Text()
    yield Text(table.title, style="bold")
    for row in table.rows:
        yield from row_lines(row, width)
    for line in textwrap.wrap(table.remark, max(width - 2, 20)):
        yield Text(f"  {line}", style="bold")


def row_lines(row: SheetRow, width: int) -> Iterator[Text]:
    """Yield the lines of a row; the note of a long figure follows it after a comma.

    Parameters
    ----------
    row : SheetRow
    width : int
        Columns.

    Yields
    ------
    Text
    """
    room = max(width - _LABEL, 20)
    said = textwrap.wrap(row.said, room) or [""]
    notes = textwrap.wrap(row.note, max(room - _SAID, 20))
    lines = [Text(line, style="bold") for line in said]
    if notes and len(said) == 1 and len(said[0]) < _SAID:
        lines[0].pad_right(_SAID - len(said[0]))
        lines[0].append(notes.pop(0), style="not bold dim")
    elif notes and len(said[-1]) + len(row.note) + 2 <= room:
        lines[-1].append(f", {row.note}", style="not bold dim")
        notes = []
    elif notes:
        lines[-1].append(",")
    lines += (Text(" " * _SAID + line, style="dim") for line in notes)
    for label, line in zip_longest([f"  {row.label:<{_LABEL - 3}} "], lines):
        yield Text(label or " " * _LABEL).append_text(line)


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


def _marks(console: Console) -> Marks:
    try:
        f"{BOX.point}{BOX.beyond}{BOX.limit}{BOX.corner}".encode(console.encoding)
    except (LookupError, UnicodeEncodeError):
        return ASCII
    return BOX


def print_chart(chart: ControlChart, console: Console, *, zone: tzinfo = UTC) -> None:
    """Print a control chart.

    Parameters
    ----------
    chart : ControlChart
    console : Console
        Its width is used up to 80 columns.
    zone : tzinfo
        Whose clock times are told in.
    """
    width = max(min(console.width, WIDEST), 40)
    for line in _chart_lines(chart, width, _marks(console), zone):
        line.plain = shown(line.plain, console.encoding)
        console.print(line)


def _chart_lines(chart: ControlChart, width: int, marks: Marks, zone: tzinfo) -> Iterator[Text]:
    yield Text(chart.title, style="bold")
    first, last = (clock(utc_ms, zone) for utc_ms in (chart.at_utc_ms[0], chart.at_utc_ms[-1]))
    yield Text(f"  by {chart.noun}, from {first} to {last}", style="dim")
    for track in chart.tracks:
        yield Text()
        yield Text(f"{track.name}, g", style="bold")
        for line in track_lines(track, chart.numbers[track.start :], width=width, marks=marks):
            yield Text(line, no_wrap=True)
    if any(track.odd for track in chart.tracks):
        yield Text()
        yield Text(f"  {marks.beyond} {chart.key}")
    if chart.is_judged:
        yield Text()
        yield from _told(chart.signal_lines(zone), width)
    yield from _found(chart, width)
    yield Text()
    for remark in chart.remarks:
        for part in textwrap.wrap(remark, width - 2):
            yield Text(f"  {part}", style="dim")
    yield Text(f"  {chart.as_of}", style="dim")


def _found(chart: ControlChart, width: int) -> Iterator[Text]:
    told = [found.text for found in chart.findings if found.is_told]
    if told:
        yield Text()
        yield Text("What the first cuts say", style="bold")
    for text in told:
        for part in textwrap.wrap(text, width, initial_indent="  ", subsequent_indent="    "):
            yield Text(part)


def _told(signals: list[str], width: int) -> Iterator[Text]:
    yield Text(f"Signals: {len(signals) or 'none'}", style="bold")
    for line in signals[:MOST_TOLD]:
        for part in textwrap.wrap(line, width, initial_indent="  ", subsequent_indent="    "):
            yield Text(part)
    if len(signals) > MOST_TOLD:
        yield Text(f"  and {len(signals) - MOST_TOLD} more; --json tells them all")

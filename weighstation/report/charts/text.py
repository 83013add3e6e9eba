"""A control chart -> text on a console, at most 80 columns wide."""

from __future__ import annotations

import textwrap
from datetime import UTC, tzinfo
from typing import TYPE_CHECKING

from rich.text import Text

from weighstation.report.charts.chart import ASCII, BOX, track_lines
from weighstation.report.charts.control import clock
from weighstation.report.page.text import WIDEST, print_lines

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import Console

    from weighstation.report.charts.chart import Marks
    from weighstation.report.charts.control import ControlChart

MOST_TOLD = 20
"""Signals that are told one by one; more would push the chart off the screen."""


def marks_of(console: Console) -> Marks:
    """Return the marks that a console can show.

    Parameters
    ----------
    console : Console

    Returns
    -------
    Marks
    """
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
    print_lines(_chart_lines(chart, width, marks_of(console), zone), console)


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

"""Control charts -> pictures in a file of their own."""

from __future__ import annotations

import math
import textwrap
from datetime import UTC, tzinfo
from statistics import fmean
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.charts.chart import decimals_of
from weighstation.report.charts.control import clock
from weighstation.report.charts.picture.frame import BLUE, INK, SKY, VERMILION, drawing, inline_svg
from weighstation.report.page.tables import minus

if TYPE_CHECKING:
    from pathlib import Path

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from weighstation.report.charts.control import ControlChart, Track

FORMS = {".svg": "svg", ".png": "png"}
_WIDTH_IN, _TRACK_IN, _TOP_IN = 9.0, 3.1, 1.5
_PNG_DPI = 144
_ON_PAGE_IN, _ON_PAGE_TRACK_IN = 7.1, 1.65
"""Width of the text of an A4 page, and height of a track on it."""
_FINE_ROWS = 13
_TITLE_COLUMNS, _FOOT_COLUMNS, _NAME_COLUMNS = 90, 150, 24
_MOST_NUMBERED = 20
"""Odd points that have their number beside them; more would fill the picture."""
_MOST_TOLD = 12
"""Signals that are told below; more would be a page of their own."""
_FIELD_IN = (7.4, 2.6)
"""Width and height of the field of a track, about."""
_DIGIT_IN, _LINE_IN = 0.1, 0.17
"""Size of a number beside a point, for each digit and in height, about."""
_MOST_DOTS = 400
"""Above so many points nobody tells one from the next: they are drawn some at a time."""
_STRETCHES = 200
"""Into so many they are gathered then; the odd ones have marks of their own all the same."""


def picture_form(path: Path) -> str:
    """Return the form of a picture by the end of its name.

    Parameters
    ----------
    path : Path

    Returns
    -------
    str
        ``svg`` or ``png``.

    Raises
    ------
    SpecificationError
        If it is another.
    """
    form = FORMS.get(path.suffix.lower())
    if form is None:
        raise SpecificationError(
            f"A chart cannot be written to '{path.name}'.",
            hint="Give --out a name that ends in .svg or .png.",
        )
    return form


def draw_chart(chart: ControlChart, path: Path, *, zone: tzinfo = UTC) -> None:
    """Write a chart as a picture; the same chart gives the same bytes.

    Parameters
    ----------
    chart : ControlChart
    path : Path
        Its end says the form.
    zone : tzinfo
        Whose clock times are told in.

    Raises
    ------
    SpecificationError
        If the form is none of ours.
    """
    form = picture_form(path)
    metadata = {"Date": None, "Title": chart.title} if form == "svg" else {"Software": None}
    height = _TOP_IN + _TRACK_IN * len(chart.tracks)
    with drawing() as kind:
        figure = _figure(kind, chart, zone, (_WIDTH_IN, height))
        title = "\n".join(textwrap.wrap(chart.title, _TITLE_COLUMNS))
        figure.suptitle(title, x=0.01, ha="left", fontsize=12, fontweight="bold", parse_math=False)
        foot = "\n".join(_foot(chart, zone))
        figure.text(0.01, -0.01, foot, ha="left", va="top", fontsize=8, parse_math=False)
        figure.savefig(path, format=form, dpi=_PNG_DPI, metadata=metadata, bbox_inches="tight")


def chart_svg(chart: ControlChart, name: str, said: str, *, zone: tzinfo = UTC) -> str:
    """Return a chart alone, to stand on a page that says the rest; the same gives the same text.

    Parameters
    ----------
    chart : ControlChart
    name : str
        Letters and digits; no other picture of the page has it.
    said : str
        What it shows, for whoever cannot see it.
    zone : tzinfo
        Whose clock times are told in.

    Returns
    -------
    str
        The ``svg`` element.
    """
    height = _ON_PAGE_TRACK_IN * len(chart.tracks)
    with drawing() as kind:
        figure = _figure(kind, chart, zone, (_ON_PAGE_IN, height))
        return inline_svg(figure, name, chart.title, said)


def _figure(
    kind: type[Figure], chart: ControlChart, zone: tzinfo, size_in: tuple[float, float]
) -> Figure:
    """Draw the tracks of a chart, one above the other."""
    figure = kind(figsize=size_in, layout="constrained")
    axes = figure.subplots(len(chart.tracks), 1, sharex=True, squeeze=False)[:, 0]
    for track, axis in zip(chart.tracks, axes, strict=True):
        _draw_track(axis, track, chart.numbers)
        _number_ticks(axis, chart.numbers)
    axes[-1].set_xlabel(_below(chart, zone))
    return figure


def _draw_track(axis: Axes, track: Track, numbers: tuple[int, ...]) -> None:
    places = [track.start + place for place in range(1, len(track.points) + 1)]
    _draw_lines(axis, track, places)
    if len(places) <= _MOST_DOTS:
        axis.plot(places, track.points, color=BLUE, linewidth=0.8, marker="o", markersize=3.5)
    else:
        _draw_stretches(axis, track, places)
    odd = sorted(track.odd)
    axis.plot(
        [places[place] for place in odd],
        [track.points[place] for place in odd],
        color=VERMILION,
        linestyle="",
        marker="^",
        markersize=8 if len(places) <= _MOST_DOTS else 3,
        markeredgecolor=INK,
        markeredgewidth=1 if len(places) <= _MOST_DOTS else 0.3,
        zorder=3,
    )
    axis.set_ylabel("\n".join(textwrap.wrap(f"{track.name}, g", _NAME_COLUMNS)))
    axis.margins(x=0.02, y=0.15)
    _number_odd(axis, track, places, numbers)
    _name_lines(axis, track)


def _draw_stretches(axis: Axes, track: Track, places: list[int]) -> None:
    """Draw many points by stretches: a band from least to most, and their mean."""
    many = range(0, len(places), _stretch(len(places)))
    ends = [*many[1:], len(places)]
    found = [track.points[first:end] for first, end in zip(many, ends, strict=True)]
    middles = [(places[a] + places[b - 1]) / 2 for a, b in zip(many, ends, strict=True)]
    axis.fill_between(middles, [*map(min, found)], [*map(max, found)], color=SKY, linewidth=0)
    axis.plot(middles, [*map(fmean, found)], color=BLUE, linewidth=1)


def _stretch(points: int) -> int:
    """Return how many points are drawn together."""
    return math.ceil(points / _STRETCHES)


def drawn_how(chart: ControlChart) -> str:
    """Return how points are drawn that are too many to see; empty where each has a mark.

    Parameters
    ----------
    chart : ControlChart

    Returns
    -------
    str
    """
    count = len(chart.numbers)
    if count <= _MOST_DOTS:
        return ""
    return (
        f"There are {count} {chart.nouns}: the band reaches from the least to the most of"
        f" {_stretch(count)} in a row, the line is their mean."
    )


def _draw_lines(axis: Axes, track: Track, places: list[int]) -> None:
    """Draw centre and limits, from half a place before the first point to half a place after."""
    ends = [places[0] - 0.5, *places, places[-1] + 0.5]
    for name, line in _lines(track).items():
        color, style = (INK, "-") if name == "centre" else (VERMILION, "--")
        if min(line) == max(line):
            axis.plot((ends[0], ends[-1]), line[:1] * 2, color=color, linewidth=1, linestyle=style)
            continue
        reaching = [line[0], *line, line[-1]]
        axis.plot(ends, reaching, color=color, linewidth=1, linestyle=style, drawstyle="steps-mid")


def _lines(track: Track) -> dict[str, tuple[float, ...]]:
    """Return the lines by name, the lowest at the end first; one on another is left out."""
    lines = {"lower": track.lower, "centre": track.centre, "upper": track.upper}
    if track.lower == track.centre:
        del lines["lower"]
    return dict(sorted(lines.items(), key=lambda line: line[1][-1]))


def _number_odd(axis: Axes, track: Track, places: list[int], numbers: tuple[int, ...]) -> None:
    """Write the numbers of odd points on their outer side, the signals' first.

    One that would lie on another, or on another's mark, is left out.
    """
    named = {signal.index for signal in track.signals}
    marks = {place: _inches(axis, places[place], track.points[place]) for place in track.odd}
    taken: list[tuple[float, float]] = []
    for place in sorted(track.odd, key=lambda place: (place not in named, place)):
        number = str(numbers[track.start + place])
        outward = 1 if track.points[place] >= track.centre[place] else -1
        x, y = marks[place][0], marks[place][1] + outward * _LINE_IN
        others = [mark for other, mark in marks.items() if other != place]
        if len(taken) == _MOST_NUMBERED or any(
            abs(x - beside) < _DIGIT_IN * len(number) and abs(y - above) < _LINE_IN
            for beside, above in (*taken, *others)
        ):
            continue
        taken.append((x, y))
        axis.annotate(
            number,
            (places[place], track.points[place]),
            (0, 7 * outward),
            textcoords="offset points",
            ha="center",
            va="bottom" if outward > 0 else "top",
        )


def _inches(axis: Axes, place: float, grams: float) -> tuple[float, float]:
    """Return about where a point lies in its field, in inches."""
    (left, right), (low, high) = axis.get_xlim(), axis.get_ylim()
    width, height = _FIELD_IN
    return (place - left) / (right - left) * width, (grams - low) / (high - low) * height


def _name_lines(axis: Axes, track: Track) -> None:
    """Write name and weight of each line to the right of its end, none on another."""
    low, high = axis.get_ylim()
    decimals = max(1, decimals_of((high - low) / _FINE_ROWS))
    nearest = _LINE_IN / _FIELD_IN[1]
    beside = -math.inf
    for name, line in _lines(track).items():
        beside = max((line[-1] - low) / (high - low), beside + nearest)
        axis.annotate(
            f"{name} {minus(f'{line[-1]:.{decimals}f}')}",
            (1.0, beside),
            (4, 0),
            xycoords="axes fraction",
            textcoords="offset points",
            va="center",
            fontsize=8,
            color=INK,
        )


def _number_ticks(axis: Axes, numbers: tuple[int, ...]) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator  # noqa: PLC0415 - see draw_chart

    def label(place: float, _: int) -> str:
        index = round(place) - 1
        return str(numbers[index]) if 0 <= index < len(numbers) else ""

    axis.xaxis.set_major_locator(MaxNLocator(integer=True, min_n_ticks=1))
    axis.xaxis.set_major_formatter(FuncFormatter(label))


def _below(chart: ControlChart, zone: tzinfo) -> str:
    first, last = (clock(utc_ms, zone) for utc_ms in (chart.at_utc_ms[0], chart.at_utc_ms[-1]))
    return f"{chart.noun}, from {first} to {last}"


def _foot(chart: ControlChart, zone: tzinfo) -> list[str]:
    """Return what stands below: signals, a gap, and what has to be known."""
    told = chart.signal_lines(zone)
    more = [f"and {len(told) - _MOST_TOLD} more"] if len(told) > _MOST_TOLD else []
    key = [f"\u25b2 {chart.key}"] if any(track.odd for track in chart.tracks) else []
    signals = [*key, *told[:_MOST_TOLD], *more]
    gap = [""] if signals else []
    found = [each.text for each in chart.findings if each.is_told]
    how = [drawn_how(chart)] if len(chart.numbers) > _MOST_DOTS else []
    every = (*signals, *gap, *found, *how, *chart.remarks, chart.as_of)
    return [line for text in every for line in textwrap.wrap(text, _FOOT_COLUMNS) or [""]]

"""Control charts -> pictures; the only place that draws with matplotlib.

Colours are of Okabe and Ito's palette (Color Universal Design, 2008), told apart in grey by shape
and line as well.
"""

from __future__ import annotations

import textwrap
from datetime import UTC, tzinfo
from typing import TYPE_CHECKING, Any

from weighstation.errors import SpecificationError
from weighstation.report.control import clock

if TYPE_CHECKING:
    from pathlib import Path

    from matplotlib.axes import Axes

    from weighstation.report.control import ControlChart, Track

FORMS = {".svg": "svg", ".png": "png"}
_BLUE, _VERMILION, _INK, _FAINT = "#0072B2", "#D55E00", "#222222", "#9A9A9A"
_WIDTH_IN, _TRACK_IN, _TOP_IN = 9.0, 3.1, 1.5
_PNG_DPI = 144
_FOOT_COLUMNS = 125
_MOST_NUMBERED = 20
"""Odd points that have their number beside them; more would hide each other."""
_MOST_DOTS = 400
"""Above so many points they are a line, and only the odd ones have marks."""
_STYLE: Any = {
    "font.family": "sans-serif",
    "font.size": 10,
    "svg.hashsalt": "weighstation",
    "svg.fonttype": "none",
    "axes.spines.top": False,
    "axes.spines.right": False,
}


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
    import matplotlib as mpl  # noqa: PLC0415 - only where a picture is drawn
    from matplotlib.figure import Figure  # noqa: PLC0415 - the same

    height = _TOP_IN + _TRACK_IN * len(chart.tracks)
    with mpl.rc_context(_STYLE):
        figure = Figure(figsize=(_WIDTH_IN, height), layout="constrained")
        figure.suptitle(chart.title, x=0.01, ha="left", fontsize=12, fontweight="bold")
        axes = figure.subplots(len(chart.tracks), 1, sharex=True, squeeze=False)[:, 0]
        for track, axis in zip(chart.tracks, axes, strict=True):
            _draw_track(axis, track, chart.numbers)
            _number_ticks(axis, chart.numbers)
        axes[-1].set_xlabel(_below(chart, zone))
        figure.text(0.01, -0.01, "\n".join(_foot(chart)), ha="left", va="top", fontsize=8)
        metadata = {"Date": None, "Title": chart.title} if form == "svg" else {"Software": None}
        figure.savefig(path, format=form, dpi=_PNG_DPI, metadata=metadata, bbox_inches="tight")


def _draw_track(axis: Axes, track: Track, numbers: tuple[int, ...]) -> None:
    places = [track.start + place for place in range(1, len(track.points) + 1)]
    step = "steps-mid"
    axis.plot(places, track.centre, color=_INK, linewidth=1, drawstyle=step)
    for line in (track.lower, track.upper):
        axis.plot(places, line, color=_VERMILION, linewidth=1, linestyle="--", drawstyle=step)
    mark = "o" if len(places) <= _MOST_DOTS else ""
    axis.plot(places, track.points, color=_BLUE, linewidth=0.8, marker=mark, markersize=3.5)
    odd = sorted(track.odd)
    axis.plot(
        [places[place] for place in odd],
        [track.points[place] for place in odd],
        color=_VERMILION,
        linestyle="",
        marker="^",
        markersize=8,
        markeredgecolor=_INK,
        zorder=3,
    )
    for place in odd[:_MOST_NUMBERED]:
        at = (places[place], track.points[place])
        number = f"{numbers[track.start + place]}"
        axis.annotate(number, at, (0, 7), textcoords="offset points", ha="center")
    axis.set_ylabel(f"{track.name}, g")
    axis.margins(x=0.02, y=0.15)
    _name_lines(axis, track)


def _name_lines(axis: Axes, track: Track) -> None:
    """Say what each line is and where it stands, at the right of the last point."""
    for name, line in (("upper", track.upper), ("centre", track.centre), ("lower", track.lower)):
        axis.annotate(
            f"{name} {line[-1]:.1f}",
            (1.0, line[-1]),
            (4, 0),
            xycoords=("axes fraction", "data"),
            textcoords="offset points",
            va="center",
            fontsize=8,
            color=_INK,
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


def _foot(chart: ControlChart) -> list[str]:
    every = (*chart.remarks, chart.as_of)
    return [line for remark in every for line in textwrap.wrap(remark, _FOOT_COLUMNS)]

"""Distributions, causes and weeks of a statement -> pictures that stand in a page."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.charts.picture.frame import (
    BLUE,
    GREEN,
    INK,
    ORANGE,
    PURPLE,
    SKY,
    VERMILION,
    drawing,
    inline_svg,
)
from weighstation.report.page.printable import printable

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matplotlib.axes import Axes

    from weighstation.report.giveaway.shapes import Distribution, Waterfall, Week
    from weighstation.report.page.local import Local

_WIDTH_IN = 6.6
_BAR_IN, _FIELD_IN = 0.42, 1.9
_LABEL_COLUMNS = 24
_SERIES = (
    (BLUE, "o", "-"),
    (VERMILION, "s", "--"),
    (GREEN, "^", "-."),
    (ORANGE, "D", ":"),
    (PURPLE, "v", "-"),
    (SKY, "P", "--"),
)
_DODGE = 0.06
"""Weeks between the marks of two products, so that no interval hides another."""


def draw_distribution(shape: Distribution, name: str, said: str, local: Local) -> str:
    """Return how pieces lie beside label, lawful weight, aim and band.

    Parameters
    ----------
    shape : Distribution
    name : str
        Of the picture, the only one on its page.
    said : str
        What it shows.
    local : Local

    Returns
    -------
    str
        An ``svg`` element.
    """
    with drawing() as kind:
        from matplotlib.ticker import MaxNLocator  # noqa: PLC0415 - only where it is drawn

        figure = kind(figsize=(_WIDTH_IN, 3.1), layout="constrained")
        axis = figure.subplots()
        _bars(axis, shape)
        _marks(axis, shape, local)
        _axes(axis, "weight of a piece of dough, g", "pieces", local)
        axis.yaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 5, 10], integer=True))
        low_mg, high_mg = _seen(shape)
        axis.set_xlim(grams(low_mg), grams(high_mg))
        figure.legend(loc="outside upper center", ncols=2, fontsize=9, frameon=False)
        return inline_svg(figure, name, f"Weights of {shape.product}", said)


def _seen(shape: Distribution) -> tuple[int, int]:
    """Return the ends of what is drawn: pieces near the aim, the band, the label."""
    low, high = shape.window_mg
    at = [each.centre_mg for each in shape.bins if low <= each.centre_mg <= high]
    at += [shape.limits.target_mg - shape.limits.under_mg]
    at += [shape.limits.target_mg + shape.limits.over_mg]
    at += [] if shape.basis is None else [shape.basis.label_mg, shape.basis.lawful_mg]
    room_mg = max(shape.width_mg, (max(at) - min(at)) // 40)
    return min(at) - room_mg, max(at) + room_mg


def _bars(axis: Axes, shape: Distribution) -> None:
    under = [0] * len(shape.bins)
    for label, counts, color, hatch in (
        ("kept in the band", [each.kept for each in shape.bins], BLUE, ""),
        ("boarded above it", [each.above for each in shape.bins], VERMILION, "////"),
        ("boarded below it", [each.below for each in shape.bins], ORANGE, "\\\\\\\\"),
    ):
        there = [place for place, count in enumerate(counts) if count]
        if there:
            axis.bar(
                [grams(shape.bins[place].centre_mg) for place in there],
                [counts[place] for place in there],
                grams(shape.width_mg),
                [under[place] for place in there],
                color=color,
                hatch=hatch,
                edgecolor=INK if hatch else "white",
                linewidth=0.5,
                label=label,
            )
        under = [a + b for a, b in zip(under, counts, strict=True)]
    axis.set_ylim(0, 1.06 * max(under))


def _marks(axis: Axes, shape: Distribution, local: Local) -> None:
    limits = shape.limits
    low, high = grams(limits.target_mg - limits.under_mg), grams(limits.target_mg + limits.over_mg)
    between = f"{local.number(low, 1)} to {local.number(high, 1)} g"
    axis.axvspan(low, high, color="#dddddd", zorder=0, label=f"band {between}")
    marks = [("scaling weight", grams(limits.target_mg), "-", 2.0)]
    if shape.basis is not None:
        marks.insert(0, ("least lawful", grams(shape.basis.lawful_mg), "--", 1.6))
        marks.insert(0, ("bakes to the label", grams(shape.basis.label_mg), ":", 2.0))
    for label, at_g, style, width in marks:
        said = f"{label} {local.number(at_g, 1)} g"
        axis.axvline(at_g, color=INK, linestyle=style, linewidth=width, label=said)


def draw_waterfall(
    shape: Waterfall, causes: Sequence[str], name: str, said: str, local: Local
) -> str:
    """Return how the mean piece came to its weight, cause by cause, from above to below.

    Parameters
    ----------
    shape : Waterfall
    causes : (n,) sequence of str
        Of its steps, in words.
    name : str
        Of the picture, the only one on its page.
    said : str
        What it shows.
    local : Local

    Returns
    -------
    str
        An ``svg`` element.
    """
    steps = [float(mg) / shape.unit_mg for _, mg in shape.steps]
    total = float(shape.total_mg) / shape.unit_mg
    begins = "label" if shape.is_from_label else "scaling weight"
    ends = "mean of what left" if shape.is_a_piece else "all that left"
    with drawing() as kind:
        height = _BAR_IN * (len(steps) + 1) + 0.7
        figure = kind(figsize=(_WIDTH_IN, height), layout="constrained")
        axis = figure.subplots()
        at = 0.0
        for place, step in enumerate(steps):
            _step(axis, place, at, step, local)
            at += step
        axis.barh(len(steps), total, color=INK, height=0.6)
        _value(axis, len(steps), (0.0, total), local.signed(total, 1))
        axis.axvline(0, color=INK, linewidth=1)
        _axes(axis, f"dough above what the {begins} asks for, {shape.unit}", "", local)
        labels = [*(textwrap.fill(cause, _LABEL_COLUMNS) for cause in causes), ends]
        axis.set_yticks(range(len(labels)), labels)
        axis.tick_params(axis="y", length=0)
        axis.set_ylim(len(labels) - 0.5, -0.5)
        axis.margins(x=0.14)
        return inline_svg(figure, name, "Give-away of a piece, cause by cause", said)


def _step(axis: Axes, place: int, at: float, step: float, local: Local) -> None:
    color, hatch = (VERMILION, "////") if step >= 0 else (SKY, "\\\\\\\\")
    axis.barh(*(place, step, 0.6, at), color=color, hatch=hatch, edgecolor=INK, linewidth=0.6)
    end = at + step
    axis.plot([end, end], [place + 0.3, place + 0.7], color=INK, linewidth=0.8)
    _value(axis, place, (at, end), local.signed(step, 1))


def _value(axis: Axes, place: int, ends: tuple[float, float], text: str) -> None:
    axis.annotate(
        text, (max(ends), place), (4, 0), textcoords="offset points", va="center", fontsize=9
    )


def draw_trend(weeks: Mapping[str, Sequence[Week]], name: str, said: str, local: Local) -> str:
    """Return give-away a piece, week by week, with its interval where there is one.

    Parameters
    ----------
    weeks : mapping of str to sequence of Week
        By product; six at most.
    name : str
        Of the picture, the only one on its page.
    said : str
        What it shows.
    local : Local

    Returns
    -------
    str
        An ``svg`` element.
    """
    with drawing() as kind:
        figure = kind(figsize=(_WIDTH_IN, 3.1), layout="constrained")
        axis = figure.subplots()
        axis.axhline(0, color=INK, linewidth=1)
        for place, (product, series) in enumerate(weeks.items()):
            _series(axis, series, place, printable(product))
        _axes(axis, "week (ISO 8601)", "give-away, g a piece", local)
        _week_ticks(axis, [week for series in weeks.values() for week in series])
        legend = figure.legend(loc="outside upper center", ncols=2, fontsize=9, frameon=False)
        for text in legend.get_texts():
            text.set_parse_math(False)
        return inline_svg(figure, name, "Give-away of a piece, week by week", said)


def _number(week: Week) -> int:
    return week.monday.toordinal() // 7


def _series(axis: Axes, series: Sequence[Week], place: int, product: str) -> None:
    color, marker, style = _SERIES[place]
    at = [_number(week) + _DODGE * place for week in series]
    mean = [float(week.mean_mg) / 1000 for week in series]
    ends = [week.interval_mg or (week.mean_mg, week.mean_mg) for week in series]
    reach = [
        [mean_g - float(low) / 1000 for mean_g, (low, _) in zip(mean, ends, strict=True)],
        [float(high) / 1000 - mean_g for mean_g, (_, high) in zip(mean, ends, strict=True)],
    ]
    axis.errorbar(
        *(at, mean),
        yerr=reach,
        color=color,
        marker=marker,
        linestyle=style,
        capsize=3,
        markersize=6,
        markeredgecolor=INK,
        label=product,
    )


def _week_ticks(axis: Axes, weeks: Sequence[Week]) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator  # noqa: PLC0415 - only where it is drawn

    names = {_number(week): week.name for week in weeks}
    axis.xaxis.set_major_locator(MaxNLocator(nbins=7, integer=True, min_n_ticks=1))
    axis.xaxis.set_major_formatter(FuncFormatter(lambda at, _: names.get(round(at), "")))
    axis.set_xlim(min(names) - 0.5, max(names) + 0.5 + _DODGE * len(_SERIES))


def _axes(axis: Axes, below: str, beside: str, local: Local) -> None:
    """Name the axes with their units, and write their numbers as the shop does."""
    from matplotlib.ticker import FuncFormatter  # noqa: PLC0415 - only where it is drawn

    axis.set_xlabel(below)
    axis.set_ylabel(beside)
    plain = FuncFormatter(lambda value, _: local.sentence(f"{value:.6g}").replace("-", "\u2212"))
    axis.xaxis.set_major_formatter(plain)
    axis.yaxis.set_major_formatter(plain)

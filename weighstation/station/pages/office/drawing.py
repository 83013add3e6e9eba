"""Figures of a chart -> SVG as wide as the page, whose letters stay as large as the page's.

Places from left to right are percents, those from top to bottom pixels: a phone and a screen get
the same file. Words stand to the left and to the right of the field, where the style sheet leaves
room, so that no line runs through them. Nothing is styled here; the style sheet knows the classes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

HIGH_PX, LOW_PX = 26, 254
"""Where the highest and the lowest weight of a chart are drawn."""
TALL_PX = 300
LEFT_PCT, RIGHT_PCT = 0.0, 100.0
_INSIDE_PCT = 2.0
"""So far from the ends of the field are the first point and the last."""
_FLAT_G = 1.0
"""Weights that are all the same are drawn in the middle of so many grams."""
NAME_TALL_PX = 46
"""Room for two lines of words, also where letters are half as large again."""
_MIDDLE_EM, _UPPER_EM, _LOWER_EM = 0.35, -0.2, 0.9
"""From the middle down to where letters stand: of one line, and of two."""
_TO_NAME_PX = 12
MOST_SINGLE = 400
"""Beyond so many, points within the limits are drawn as spans; those beyond never are."""
_STEPS = (1, 2, 5, 10)
_GRID_LINES = 5
_NAMES = (("upper_g", "upper limit"), ("centre_g", "mean"), ("lower_g", "lower limit"))


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture, and its figures for whoever cannot see it.

    Parameters
    ----------
    name : str
        What a point is.
    svg : Markup
    heads : tuple of str
    rows : tuple of tuple of str
    """

    name: str
    svg: Markup
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def chart_drawn(chart: Mapping[str, Any], *, decimal: str = ".") -> tuple[Drawn, ...]:
    """Return the tracks of a control chart, each as a picture.

    Parameters
    ----------
    chart : mapping
        As ``weighstation chart --json`` has it.
    decimal : str
        Between whole and part.

    Returns
    -------
    tuple of Drawn
    """
    return tuple(
        _Field(chart, track, decimal, place).drawn() for place, track in enumerate(chart["tracks"])
    )


def nice_step(reach: float, lines: int = _GRID_LINES) -> float:
    """Return a round step that takes at most so many lines over a reach.

    Parameters
    ----------
    reach : float
        Above 0.
    lines : int

    Returns
    -------
    float
        1, 2 or 5 times a power of ten.

    Examples
    --------
    >>> nice_step(43), nice_step(0.9), nice_step(5)
    (10.0, 0.2, 1.0)
    """
    power = 10.0 ** math.floor(math.log10(reach / lines))
    return next(step * power for step in _STEPS if step * power * lines >= reach * (1 - 1e-9))


def apart(places: Sequence[float], least: float, ends: tuple[float, float]) -> tuple[float, ...]:
    """Return places moved as far as it takes for none to be nearer to the next than that.

    Parameters
    ----------
    places : (n,) sequence of float
        In their order, which is kept.
    least : float
    ends : (2,) tuple of float
        None is moved beyond; they are at least ``(n - 1) * least`` apart.

    Returns
    -------
    (n,) tuple of float

    Examples
    --------
    >>> apart([10, 11, 90], 30, (0, 100)), apart([98, 99], 30, (0, 100))
    ((0.0, 30.0, 90.0), (70.0, 100.0))
    """
    low, high = ends
    groups: list[tuple[float, int]] = []
    for place in places:
        middle, count = float(place), 1
        while groups and groups[-1][0] + (groups[-1][1] + count) * least / 2 > middle:
            before, many = groups.pop()
            middle = (before * many + middle * count) / (many + count)
            count += many
            reach = (count - 1) * least / 2
            middle = min(max(middle, low + reach), high - reach)
        groups.append((middle, count))
    return tuple(
        min(max(middle, low + (count - 1) * least / 2), high - (count - 1) * least / 2)
        + (place - (count - 1) / 2) * least
        for middle, count in groups
        for place in range(count)
    )


class _Field:
    """Where points and weights of one track fall, and what is drawn there."""

    def __init__(
        self, chart: Mapping[str, Any], track: Mapping[str, Any], decimal: str, place: int
    ) -> None:
        self._chart, self._track, self._decimal, self._place = chart, track, decimal, place
        self._points: Sequence[float] = track["points_g"]
        self._numbers = chart["numbers"][len(chart["numbers"]) - len(self._points) :]
        self._odd = set(track["beyond_or_signalled"])
        lows, highs = min(*self._points, *track["lower_g"]), max(*self._points, *track["upper_g"])
        spare = 0.0 if highs > lows else _FLAT_G / 2
        self._low: float = lows - spare
        self._high: float = highs + spare
        self._step = nice_step(self._high - self._low)

    def drawn(self) -> Drawn:
        parts = "".join(
            (
                *(*self._grid(), *self._lines(), *self._usual(), *self._beyond()),
                *(*self._names(), *self._foot()),
            )
        )
        name = f"chart-{self._place}"
        return Drawn(
            self._track["name"],
            Markup(
                '<svg class="chart" role="img" width="100%" height="{}" aria-labelledby="{}-title'
                ' {}-said"><title id="{}-title">{}</title><desc id="{}-said">{}</desc>'
            ).format(TALL_PX, name, name, name, self._title(), name, self._said())
            + Markup(parts + "</svg>"),  # noqa: S704 - drawn here
            *self._table(),
        )

    def _title(self) -> str:
        return f"{self._chart['title']}: {self._track['name']}, in grams"

    def _said(self) -> str:
        track, noun = self._track, self._chart["counts"]
        odd = ", ".join(map(str, sorted(self._odd))) or "none"
        return (
            f"{len(self._points)} points. The last mean is {self._g(track['centre_g'][-1], 1)} g,"
            f" the limits {self._g(track['lower_g'][-1], 1)} and"
            f" {self._g(track['upper_g'][-1], 1)} g. Beyond a limit or signalled: {noun} {odd}."
        )

    def _table(self) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        heads = (self._chart["counts"], f"{self._track['name']}, g", "")
        rows = tuple(
            (str(number), self._g(point, 2), "beyond or signalled" if number in self._odd else "")
            for number, point in zip(self._numbers, self._points, strict=True)
        )
        return heads, rows

    def _grid(self) -> Iterator[str]:
        decimals = max(0, -math.floor(math.log10(self._step)))
        grams = math.ceil(self._low / self._step) * self._step
        while grams <= self._high + self._step / 1000:
            y = self._y(grams)
            yield _line("grid", (LEFT_PCT, y), (RIGHT_PCT, y))
            yield _text("axis scale", LEFT_PCT, y, f"{self._g(grams, decimals)} g", _MIDDLE_EM)
            grams += self._step

    def _lines(self) -> Iterator[str]:
        """Yield the limits and the mean, as they hold at each point."""
        for key, _ in _NAMES:
            values = self._track[key]
            kind = "mean" if key == "centre_g" else "limit"
            start = 0
            for place in range(1, len(values) + 1):
                if place == len(values) or values[place] != values[start]:
                    y, ends = self._y(values[start]), self._reach(start, place - 1)
                    yield _line(kind, (ends[0], y), (ends[1], y))
                    start = place

    def _names(self) -> Iterator[str]:
        """Yield what the lines are called and say at the last point, each beside its own."""
        half = NAME_TALL_PX / 2
        values = [self._track[key][-1] for key, _ in _NAMES]
        lines = [self._y(grams) for grams in values]
        middles = apart(lines, NAME_TALL_PX, (half + 4, TALL_PX - half - 4))
        for (_, name), grams, line, middle in zip(_NAMES, values, lines, middles, strict=True):
            yield (
                f'<svg class="name" x="{RIGHT_PCT:g}%"><path class="lead"'
                f' d="M0 {line:.1f}L{_TO_NAME_PX - 3} {middle:.1f}"/>'
                f'<text x="{_TO_NAME_PX}" y="{middle:.1f}" dy="{_UPPER_EM}em">{name}</text>'
                f'<text x="{_TO_NAME_PX}" y="{middle:.1f}" dy="{_LOWER_EM}em">'
                f"{self._g(grams, 1)} g</text></svg>"
            )

    def _usual(self) -> Iterator[str]:
        """Yield the points within the limits, joined; as spans where there are very many."""
        if len(self._points) > MOST_SINGLE:
            yield from self._spans()
            return
        at = [(self._x(place), self._y(grams)) for place, grams in enumerate(self._points)]
        for before, after in pairwise(at):
            yield _line("path", before, after)
        for place, (x, y) in enumerate(at):
            if self._numbers[place] not in self._odd:
                yield f'<circle class="point" cx="{x:.2f}%" cy="{y:.1f}" r="3.5"/>'

    def _spans(self) -> Iterator[str]:
        each = math.ceil(len(self._points) / (MOST_SINGLE / 2))
        for start in range(0, len(self._points), each):
            some = self._points[start : start + each]
            x = self._x(start + (len(some) - 1) / 2)
            yield _line("span", (x, self._y(min(some))), (x, self._y(max(some)) - 0.5))

    def _beyond(self) -> Iterator[str]:
        """Yield every point beyond a limit or signalled, as a triangle: it needs no colour."""
        for place, number in enumerate(self._numbers):
            if number in self._odd:
                x, y = self._x(place), self._y(self._points[place])
                yield (f'<svg class="odd" x="{x:.2f}%" y="{y:.1f}"><path d="M0-8 7 5H-7Z"/></svg>')

    def _foot(self) -> Iterator[str]:
        noun, last = self._chart["counts"], len(self._numbers) - 1
        y = TALL_PX - 6
        yield _text("axis", LEFT_PCT, y, f"{noun} {self._numbers[0]}")
        if last:
            yield _text("axis last", RIGHT_PCT, y, f"{noun} {self._numbers[-1]}")

    def _x(self, place: float) -> float:
        last = len(self._points) - 1
        share = place / last if last else 0.5
        return LEFT_PCT + _INSIDE_PCT + share * (RIGHT_PCT - LEFT_PCT - 2 * _INSIDE_PCT)

    def _reach(self, first: int, last: int) -> tuple[float, float]:
        """Return from where to where a line is drawn that holds for some points."""
        left = LEFT_PCT if first == 0 else self._x(first)
        right = RIGHT_PCT if last == len(self._points) - 1 else self._x(last + 1)
        return left, right

    def _y(self, grams: float) -> float:
        share: float = (grams - self._low) / (self._high - self._low)
        return LOW_PX - share * (LOW_PX - HIGH_PX)

    def _g(self, grams: float, decimals: int) -> str:
        text = f"{grams + 0.0:.{decimals}f}".replace("-", "\N{MINUS SIGN}")
        return text.replace(".", self._decimal)


def _line(kind: str, start: tuple[float, float], end: tuple[float, float]) -> str:
    return (
        f'<line class="{kind}" x1="{start[0]:.2f}%" y1="{start[1]:.1f}"'
        f' x2="{end[0]:.2f}%" y2="{end[1]:.1f}"/>'
    )


def _text(kind: str, x: float, y: float, text: str, down_em: float = 0.0) -> str:
    return str(
        Markup('<text class="{}" x="{:.2f}%" y="{:.1f}" dy="{:g}em">{}</text>').format(
            kind, x, y, down_em, text
        )
    )

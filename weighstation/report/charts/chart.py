"""A track of a control chart -> lines of text, told apart by marks and not by colour."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.report.charts.control import Track


@dataclass(frozen=True, slots=True)
class Marks:
    """What a chart is drawn with.

    Parameters
    ----------
    point, beyond : str
        A point within the limits, and one beyond them.
    centre, limit : str
        Lines.
    axis, corner, foot : str
        The frame.
    """

    point: str
    beyond: str
    centre: str
    limit: str
    axis: str
    corner: str
    foot: str


BOX = Marks("\u2022", "\u25b2", "\u2500", "\u254c", "\u2502", "\u2514", "\u2500")
ASCII = Marks("o", "X", "-", ".", "|", "+", "-")
_AXIS_WIDTH = 9
FINE_G = 2.0
"""Where a line of text stands for less than this, weights are labelled in tenths of a gram; for
less than a tenth of it in hundredths, and so on."""
_NAME_WIDTH = 8


def track_lines(
    track: Track, numbers: Sequence[int], *, width: int = 78, rows: int = 13, marks: Marks = BOX
) -> list[str]:
    """Return a run of points and its limits as lines of text, in order from left to right.

    Parameters
    ----------
    track : Track
        In grams, at least one point.
    numbers : (n,) sequence of int
        What the points are called below the axis.
    width : int
        Columns, axis and names included; at least 40.
    rows : int
        Lines of the field; at least 7.
    marks : Marks

    Returns
    -------
    list of str
        ``rows + 2`` lines. Where there are more points than columns, each column holds a few
        neighbours, and says beyond if one of them is.
    """
    field = _Field(track, width - _NAME_WIDTH, rows)
    grid = [[" "] * field.columns for _ in range(rows)]
    count = len(track.points)
    for column in range(field.columns):
        place = field.place(column, count)
        for line in (track.upper, track.lower):
            grid[field.row(line[place])][column] = marks.limit
        grid[field.row(track.centre[place])][column] = marks.centre
    odd = track.odd
    for place in sorted(range(count), key=lambda place: place in odd):
        mark = marks.beyond if place in odd else marks.point
        grid[field.row(track.points[place])][field.column(place)] = mark
    return [*_framed(grid, field, _named_lines(track, field), marks), *_foot(field, numbers, marks)]


def _named_lines(track: Track, field: _Field) -> dict[int, _Line]:
    """Return the lines by their row at the last point, where their names stand."""
    return {
        field.row(track.upper[-1]): _Line("upper", track.upper[-1]),
        field.row(track.lower[-1]): _Line("lower", track.lower[-1]),
        field.row(track.centre[-1]): _Line("centre", track.centre[-1]),
    }


def _framed(
    grid: list[list[str]], field: _Field, lines: dict[int, _Line], marks: Marks
) -> list[str]:
    drawn = []
    for row, cells in enumerate(grid):
        line_here = lines.get(row)
        near = {row - 1, row, row + 1} & set(lines)
        usual = field.text(field.grams(row)) if row % 3 == 0 and not near else ""
        label = usual if line_here is None else field.text(line_here.grams)
        name = "" if line_here is None else f" {line_here.name}"
        drawn.append(f"{label:>{field.axis - 2}} {marks.axis}{''.join(cells)}{name}".rstrip())
    return drawn


def decimals_of(step_g: float) -> int:
    """Return how many decimals of a gram tell lines apart that stand for so much.

    Parameters
    ----------
    step_g : float, grams
        From one line of text to the next, above 0.

    Returns
    -------
    int
        At most 3, the milligrams that are on record.

    Examples
    --------
    >>> decimals_of(8.0), decimals_of(1.9), decimals_of(0.03)
    (0, 1, 2)
    """
    return min(3, max(0, math.ceil(math.log10(FINE_G / step_g))))


@dataclass(frozen=True, slots=True)
class _Line:
    name: str
    grams: float


class _Field:
    """Where a weight and a place fall on the grid."""

    def __init__(self, track: Track, width: int, rows: int) -> None:
        low = min(*track.points, *track.lower)
        high = max(*track.points, *track.upper)
        margin = (high - low) / 20 or 1.0
        self._low, self._high, self._rows = low - margin, high + margin, rows
        self._decimals = decimals_of((self._high - self._low) / rows)
        widest = max(len(self.text(end)) for end in (self._low, self._high))
        self.axis = max(_AXIS_WIDTH, widest + 2)
        room = width - self.axis
        self._each = math.ceil(len(track.points) / room)
        self._wide = max(1, min(4, room // len(track.points)))
        self.columns = math.ceil(len(track.points) / self._each) * self._wide

    def row(self, grams: float) -> int:
        share = (self._high - grams) / (self._high - self._low)
        return min(int(share * self._rows), self._rows - 1)

    def grams(self, row: int) -> float:
        return self._high - (row + 0.5) * (self._high - self._low) / self._rows

    def text(self, grams: float) -> str:
        return f"{round(grams, self._decimals) + 0.0:.{self._decimals}f} g"

    def column(self, index: int) -> int:
        return index // self._each * self._wide + self._wide // 2

    def place(self, column: int, count: int) -> int:
        """Return the last point of a column."""
        return min((column // self._wide + 1) * self._each, count) - 1


def _foot(field: _Field, numbers: Sequence[int], marks: Marks) -> Sequence[str]:
    first, last = str(numbers[0]), str(numbers[-1])
    below = first
    if len(numbers) > 1:
        room = max(field.columns - len(first), len(last) + 1)
        below += last.rjust(room)
    indent = " " * (field.axis - 1)
    return [indent + marks.corner + marks.foot * field.columns, f"{indent} {below}"]

"""An individuals chart -> lines of text, told apart by marks and not by colour."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.monitor import Individuals


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
"""Where a line of text stands for less than this, weights are labelled in tenths of a gram."""
_NAME_WIDTH = 8


def individuals_chart(
    chart: Individuals, *, width: int = 78, rows: int = 13, marks: Marks = BOX
) -> list[str]:
    """Return an individuals chart as lines of text, points in order from left to right.

    Parameters
    ----------
    chart : Individuals
        In grams.
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
    field = _Field(chart, width - _NAME_WIDTH, rows)
    grid = [[" "] * field.columns for _ in range(rows)]
    lines = {
        field.row(chart.upper): _Line("upper", chart.upper, marks.limit),
        field.row(chart.lower): _Line("lower", chart.lower, marks.limit),
        field.row(chart.centre): _Line("centre", chart.centre, marks.centre),
    }
    for row, line in lines.items():
        grid[row] = [line.mark] * field.columns
    beyond = {signal.index for signal in chart.signals}
    for index in sorted(range(len(chart.points)), key=lambda index: index in beyond):
        mark = marks.beyond if index in beyond else marks.point
        grid[field.row(chart.points[index])][field.column(index)] = mark
    drawn = []
    for row, cells in enumerate(grid):
        line_here = lines.get(row)
        near = {row - 1, row, row + 1} & set(lines)
        usual = field.text(field.grams(row)) if row % 3 == 0 and not near else ""
        label = usual if line_here is None else field.text(line_here.grams)
        name = "" if line_here is None else f" {line_here.name}"
        drawn.append(f"{label:>{field.axis - 2}} {marks.axis}{''.join(cells)}{name}".rstrip())
    return [*drawn, *_foot(field, len(chart.points), marks)]


@dataclass(frozen=True, slots=True)
class _Line:
    name: str
    grams: float
    mark: str


class _Field:
    """Where a weight and a place fall on the grid."""

    def __init__(self, chart: Individuals, width: int, rows: int) -> None:
        low = min(*chart.points, chart.lower)
        high = max(*chart.points, chart.upper)
        margin = (high - low) / 20 or 1.0
        self._low, self._high, self._rows = low - margin, high + margin, rows
        self._places = 0 if self._high - self._low > FINE_G * rows else 1
        self.axis = max(_AXIS_WIDTH, len(self.text(self._high)) + 2)
        room = width - self.axis
        self._each = math.ceil(len(chart.points) / room)
        self._wide = max(1, min(4, room // len(chart.points)))
        self.columns = math.ceil(len(chart.points) / self._each) * self._wide

    def row(self, grams: float) -> int:
        share = (self._high - grams) / (self._high - self._low)
        return min(int(share * self._rows), self._rows - 1)

    def grams(self, row: int) -> float:
        return self._high - (row + 0.5) * (self._high - self._low) / self._rows

    def text(self, grams: float) -> str:
        return f"{grams:.{self._places}f} g"

    def column(self, index: int) -> int:
        return index // self._each * self._wide + self._wide // 2


def _foot(field: _Field, count: int, marks: Marks) -> Sequence[str]:
    last = str(count)
    numbers = "1" + last.rjust(max(field.columns - 1, len(last) + 1))
    indent = " " * (field.axis - 1)
    return [indent + marks.corner + marks.foot * field.columns, f"{indent} {numbers}"]

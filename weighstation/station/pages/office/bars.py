"""Rows of a table and their figures -> a bar beside each row, all on one scale."""

from __future__ import annotations

from itertools import accumulate, pairwise
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence


class Bar(NamedTuple):
    """A bar across a cell.

    Parameters
    ----------
    left, wide : float, percent of the cell
    zero : float, percent of the cell
        Where nothing is.
    is_less : bool
        Whether it stands for less than nothing.
    """

    left: float
    wide: float
    zero: float
    is_less: bool


def steps(figures: Sequence[float]) -> tuple[Bar, ...]:
    """Return bars each of which begins where the one before it ended, and one for all together.

    Parameters
    ----------
    figures : (n,) sequence of float

    Returns
    -------
    (n + 1,) tuple of Bar
        The last is all together.

    Examples
    --------
    >>> [(bar.left, bar.wide) for bar in steps([30.0, 20.0, -10.0])]
    [(0.0, 60.0), (60.0, 40.0), (80.0, 20.0), (0.0, 80.0)]
    """
    ends = list(accumulate(figures, initial=0.0))
    return _across([*pairwise(ends), (0.0, ends[-1])])


def from_nothing(figures: Sequence[float]) -> tuple[Bar, ...]:
    """Return bars that all begin at nothing.

    Parameters
    ----------
    figures : (n,) sequence of float

    Returns
    -------
    (n,) tuple of Bar

    Examples
    --------
    >>> [(bar.left, bar.wide) for bar in from_nothing([3.0, -1.0])]
    [(25.0, 75.0), (0.0, 25.0)]
    """
    return _across([(0.0, figure) for figure in figures])


def _across(reaches: Sequence[tuple[float, float]]) -> tuple[Bar, ...]:
    ends = [end for reach in reaches for end in reach] or [0.0]
    low, high = min(0.0, *ends), max(0.0, *ends)
    whole = (high - low) or 1.0

    def at(figure: float) -> float:
        return 100 * (figure - low) / whole

    return tuple(
        Bar(at(min(reach)), abs(at(reach[1]) - at(reach[0])), at(0.0), reach[1] < reach[0])
        for reach in reaches
    )

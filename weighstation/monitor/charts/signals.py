"""What a chart points at: a place, the rule that was met, and a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


_MOST_PLACES = 9
"""A nanogram: nothing on a bench differs by less."""


class Rule(StrEnum):
    """A rule that makes a chart signal; run rules are named by their zones and run lengths."""

    BEYOND_LIMITS = "beyond limits"
    BEYOND_3_SIGMA = "1 beyond 3 sigma"
    TWO_OF_3 = "2 of 3 beyond 2 sigma"
    FOUR_OF_5 = "4 of 5 beyond 1 sigma"
    EIGHT_ON_ONE_SIDE = "8 in a row on one side"
    NINE_ON_ONE_SIDE = "9 in a row on one side"
    SIX_RISING_OR_FALLING = "6 in a row rising or falling"
    FOURTEEN_ALTERNATING = "14 in a row alternating"
    FIFTEEN_WITHIN_1_SIGMA = "15 in a row within 1 sigma"
    EIGHT_OUTSIDE_1_SIGMA = "8 in a row outside 1 sigma"
    SUM_OF_DEVIATIONS = "sum of deviations"


@dataclass(frozen=True, slots=True)
class Signal:
    """One thing that a chart points at.

    Parameters
    ----------
    index : int
        Place of the point at which the rule was met, from 0.
    rule : Rule
    text : str
        One plain sentence; it names the pieces by their numbers.
    first : int
        Place of the first point that the rule rests on, from 0.
    side : int
        1 where the points are heavy, -1 where they are light, 0 where they are neither.
    """

    index: int
    rule: Rule
    text: str
    first: int
    side: int = 0


class Numbers:
    """What the points of a chart are called in its sentences.

    Parameters
    ----------
    numbers : (n,) sequence of int or None
        None counts them from 1.
    count : int
        How many points there are.
    noun : str
        What one of them is.

    Raises
    ------
    SpecificationError
        If there is not one number for each point.
    """

    def __init__(self, numbers: Sequence[int] | None, count: int, noun: str = "piece") -> None:
        if numbers is not None and len(numbers) != count:
            raise SpecificationError(
                f"There are {len(numbers)} numbers for {count} points; give one for each."
            )
        self._numbers = numbers
        self._noun = noun.capitalize()

    def one(self, index: int) -> str:
        """Return one point in words.

        Parameters
        ----------
        index : int

        Returns
        -------
        str
        """
        return f"{self._noun} {self._number(index)}"

    def span(self, first: int, last: int) -> str:
        """Return a stretch of points in words.

        Parameters
        ----------
        first, last : int

        Returns
        -------
        str
        """
        if first == last:
            return self.one(first)
        return f"{self._noun}s {self._number(first)} to {self._number(last)}"

    def _number(self, index: int) -> int:
        return index + 1 if self._numbers is None else self._numbers[index]


def beyond_limits(
    points: Floats,
    *,
    lower: Floats | float,
    upper: Floats | float,
    numbers: Sequence[int] | None = None,
    noun: str = "piece",
) -> tuple[Signal, ...]:
    """Return a signal for every point outside its control limits; a point on a limit is inside.

    Parameters
    ----------
    points : (n,) array of float, grams
    lower, upper : float or (n,) array of float, grams
    numbers : (n,) sequence of int or None
        What the points are called; None counts them from 1.
    noun : str
        What one of them is.

    Returns
    -------
    tuple of Signal
        In the order of the points.

    Notes
    -----
    Shewhart's criterion I. Strict inequality: common practice, no source.
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    names = Numbers(numbers, len(points), noun)
    low, high = np.broadcast_to(lower, points.shape), np.broadcast_to(upper, points.shape)
    found = []
    for index in np.flatnonzero((points < lower) | (points > upper)).tolist():
        point, side = float(points[index]), 1 if points[index] > high[index] else -1
        where, limit = ("above the upper", high) if side > 0 else ("below the lower", low)
        shown_g, limit_g = told_apart(point, float(limit[index]))
        text = f"{names.one(index)} ({shown_g} g) is {where} control limit ({limit_g} g)."
        found.append(Signal(index, Rule.BEYOND_LIMITS, text, index, side))
    return tuple(found)


def told_apart(one_g: float, other_g: float) -> tuple[str, str]:
    """Return two weights that differ, with as many decimals as it takes to see it.

    Parameters
    ----------
    one_g, other_g : float, grams

    Returns
    -------
    (2,) tuple of str
        With one decimal at least.

    Examples
    --------
    >>> told_apart(790.0, 761.25), told_apart(63.04, 63.01)
    (('790.0', '761.2'), ('63.04', '63.01'))
    """
    for places in range(1, _MOST_PLACES + 1):
        shown = (f"{one_g:.{places}f}", f"{other_g:.{places}f}")
        if shown[0] != shown[1]:
            break
    return shown

"""What a chart points at: a place, the rule that was met, and a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


class Rule(StrEnum):
    """A rule that makes a chart signal."""

    BEYOND_LIMITS = "beyond limits"


@dataclass(frozen=True, slots=True)
class Signal:
    """One thing that a chart points at.

    Parameters
    ----------
    index : int
        Place of the point, from 0.
    rule : Rule
    text : str
        One plain sentence; it counts points from 1.
    """

    index: int
    rule: Rule
    text: str


def beyond_limits(points: Sequence[float], *, lower: float, upper: float) -> tuple[Signal, ...]:
    """Return a signal for every point outside its control limits; a point on a limit is inside.

    Parameters
    ----------
    points : (n,) float, grams
    lower, upper : float, grams

    Returns
    -------
    tuple of Signal
        In the order of the points.

    Notes
    -----
    Shewhart's criterion I. Strict inequality: common practice, no source.
    """
    found = []
    for index, point in enumerate(points):
        if lower <= point <= upper:
            continue
        side = "above the upper" if point > upper else "below the lower"
        limit = upper if point > upper else lower
        text = f"Point {index + 1} ({point:.1f}) is {side} control limit ({limit:.1f})."
        found.append(Signal(index, Rule.BEYOND_LIMITS, text))
    return tuple(found)

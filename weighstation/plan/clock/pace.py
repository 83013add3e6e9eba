"""When pieces were cut -> the pace of a scaler, and how large a dough is that suits it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan.boards.board import checked_time
from weighstation.plan.proof.fermentation import checked_temperature
from weighstation.quantities import in_words, is_count, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable

WARM_C = 28.0
"""A yeasted dough above it is to be cut sooner; common practice, no source."""

RECENT = 12
"""Intervals that a pace is the median of; house figure."""
FEWEST = 3
"""Intervals below which there is no pace yet; house figure."""
BREAK_S = 120.0
"""Seconds from one piece to the next beyond which it was a break; house figure: a learner takes
15 to 30 s for a loaf (common practice, no source)."""

CLOSE = 1e-9
"""What rounding may leave over where a limit is met exactly."""


@dataclass(frozen=True, slots=True)
class TimeLimit:
    """How long the scaling of one dough should take.

    Parameters
    ----------
    aim_s : float, seconds
        What a dough is planned for.
    most_s : float, seconds
        What it should not go beyond.

    Raises
    ------
    SpecificationError
        If these are no times.

    Notes
    -----
    15 to 20 minutes by default: textbook, "Scaling and preshaping" (read in an excerpt).
    """

    aim_s: float = 900.0
    most_s: float = 1200.0

    def __post_init__(self) -> None:
        """Refuse what is no limit."""
        if not (is_number(self.aim_s, self.most_s) and 0 < self.aim_s <= self.most_s):
            raise SpecificationError(
                f"A limit of {in_words(self.aim_s)} to {in_words(self.most_s)} s is none.",
                hint="Give what is aimed at and the most, in seconds, the smaller first.",
            )


def time_limit(dough_c: float | None = None) -> TimeLimit:
    """Return how long the scaling of a yeasted dough should take.

    Parameters
    ----------
    dough_c : float, degrees Celsius, or None
        Temperature of the dough; None where it was not taken.

    Returns
    -------
    TimeLimit
        15 to 20 minutes; 10 to 12 above 28 C.

    Raises
    ------
    SpecificationError
        If that is no temperature of a dough.

    Notes
    -----
    The shorter limit is common practice, no source.

    Examples
    --------
    >>> time_limit(30).aim_s / 60, time_limit().most_s / 60
    (10.0, 20.0)
    """
    if dough_c is not None and checked_temperature(dough_c) > WARM_C:
        return TimeLimit(600.0, 720.0)
    return TimeLimit()


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast pieces come.

    Parameters
    ----------
    every_s : float, seconds
        From one kept piece to the next.
    intervals : int
        That it is the median of.
    """

    every_s: float
    intervals: int

    @property
    def per_min(self) -> float:
        """Pieces in a minute."""
        return 60 / self.every_s


def pace(
    cut_times_s: Iterable[float], *, last: int = RECENT, break_s: float = BREAK_S
) -> Pace | None:
    """Return the pace of the last pieces, whatever breaks and stumbles lie between them.

    Parameters
    ----------
    cut_times_s : (n,) iterable of float, seconds
        When kept pieces left the pan, in any order.
    last : int
        Intervals that are looked at, at least 3.
    break_s : float, seconds
        A longer interval was a break and is left out, as are pieces with one and the same time.

    Returns
    -------
    Pace or None
        None while there are fewer than three intervals.

    Raises
    ------
    SpecificationError
        If a time is not finite, or the other two make no sense.

    Notes
    -----
    The median of the last intervals: half of them may be anything. A piece that is struck out
    leaves a double interval, which the median does not see.

    Examples
    --------
    >>> pace([0, 12, 24, 35, 900, 912, 925])
    Pace(every_s=12.0, intervals=5)
    """
    if not (is_count(last, least=FEWEST) and is_number(break_s) and break_s > 0):
        raise SpecificationError(
            f"A pace looks at {FEWEST} intervals or more, and a break is longer than 0 s.",
            hint="Leave both out to have the usual ones.",
        )
    times = sorted(checked_time(t_s) for t_s in cut_times_s)
    intervals = [later - earlier for earlier, later in pairwise(times)]
    recent = [apart for apart in intervals if 0 < apart <= break_s][-last:]
    if len(recent) < FEWEST:
        return None
    return Pace(float(median(recent)), len(recent))


def largest_dough(every_s: float, *, limit_s: float = 900.0, scalers: int = 1) -> int:
    """Return how many pieces a dough may make so that its scaling stays within a limit.

    Parameters
    ----------
    every_s : float, seconds
        One scaler's pace, positive.
    limit_s : float, seconds
        Not negative.
    scalers : int
        Who cut at that pace at the same time, at least 1.

    Returns
    -------
    int

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    Limit over seconds per piece, times the scalers; own arithmetic.

    Examples
    --------
    >>> largest_dough(12), largest_dough(25)
    (75, 36)
    """
    if not (is_number(every_s) and every_s > 0):
        raise SpecificationError(
            f"A piece takes more than 0 s, not {in_words(every_s)}.",
            hint="Give the seconds per piece.",
        )
    if not (is_number(limit_s) and limit_s >= 0 and is_count(scalers, least=1)):
        raise SpecificationError(
            "A limit is 0 s or more, and there is at least 1 scaler.", hint="Mend these two."
        )
    return scalers * math.floor(limit_s / every_s + CLOSE)

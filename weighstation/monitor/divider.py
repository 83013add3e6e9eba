"""Checks of a mechanical divider: a few pieces every so many minutes, and what they miss."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.distributions import normal_cdf
from weighstation.monitor.weights import plain_floats
from weighstation.quantities import is_count, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Groups:
    """Checks in the order they were made, ready for a chart of means.

    Parameters
    ----------
    size : int
        Pieces in each check.
    means_g : (k,) tuple of float, grams
    points : (k,) tuple of (size,) tuple of float, grams, or None
        The pieces of each check; None when they were weighed together, for then the spread
        between them was never seen.
    left_over : int
        Pieces at the end that fill no group.
    """

    size: int
    means_g: tuple[float, ...]
    points: tuple[tuple[float, ...], ...] | None
    left_over: int = 0

    @property
    def text(self) -> str:
        """What these groups can tell, in one plain sentence."""
        if self.points is None:
            return (
                f"{len(self.means_g)} checks of {self.size} pieces weighed together: the mean can"
                " be charted, the spread from piece to piece was not seen."
            )
        return f"{len(self.means_g)} checks of {self.size} pieces: mean and spread can be charted."


@dataclass(frozen=True, slots=True)
class Check:
    """How a divider is checked, and how likely one check misses a shift of its mean.

    Parameters
    ----------
    pieces : int
        In one check, at least 1.
    every_min : float, minutes
        Between checks, positive.
    sd_g : float, grams
        Spread from piece to piece, positive.
    limits : float
        Of the chart of means, in standard deviations of a mean.

    Raises
    ------
    SpecificationError
        If a number is not positive and finite.
    """

    pieces: int
    every_min: float
    sd_g: float
    limits: float = 3.0

    def __post_init__(self) -> None:
        numbers = (self.every_min, self.sd_g, self.limits)
        if not (is_count(self.pieces, least=1) and is_number(*numbers) and min(numbers) > 0):
            raise SpecificationError(
                "A check has at least 1 piece, and its minutes, spread and limits are positive."
            )

    def chance_missed(self, shift_g: float) -> float:
        """Return the chance that one check does not signal a shift that has happened.

        Parameters
        ----------
        shift_g : float, grams

        Returns
        -------
        float
        """
        return chance_missed(shift_g / self.sd_g, size=self.pieces, limits=self.limits)

    def expected_checks(self, shift_g: float) -> float:
        """Return how many checks it takes on average until one signals, that one included.

        Parameters
        ----------
        shift_g : float, grams

        Returns
        -------
        float
        """
        return expected_checks(shift_g / self.sd_g, size=self.pieces, limits=self.limits)

    def text(self, shift_g: float) -> str:
        """Return one plain sentence about a shift.

        Parameters
        ----------
        shift_g : float, grams

        Returns
        -------
        str
        """
        checks = self.expected_checks(shift_g)
        return (
            f"One check of {self.pieces} pieces misses a shift of {abs(shift_g):.1f} g with a"
            f" chance of {100 * self.chance_missed(shift_g):.0f} %; on average it takes"
            f" {checks:.1f} checks, the last of them {(checks - 1) * self.every_min:.0f} minutes"
            " after the first."
        )


def groups_of(x: Iterable[float], *, size: int) -> Groups:
    """Return pieces weighed one by one as checks of equal size; an unfilled last one is left out.

    Parameters
    ----------
    x : (n,) float, grams
        In the order they were cut.
    size : int
        At least 2.

    Returns
    -------
    Groups

    Raises
    ------
    NotEnoughDataError
        If the pieces fill no group.
    SpecificationError
        If the size is below 2, or a weight is not a finite number.

    Examples
    --------
    >>> groups_of([740.0, 742.0, 738.0, 744.0, 741.0], size=2).means_g
    (741.0, 741.0)
    """
    points = plain_floats(x, what="A check of the divider", least=0)
    if not is_count(size, least=2):
        raise SpecificationError("A group has at least 2 pieces; single ones have their own chart.")
    if len(points) < size:
        raise NotEnoughDataError(
            f"A group of {size} needs {size} pieces, and there are {len(points)}.",
            have=len(points),
            need=size,
        )
    count = len(points) // size
    groups = tuple(points[size * place : size * (place + 1)] for place in range(count))
    means = tuple(math.fsum(group) / size for group in groups)
    return Groups(size, means, groups, len(points) - count * size)


def weighed_together(totals_g: Iterable[float], *, size: int) -> Groups:
    """Return checks whose pieces lay on the scale together: a press-head in one weighing.

    Parameters
    ----------
    totals_g : (k,) float, grams
        Net mass of each check.
    size : int
        Pieces in each, at least 2.

    Returns
    -------
    Groups
        Without points: a heavy piece beside a light one looks like two good ones.

    Raises
    ------
    NotEnoughDataError
        If there is none.
    SpecificationError
        If the size is below 2, or a mass is not a finite number.
    """
    totals = plain_floats(totals_g, what="A check of the divider", least=0)
    if not is_count(size, least=2):
        raise SpecificationError("Pieces weighed together are at least 2.")
    if not totals:
        raise NotEnoughDataError("There is no check of the divider yet.", have=0, need=1)
    return Groups(size, tuple(total / size for total in totals), None)


def chance_missed(shift_sd: float, *, size: int, limits: float = 3.0) -> float:
    """Return the chance that one mean of ``size`` pieces lies within its limits after a shift.

    Parameters
    ----------
    shift_sd : float
        Shift of the mean in standard deviations of single pieces.
    size : int
        Pieces in the mean, at least 1.
    limits : float
        In standard deviations of such a mean.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``size`` is below 1, or ``limits`` not positive.

    Notes
    -----
    ``Phi(L - d sqrt(n)) - Phi(-L - d sqrt(n))``: D. C. Montgomery, Introduction to Statistical
    Quality Control, the operating-characteristic curve of the chart of means (from memory).
    """
    off = _offset(shift_sd, size, limits)
    return normal_cdf(limits - off) - normal_cdf(-limits - off)


def expected_checks(shift_sd: float, *, size: int, limits: float = 3.0) -> float:
    """Return the average number of checks until one signals, that one included.

    Parameters
    ----------
    shift_sd : float
        Shift of the mean in standard deviations of single pieces.
    size : int
        Pieces in the mean, at least 1.
    limits : float
        In standard deviations of such a mean.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``size`` is below 1, or ``limits`` not positive.

    Notes
    -----
    One over the chance that a check signals; the source is that of `chance_missed`. The shift
    stays as it is, and the checks are independent.
    """
    off = _offset(shift_sd, size, limits)
    return 1 / (normal_cdf(off - limits) + normal_cdf(-limits - off))


def _offset(shift_sd: float, size: int, limits: float) -> float:
    if not (is_count(size, least=1) and is_number(limits, shift_sd) and limits > 0):
        raise SpecificationError(
            "Give a finite shift, at least 1 piece and limits that are positive."
        )
    return abs(shift_sd) * math.sqrt(size)

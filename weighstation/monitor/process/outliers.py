"""Weights that lie apart from the others: the test of Grubbs, and fences about the quartiles."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import t_quantile
from weighstation.monitor.given import checked_confidence
from weighstation.monitor.process.percentile import percentile
from weighstation.monitor.sample import checked, spread
from weighstation.quantities import is_count, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Grubbs:
    """The weight furthest from the mean, and whether chance explains it.

    Parameters
    ----------
    index : int
        Its place, from 0.
    g : float
        Its distance from the mean in standard deviations.
    critical : float
        What a normal sample of this size exceeds with the chance ``level``.
    level : float
    """

    index: int
    g: float
    critical: float
    level: float

    @property
    def is_outlier(self) -> bool:
        """Whether it lies further out than chance explains."""
        return self.g > self.critical

    @property
    def text(self) -> str:
        """One plain sentence; a finding is a question, never a reason to drop a weight."""
        if self.is_outlier:
            return (
                f"Weight {self.index + 1} lies apart from the others (G = {self.g:.2f}, more than"
                f" {self.critical:.2f}): find out what happened before anything is left out."
            )
        return f"No weight lies apart from the others (G = {self.g:.2f})."


def grubbs(x: Iterable[float], *, level: float = 0.05) -> Grubbs:
    """Return Grubbs' test, two-sided, for one outlier in a normal sample.

    Parameters
    ----------
    x : (n,) float, grams
        At least three, not all equal.
    level : float
        Between 0 and 1.

    Returns
    -------
    Grubbs

    Raises
    ------
    NotEnoughDataError
        If there are fewer than three weights.
    SpecificationError
        If a weight is not a finite number, all are equal, or the level is none.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 1.3.5.17.1.
    """
    sample = spread(x, what="A test for an outlier", need=3)
    apart = [abs(value - sample.mean_g) for value in sample.points]
    furthest = max(apart)
    critical = grubbs_critical(sample.n, level=level)
    return Grubbs(apart.index(furthest), furthest / sample.sd_g, critical, level)


def grubbs_critical(n: int, *, level: float = 0.05, sides: int = 2) -> float:
    """Return what the furthest of n normal weights exceeds with a chance of ``level``.

    Parameters
    ----------
    n : int
        At least three.
    level : float
        Between 0 and 1.
    sides : int
        2 when the outlier may be heavy or light, 1 when only one of these was asked for before
        the weights were seen.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``n`` is below 3, ``sides`` neither 1 nor 2, or the level none.

    Notes
    -----
    ``(n - 1) / sqrt(n) sqrt(t^2 / (n - 2 + t^2))`` with t of ``level / (sides n)`` and n - 2
    degrees of freedom; the source is that of `grubbs`.

    Examples
    --------
    >>> round(grubbs_critical(8, sides=1), 3)
    2.032
    """
    checked_confidence(level)
    if not is_count(n, least=3) or sides not in (1, 2):
        raise SpecificationError("Grubbs' test takes 3 weights or more, and 1 or 2 sides.")
    t = t_quantile(1 - level / (sides * n), df=n - 2)
    return (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))


@dataclass(frozen=True, slots=True)
class Fences:
    """Fences about the quartiles; they need no law, and one wild weight does not move them.

    Parameters
    ----------
    inner, outer : (low, high) tuple of float, grams
        1.5 and 3 interquartile ranges beyond the quartiles.
    """

    inner: tuple[float, float]
    outer: tuple[float, float]

    def beyond_inner(self, x: Iterable[float]) -> tuple[int, ...]:
        """Return the places, from 0, of weights outside the inner fences.

        Parameters
        ----------
        x : (n,) float, grams

        Returns
        -------
        tuple of int
        """
        low, high = self.inner
        return tuple(place for place, value in enumerate(x) if not low <= value <= high)

    def beyond_outer(self, x: Iterable[float]) -> tuple[int, ...]:
        """Return the places, from 0, of weights outside the outer fences.

        Parameters
        ----------
        x : (n,) float, grams

        Returns
        -------
        tuple of int
        """
        low, high = self.outer
        return tuple(place for place, value in enumerate(x) if not low <= value <= high)


def fences(x: Iterable[float]) -> Fences:
    """Return the fences of a sample.

    Parameters
    ----------
    x : (n,) float, grams
        At least four.

    Returns
    -------
    Fences

    Raises
    ------
    NotEnoughDataError
        If there are fewer than four weights.
    SpecificationError
        If a weight is not a finite number.
    """
    points = checked(x, what="Fences", need=4).points
    return fences_from(percentile(points, share=0.25), percentile(points, share=0.75))


def fences_from(first_quartile: float, third_quartile: float) -> Fences:
    """Return the fences about two quartiles.

    Parameters
    ----------
    first_quartile, third_quartile : float, grams

    Returns
    -------
    Fences

    Raises
    ------
    SpecificationError
        If the quartiles are reversed or not finite.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 7.1.6 (Tukey).

    Examples
    --------
    >>> fences_from(429.75, 742.25).inner
    (-39.0, 1211.0)
    """
    if not (is_number(first_quartile, third_quartile) and first_quartile <= third_quartile):
        raise SpecificationError("The first quartile is not above the third; both are finite.")
    width = third_quartile - first_quartile
    inner = first_quartile - 1.5 * width, third_quartile + 1.5 * width
    return Fences(inner, (first_quartile - 3 * width, third_quartile + 3 * width))

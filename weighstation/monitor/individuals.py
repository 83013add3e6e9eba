"""The individuals chart: single weights against limits from their moving range."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.signals import Signal, beyond_limits

if TYPE_CHECKING:
    from collections.abc import Iterable

D2_OF_TWO = 2 / math.sqrt(math.pi)
"""Mean range of two standard normal values: E|a - b| = 2 / sqrt(pi), about 1.128."""


@dataclass(frozen=True, slots=True)
class Individuals:
    """An individuals chart and its moving ranges, in the unit of its points.

    Parameters
    ----------
    centre : float, grams
        Mean of the points.
    lower, upper : float, grams
        Control limits, ``centre`` minus and plus three ``sigma``.
    sigma : float, grams
        Spread from one point to the next: mean moving range over d2.
    points : (n,) tuple of float, grams
    moving_range : (n - 1,) tuple of float, grams
        Absolute differences of neighbours.
    signals : tuple of Signal
        Points beyond the limits.
    """

    centre: float
    lower: float
    upper: float
    sigma: float
    points: tuple[float, ...]
    moving_range: tuple[float, ...]
    signals: tuple[Signal, ...]


def individuals(x: Iterable[float]) -> Individuals:
    """Return the individuals chart of a run of weights, in the order they were cut.

    Parameters
    ----------
    x : (n,) float, grams
        At least two.

    Returns
    -------
    Individuals

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two weights.
    SpecificationError
        If a weight is not a finite number.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 6.3.2.2:
    limits are mean +/- 3 * (mean moving range) / d2, here with the exact d2 of two.

    Examples
    --------
    >>> chart = individuals([740.0, 742.0, 741.0, 745.0])
    >>> chart.centre, round(chart.sigma, 3)
    (742.0, 2.068)
    """
    points = tuple(float(value) for value in x)
    if len(points) < 2:
        raise NotEnoughDataError(
            "An individuals chart needs at least 2 weights.", have=len(points), need=2
        )
    if not all(map(math.isfinite, points)):
        raise SpecificationError("An individuals chart takes finite numbers only.")
    moving_range = tuple(abs(b - a) for a, b in pairwise(points))
    centre = _mean(points)
    sigma = _mean(moving_range) / D2_OF_TWO
    lower, upper = centre - 3 * sigma, centre + 3 * sigma
    signals = beyond_limits(points, lower=lower, upper=upper)
    return Individuals(centre, lower, upper, sigma, points, moving_range, signals)


def _mean(values: tuple[float, ...]) -> float:
    """Return the mean, exact where all values are equal, so that no equal run signals."""
    return values[0] + math.fsum(value - values[0] for value in values) / len(values)

"""The individuals chart: single weights against limits from their moving range."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.monitor.charts.signals import Signal, beyond_limits
from weighstation.monitor.weights import floats, kept, steady_mean

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.monitor.weights import Floats

D2_OF_TWO = 2 / math.sqrt(math.pi)
"""Mean range of two standard normal values: E|a - b| = 2 / sqrt(pi), about 1.128."""
D4_OF_TWO = 1 + 3 * math.sqrt(math.pi / 2 - 1)
"""Upper limit of a range of two over its mean: 1 + 3 d3 / d2, with d3^2 = 2 - 4 / pi."""


@dataclass(frozen=True, slots=True, eq=False)
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
    points : (n,) array of float, grams
    moving_range : (n - 1,) array of float, grams
        Absolute differences of neighbours.
    signals : tuple of Signal
        Points beyond the limits.
    """

    centre: float
    lower: float
    upper: float
    sigma: float
    points: Floats
    moving_range: Floats
    signals: tuple[Signal, ...]

    @property
    def range_centre(self) -> float:
        """Mean moving range, in grams."""
        return self.sigma * D2_OF_TWO

    @property
    def range_upper(self) -> float:
        """Upper control limit of the moving ranges, in grams; the lower one is 0."""
        return self.range_centre * D4_OF_TWO


def individuals(
    x: Iterable[float], *, numbers: Sequence[int] | None = None, noun: str = "piece"
) -> Individuals:
    """Return the individuals chart of a run of weights, in the order they were cut.

    Parameters
    ----------
    x : (n,) float, grams
        At least two.
    numbers : (n,) sequence of int or None
        What the points are called in the sentences; None counts them from 1.
    noun : str
        What one of them is.

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
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    points = floats(x, what="An individuals chart", least=2)
    moving_range = np.abs(np.diff(points))
    centre = steady_mean(points)
    sigma = float(moving_range.mean()) / D2_OF_TWO
    lower, upper = centre - 3 * sigma, centre + 3 * sigma
    signals = beyond_limits(points, lower=lower, upper=upper, numbers=numbers, noun=noun)
    return Individuals(centre, lower, upper, sigma, kept(points), kept(moving_range), signals)

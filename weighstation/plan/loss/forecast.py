"""What a law of loss foretells: a weight, where the mean lies, and where a single loaf does."""

from __future__ import annotations

import math
from dataclasses import dataclass

Interval = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Forecast:
    """A weight that a law of loss gives, and how sure it is.

    Parameters
    ----------
    at_g : float, grams
        What the law says.
    mean_g : (low, high) tuple of float, grams
        Asked for a baked weight: where the mean of many such loaves lies. Asked for a scaling
        weight: from where to where the mean may be what was asked for.
    single_g : (low, high) tuple of float, grams
        The same for one loaf: where the next one will lie, or from what it may have come.
    """

    at_g: float
    mean_g: Interval
    single_g: Interval


def inverse_interval(
    off_g: float, *, slope: float, slope_half: float, level_half_g: float
) -> Interval:
    """Return how far from the centre of a line the places lie that a height agrees with.

    Parameters
    ----------
    off_g : float, grams
        The height above that of the line at its centre.
    slope : float
    slope_half : float
        Half the width of the slope's interval.
    level_half_g : float, grams
        Half the width of the interval at the centre.

    Returns
    -------
    (low, high) tuple of float, grams
        Both infinite where the slope might be zero.

    Notes
    -----
    All z with ``(off - slope z)^2 <= level_half^2 + slope_half^2 z^2``, which is Fieller's
    quadratic: E. C. Fieller, Journal of the Royal Statistical Society B 16 (1954) 175 (seen in
    secondary copies); for a line, D. C. Montgomery, E. A. Peck and G. G. Vining, Introduction to
    Linear Regression Analysis, section 15.3, calibration (seen in part).
    """
    certain = slope * slope - slope_half * slope_half
    if certain <= 0:
        return -math.inf, math.inf
    wide = math.hypot(off_g * slope_half, math.sqrt(certain) * level_half_g)
    return (off_g * slope - wide) / certain, (off_g * slope + wide) / certain

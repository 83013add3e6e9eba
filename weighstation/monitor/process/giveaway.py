"""What a mean and a spread give away and fall short of, piece for piece, by the normal law."""

from __future__ import annotations

import math

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import normal_cdf, normal_density

CERTAIN = 40.0
"""So many standard deviations off, no double is left of the other side's share."""


def unit_normal_loss(u: float) -> float:
    """Return the mean of what a standard normal value exceeds ``u`` by.

    Parameters
    ----------
    u : float

    Returns
    -------
    float

    Notes
    -----
    ``L(u) = phi(u) - u Phi(-u)``, the partial expectation of textbooks of stock-keeping (from
    memory, recomputed).

    Examples
    --------
    >>> round(unit_normal_loss(0.5), 6)
    0.197797
    """
    return normal_density(u) - u * normal_cdf(-u)


def expected_over_g(mean_g: float, *, sd_g: float, target_g: float) -> float:
    """Return the mean overweight of a piece; light ones count as none.

    Parameters
    ----------
    mean_g : float, grams
    sd_g : float, grams
        Not negative.
    target_g : float, grams

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If the standard deviation is negative, or a number is not finite.

    Notes
    -----
    ``s L((target - mean) / s)``. What is given away in overs is more than the mean says: over
    less under is mean less target, and a light piece does not pay a heavy one back.

    Examples
    --------
    >>> round(expected_over_g(405, sd_g=5, target_g=400), 6)
    5.416577
    """
    return _part(target_g - mean_g, sd_g)


def expected_under_g(mean_g: float, *, sd_g: float, target_g: float) -> float:
    """Return the mean shortfall of a piece; heavy ones count as none.

    Parameters
    ----------
    mean_g : float, grams
    sd_g : float, grams
        Not negative.
    target_g : float, grams

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If the standard deviation is negative, or a number is not finite.

    Examples
    --------
    >>> round(expected_under_g(405, sd_g=5, target_g=400), 6)
    0.416577
    """
    return _part(mean_g - target_g, sd_g)


def _part(distance: float, sd: float) -> float:
    if not math.isfinite(distance) or not 0 <= sd < math.inf:
        raise SpecificationError(
            "Give a finite mean and target, and a standard deviation that is not negative."
        )
    if abs(distance) >= CERTAIN * sd:
        return max(0.0, -distance)
    return sd * unit_normal_loss(distance / sd)

"""What a mean and a spread give away and fall short of, piece for piece, by the normal law."""

from __future__ import annotations

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import normal_cdf, normal_density
from weighstation.monitor.given import checked_number
from weighstation.quantities import is_number

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

    Raises
    ------
    SpecificationError
        If it is not a finite number.

    Notes
    -----
    ``L(u) = phi(u) - u Phi(-u)``, the partial expectation of textbooks of stock-keeping (from
    memory, recomputed).

    Examples
    --------
    >>> round(unit_normal_loss(0.5), 6)
    0.197797
    """
    checked_number(u)
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
    return _part(mean_g, sd_g, target_g, side=1)


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
    return _part(mean_g, sd_g, target_g, side=-1)


def _part(mean: float, sd: float, target: float, *, side: int) -> float:
    if not (is_number(mean, sd, target) and sd >= 0):
        raise SpecificationError(
            "Give a finite mean and target, and a standard deviation that is not negative."
        )
    distance = side * (target - mean)
    if abs(distance) >= CERTAIN * sd:
        return max(0.0, -distance)
    return sd * unit_normal_loss(distance / sd)

"""Tolerance intervals: where a stated share of all pieces lies, with a stated confidence."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import (
    chi_square_quantile,
    chi_square_sf,
    normal_cdf,
    normal_density,
    normal_quantile,
)
from weighstation.monitor.given import checked_confidence
from weighstation.monitor.process.noncentral import noncentral_t_quantile
from weighstation.monitor.roots import root
from weighstation.monitor.sample import checked_size, spread

if TYPE_CHECKING:
    from collections.abc import Iterable

STEP = 0.125
REACH = 9.0
"""Step and end of the sum over the mean's own error, in its standard deviations."""


class Side(Enum):
    """Which ends an interval has."""

    BOTH = "between"
    LOWER = "above"
    UPPER = "below"


@dataclass(frozen=True, slots=True)
class ToleranceInterval:
    """An interval that holds a share of all pieces with a confidence, if these are normal.

    Parameters
    ----------
    lower, upper : float or None, grams
        None on an open side.
    factor : float
        How many standard deviations from the mean.
    share, confidence : float
    n : int
        From how many weights.
    """

    lower: float | None
    upper: float | None
    factor: float
    share: float
    confidence: float
    n: int

    @property
    def text(self) -> str:
        """One plain sentence."""
        if self.lower is None:
            where = f"below {self.upper:.1f} g"
        elif self.upper is None:
            where = f"above {self.lower:.1f} g"
        else:
            where = f"between {self.lower:.1f} and {self.upper:.1f} g"
        return (
            f"With {100 * self.confidence:g} % confidence at least {100 * self.share:g} %"
            f" of the pieces lie {where}, if they follow the normal law."
        )


def tolerance_interval(
    x: Iterable[float], *, share: float, confidence: float = 0.95, side: Side = Side.BOTH
) -> ToleranceInterval:
    """Return the exact normal tolerance interval of a sample.

    Parameters
    ----------
    x : (n,) float, grams
        At least two, not all equal.
    share : float
        Of all pieces, between 0 and 1.
    confidence : float
        Between 0 and 1.
    side : Side

    Returns
    -------
    ToleranceInterval

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two weights.
    SpecificationError
        If a weight is not a finite number, all are equal, or a share is none.
    """
    sample = spread(x, what="A tolerance interval")
    exact = two_sided_factor if side is Side.BOTH else one_sided_factor
    factor = exact(sample.n, share=share, confidence=confidence)
    reach = factor * sample.sd_g
    lower = None if side is Side.UPPER else sample.mean_g - reach
    upper = None if side is Side.LOWER else sample.mean_g + reach
    return ToleranceInterval(lower, upper, factor, share, confidence, sample.n)


def two_sided_factor(n: int, *, share: float, confidence: float) -> float:
    """Return the exact factor k of the interval mean +/- k s.

    Parameters
    ----------
    n : int
        At least 2.
    share, confidence : float
        Between 0 and 1.

    Returns
    -------
    float

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If a share is not between 0 and 1.

    Notes
    -----
    The defining integral: with the mean off by z / sqrt(n), the interval holds the share when
    ``k s >= r(z)``, where ``Phi(z / sqrt(n) + r) - Phi(z / sqrt(n) - r) = share``; the mean of
    ``P(chi-square >= (n - 1) r^2 / k^2)`` over z is the confidence. Summed by the trapezoidal
    rule, which is as good as exact for such a bell.

    Examples
    --------
    >>> round(two_sided_factor(43, share=0.9, confidence=0.99), 5)
    2.22283
    """
    _check(n, share, confidence)
    places = [step * STEP for step in range(round(REACH / STEP) + 1)]
    weights = [2 * STEP * normal_density(z) for z in places]
    weights[0] /= 2
    squares = [(n - 1) * _half_width(z / math.sqrt(n), share) ** 2 for z in places]

    def apart(log_k: float) -> float:
        k2 = math.exp(2 * log_k)
        held = (
            weight * chi_square_sf(square / k2, df=n - 1)
            for weight, square in zip(weights, squares, strict=True)
        )
        return math.fsum(held) - confidence

    return math.exp(root(apart, math.log(howe_factor(n, share=share, confidence=confidence))))


def howe_factor(n: int, *, share: float, confidence: float) -> float:
    """Return Howe's approximate factor k of the interval mean +/- k s.

    Parameters
    ----------
    n : int
        At least 2.
    share, confidence : float
        Between 0 and 1.

    Returns
    -------
    float

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If a share is not between 0 and 1.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 7.2.6.3:
    ``k = z((1 + share) / 2) sqrt((n - 1)(1 + 1 / n) / chi-square(1 - confidence; n - 1))``.
    """
    _check(n, share, confidence)
    chi = chi_square_quantile(1 - confidence, df=n - 1)
    return normal_quantile((1 + share) / 2) * math.sqrt((n - 1) * (1 + 1 / n) / chi)


def one_sided_factor(n: int, *, share: float, confidence: float) -> float:
    """Return the exact factor k of the one-sided bound mean + k s or mean - k s.

    Parameters
    ----------
    n : int
        At least 2.
    share, confidence : float
        Between 0 and 1.

    Returns
    -------
    float

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If a share is not between 0 and 1.

    Notes
    -----
    NIST/SEMATECH e-Handbook, section 7.2.6.3: the quantile of noncentral t with n - 1 degrees of
    freedom and shift ``z(share) sqrt(n)``, over sqrt(n).

    Examples
    --------
    >>> round(one_sided_factor(43, share=0.9, confidence=0.99), 5)
    1.87395
    """
    _check(n, share, confidence)
    shift = normal_quantile(share) * math.sqrt(n)
    return noncentral_t_quantile(confidence, df=n - 1, shift=shift) / math.sqrt(n)


def _half_width(off: float, share: float) -> float:
    """Return r for which a standard normal value is within ``off`` +/- r with this chance."""

    def apart(log_r: float) -> float:
        r = math.exp(log_r)
        return normal_cdf(off + r) - normal_cdf(off - r) - share

    return math.exp(root(apart, math.log(normal_quantile((1 + share) / 2) + abs(off)), step=0.1))


def _check(n: int, share: float, confidence: float) -> None:
    checked_size(n, what="A tolerance interval")
    checked_confidence(share)
    checked_confidence(confidence)

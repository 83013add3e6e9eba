"""How sure a mean and a spread are, and what they say against a stated value."""

from __future__ import annotations

import math
from dataclasses import dataclass

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import (
    chi_square_cdf,
    chi_square_quantile,
    chi_square_sf,
    t_cdf,
    t_quantile,
)
from weighstation.monitor.given import checked_confidence
from weighstation.monitor.sample import check_summary
from weighstation.quantities import in_words, is_number

Interval = tuple[float, float]
"""Low and high end."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """A statistic, its degrees of freedom, and how rarely chance gives one so far out.

    Parameters
    ----------
    statistic : float
    df : int
    p : float
        Two-sided.
    """

    statistic: float
    df: int
    p: float


def mean_interval(mean_g: float, *, sd_g: float, n: int, confidence: float = 0.95) -> Interval:
    """Return the interval in which the true mean lies with a confidence.

    Parameters
    ----------
    mean_g : float, grams
    sd_g : float, grams
        With n - 1.
    n : int
        At least 2.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    (low, high) tuple of float, grams

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If mean or standard deviation are none, or the confidence is none.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 1.3.5.2:
    ``mean +/- t s / sqrt(n)``. For independent weights; where neighbours hang together it is too
    narrow.
    """
    check_summary(mean_g, sd_g, n, what="An interval of the mean")
    checked_confidence(confidence)
    half = t_quantile((1 + confidence) / 2, df=n - 1) * sd_g / math.sqrt(n)
    return mean_g - half, mean_g + half


def sd_interval(sd_g: float, *, n: int, confidence: float = 0.95) -> Interval:
    """Return the interval in which the true standard deviation lies with a confidence.

    Parameters
    ----------
    sd_g : float, grams
        With n - 1.
    n : int
        At least 2.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    (low, high) tuple of float, grams

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If the standard deviation or the confidence are none.

    Notes
    -----
    NIST/SEMATECH e-Handbook, section 7.2.3.1 (from memory): ``s sqrt((n - 1) / chi-square)``.
    It leans on the normal law, and more pieces do not cure that.
    """
    check_summary(0.0, sd_g, n, what="An interval of the spread")
    checked_confidence(confidence)
    tail = (1 - confidence) / 2
    small, great = (chi_square_quantile(p, df=n - 1) for p in (tail, 1 - tail))
    return sd_g * math.sqrt((n - 1) / great), sd_g * math.sqrt((n - 1) / small)


def mean_test(mean_g: float, *, sd_g: float, n: int, target_g: float) -> Comparison:
    """Return Student's test of a mean against a target.

    Parameters
    ----------
    mean_g : float, grams
    sd_g : float, grams
        With n - 1.
    n : int
        At least 2.
    target_g : float, grams

    Returns
    -------
    Comparison

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If mean, target or standard deviation are none.

    Notes
    -----
    NIST/SEMATECH e-Handbook, section 7.2.2.1.
    """
    check_summary(mean_g, sd_g, n, what="A test of the mean")
    if not is_number(target_g):
        raise SpecificationError(
            f"A test of the mean needs a finite mean and a finite target, not {in_words(target_g)}."
        )
    t = (mean_g - target_g) / (sd_g / math.sqrt(n))
    return Comparison(t, n - 1, 2 * t_cdf(-abs(t), df=n - 1))


def sd_test(sd_g: float, *, n: int, stated_g: float) -> Comparison:
    """Return the chi-square test of a standard deviation against a stated one.

    Parameters
    ----------
    sd_g : float, grams
        With n - 1.
    n : int
        At least 2.
    stated_g : float, grams
        Positive.

    Returns
    -------
    Comparison

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If one of the two is not positive.

    Notes
    -----
    NIST/SEMATECH e-Handbook, section 1.3.5.8: ``(n - 1) s^2 / stated^2``.
    """
    check_summary(0.0, sd_g, n, what="A test of the spread")
    if not (is_number(stated_g) and stated_g > 0):
        raise SpecificationError(
            f"State a positive standard deviation, not {in_words(stated_g)} g."
        )
    chi = (n - 1) * (sd_g / stated_g) ** 2
    p = 2 * min(chi_square_cdf(chi, df=n - 1), chi_square_sf(chi, df=n - 1))
    return Comparison(chi, n - 1, min(1.0, p))

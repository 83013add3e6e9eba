"""The noncentral t distribution: what one-sided tolerance factors are made of."""

from __future__ import annotations

import math

from weighstation.monitor.distributions import normal_cdf, normal_quantile, t_quantile
from weighstation.monitor.given import checked_df, checked_number, checked_share
from weighstation.monitor.incomplete import stirling_error
from weighstation.monitor.roots import root

SMALLEST = 1e-18
"""What is left of the integrand, beside its greatest value, where the sum may stop."""

FURTHEST = 40.0
"""Spreads of ln w away from 1, where the sum stops if nothing was found on the way."""


def noncentral_t_cdf(t: float, *, df: float, shift: float) -> float:
    """Return the chance that (Z + shift) / sqrt(chi-square / df) is at most ``t``.

    Parameters
    ----------
    t : float
    df : float
        Degrees of freedom, positive.
    shift : float
        The noncentrality.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``df`` is not a positive number, or another one is not finite.

    Notes
    -----
    The definition, as an integral over w = sqrt(chi-square / df): the mean of
    ``Phi(t w - shift)``. With w = e^u it is a smooth bell that dies away on both sides, for
    which the trapezoidal rule is as good as exact.
    """
    checked_df(df)
    checked_number(t - shift)
    if t < 0:
        return 1 - _mean_below(-t, df, -shift)
    return _mean_below(t, df, shift)


def noncentral_t_quantile(p: float, *, df: float, shift: float) -> float:
    """Return the value of noncentral t below which lies the share ``p``.

    Parameters
    ----------
    p : float
        Between 0 and 1.
    df : float
        Degrees of freedom, positive.
    shift : float
        The noncentrality.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``p`` is not between 0 and 1, or ``df`` not a positive number.
    """
    checked_share(p)
    checked_df(df)
    start = shift + (t_quantile(p, df=df) if df > 1 else normal_quantile(p))
    return root(lambda t: noncentral_t_cdf(t, df=df, shift=shift) - p, start)


def _mean_below(t: float, df: float, shift: float) -> float:
    """Return the mean of Phi(t w - shift) over w, by the trapezoidal rule in u = ln w."""
    spread = 1 / math.sqrt(2 * df)
    # Phi bends within 1 / (1 + |shift|) of ln w, however great t is
    step = min(spread, 1 / (abs(shift) + 1)) / 4
    half = df / 2
    # ln of 2 (df/2)^(df/2) e^(-df/2) / Gamma(df/2), by Stirling's formula and its error
    front = math.log(2 * half / math.pi) / 2 - stirling_error(half)

    def part(place: int) -> float:
        u = place * step
        w = math.exp(u)
        return math.exp(front - half * (math.expm1(2 * u) - 2 * u)) * normal_cdf(t * w - shift)

    parts = [part(0)]
    for side in (1, -1):
        place, largest = side, parts[0]
        while True:
            found = part(place)
            parts.append(found)
            largest = max(largest, found)
            away = abs(place) * step / spread
            if (found < SMALLEST * largest and away > 1) or (found == 0 and away > FURTHEST):
                break
            place += side
    return math.fsum(parts) * step

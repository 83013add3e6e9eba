"""The normal, Student, chi-square and binomial distributions in the standard library alone.

How near they come to a reference library is measured in the tests, on a thousand random inputs
each.
"""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.given import checked_df, checked_number, checked_share
from weighstation.monitor.incomplete import beta_tails, gamma_tails
from weighstation.monitor.roots import root
from weighstation.quantities import in_words, is_count, is_number

if TYPE_CHECKING:
    from collections.abc import Callable

NORMAL = NormalDist()

LOG_MOST = 340.0
"""Logarithm of the greatest number that is looked at; its square is a number still."""


def normal_density(z: float) -> float:
    """Return the density of the standard normal distribution.

    Parameters
    ----------
    z : float

    Returns
    -------
    float
    """
    return math.exp(-z * z / 2) / math.sqrt(2 * math.pi)


def normal_cdf(z: float) -> float:
    """Return the chance that a standard normal value is at most ``z``; right in both tails.

    Parameters
    ----------
    z : float

    Returns
    -------
    float

    Examples
    --------
    >>> round(normal_cdf(-3.0), 10)
    0.001349898
    """
    return math.erfc(-z / math.sqrt(2)) / 2


def normal_quantile(p: float) -> float:
    """Return the standard normal value below which lies the share ``p``.

    Parameters
    ----------
    p : float
        Between 0 and 1.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``p`` is not between 0 and 1.

    Notes
    -----
    Of the standard library: Wichura's AS 241, Applied Statistics 37 (1988) 477.
    """
    checked_share(p)
    return NORMAL.inv_cdf(p)


def t_cdf(t: float, *, df: float) -> float:
    """Return the chance that Student's t is at most ``t``.

    Parameters
    ----------
    t : float
    df : float
        Degrees of freedom, positive.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``df`` is not a positive number, or the other one is none.

    Notes
    -----
    ``I_x(df / 2, 1 / 2) / 2`` with ``x = df / (df + t^2)`` in the tail.
    """
    _checked_place(t, df)
    outside, _ = _t_masses(t, df)
    return outside / 2 if t < 0 else 1 - outside / 2


def t_quantile(p: float, *, df: float) -> float:
    """Return the value of Student's t below which lies the share ``p``.

    Parameters
    ----------
    p : float
        Between 0 and 1.
    df : float
        Degrees of freedom, positive.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``p`` is not between 0 and 1, or ``df`` not a positive number.

    Notes
    -----
    The root of the share. With more degrees of freedom the last digits go: it is right to 3e-12
    at a million of them, and to 6e-10 at a hundred million.

    Examples
    --------
    >>> round(t_quantile(0.975, df=9), 3)
    2.262
    """
    checked_share(p)
    checked_df(df)
    if p == 0.5:
        return 0.0
    tail = min(p, 1 - p)
    if tail < 0.25:
        size = _positive_root(lambda t: _t_masses(t, df)[0], 2 * tail)
    else:
        size = _positive_root(lambda t: _t_masses(t, df)[1], 2 * abs(p - 0.5))
    return math.copysign(size, p - 0.5)


def _t_masses(t: float, df: float) -> tuple[float, float]:
    """Return the chance of a larger and of a smaller |t|."""
    if math.isinf(t):
        return 0.0, 1.0
    square = t * t
    return beta_tails(df / 2, 0.5, x=df / (df + square), rest=square / (df + square))


def chi_square_cdf(x: float, *, df: float) -> float:
    """Return the chance that chi-square is at most ``x``.

    Parameters
    ----------
    x : float
    df : float
        Degrees of freedom, positive.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``df`` is not a positive number, or the other one is none.
    """
    _checked_place(x, df)
    return gamma_tails(df / 2, x / 2)[0]


def chi_square_sf(x: float, *, df: float) -> float:
    """Return the chance that chi-square is above ``x``; right where that is small.

    Parameters
    ----------
    x : float
    df : float
        Degrees of freedom, positive.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``df`` is not a positive number, or the other one is none.
    """
    _checked_place(x, df)
    return gamma_tails(df / 2, x / 2)[1]


def chi_square_quantile(p: float, *, df: float) -> float:
    """Return the value of chi-square below which lies the share ``p``.

    Parameters
    ----------
    p : float
        Between 0 and 1.
    df : float
        Degrees of freedom, positive.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``p`` is not between 0 and 1, or ``df`` not a positive number.

    Examples
    --------
    >>> round(chi_square_quantile(0.975, df=99), 3)
    128.422
    """
    checked_share(p)
    checked_df(df)
    if p <= 0.5:
        return _positive_root(lambda x: chi_square_cdf(x, df=df), p, start=df)
    return _positive_root(lambda x: chi_square_sf(x, df=df), 1 - p, start=df)


def f_sf(x: float, *, df: float, df_below: float) -> float:
    """Return the chance that a ratio of two variances is above ``x``.

    Parameters
    ----------
    x : float
        Not negative.
    df, df_below : float
        Degrees of freedom above and below the line, positive.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If a number of degrees of freedom is not positive, or ``x`` negative or none.
    """
    checked_df(df)
    checked_df(df_below)
    checked_number(x)
    if x < 0:
        raise SpecificationError(f"A ratio of variances is not negative, not {in_words(x)}.")
    whole = df_below + df * x
    return beta_tails(df_below / 2, df / 2, x=df_below / whole, rest=df * x / whole)[0]


def binomial_cdf(k: int, *, n: int, p: float) -> float:
    """Return the chance of at most ``k`` hits in ``n``.

    Parameters
    ----------
    k : int
    n : int
        Not negative.
    p : float
        Chance of one hit, from 0 to 1.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``n`` is negative, or ``p`` not from 0 to 1.

    Examples
    --------
    >>> round(binomial_cdf(3, n=50, p=0.025), 4)
    0.9638
    """
    return _binomial_tails(k, n, p)[0]


def binomial_sf(k: int, *, n: int, p: float) -> float:
    """Return the chance of more than ``k`` hits in ``n``; right where that is small.

    Parameters
    ----------
    k : int
    n : int
        Not negative.
    p : float
        Chance of one hit, from 0 to 1.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If ``n`` is negative, or ``p`` not from 0 to 1.
    """
    return _binomial_tails(k, n, p)[1]


def _binomial_tails(k: int, n: int, p: float) -> tuple[float, float]:
    if not (is_count(n) and is_number(k, p) and 0 <= p <= 1):
        raise SpecificationError("Give a count that is not negative and a chance from 0 to 1.")
    if k < 0 or k >= n:
        return (0.0, 1.0) if k < 0 else (1.0, 0.0)
    return beta_tails(n - k, k + 1, x=1 - p, rest=p)


def _checked_place(x: float, df: float) -> None:
    """Refuse degrees of freedom that are none, and a place that is neither finite nor an end."""
    checked_df(df)
    if x not in (-math.inf, math.inf):
        checked_number(x)


def _positive_root(mass: Callable[[float], float], wanted: float, *, start: float = 1.0) -> float:
    """Return the positive place where a rising or falling mass is as wanted."""

    def apart(log_x: float) -> float:
        found = mass(math.exp(max(-LOG_MOST, min(LOG_MOST, log_x))))
        return math.log(found / wanted) if found > 0 else -math.inf

    return math.exp(root(apart, math.log(start)))

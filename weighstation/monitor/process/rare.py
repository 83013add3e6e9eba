"""How sure a total is that few rare things make up."""

from __future__ import annotations

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import chi_square_quantile
from weighstation.monitor.given import checked_confidence
from weighstation.quantities import is_number

Interval = tuple[float, float]
"""Low and high end."""

_LEAST_DF = 0.02
"""With fewer degrees of freedom the low end is below 10^-150 of the total."""


def rare_total_interval(
    total: float, *, variance: float, next_one: float, confidence: float = 0.95
) -> Interval:
    """Return the interval in which the expected total of things lies that happen now and then.

    Parameters
    ----------
    total : float
        What those that were seen add up to; none of them is negative.
    variance : float
        Of that total: if they come one by one, the sum of their squares.
    next_one : float
        What one that was not seen may come to, above 0; variance over total is taken where that is
        more, as of things that come together.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    (low, high) tuple of float

    Raises
    ------
    SpecificationError
        If total or variance is negative, or one of them alone is 0, or ``next_one`` is not above 0.

    Notes
    -----
    The gamma interval of a weighted sum of Poisson counts: with v the variance and w the next one,
    low end ``v / 2y`` times the lower quantile of chi-square with ``2 y^2 / v`` degrees of freedom,
    high end ``(v + w^2) / 2(y + w)`` times the upper one with ``2 (y + w)^2 / (v + w^2)`` (Fay and
    Feuer, Statistics in Medicine 16 (1997) 791, from memory). Of things all alike it is the exact
    interval of a Poisson mean (Garwood, Biometrika 28 (1936) 437, from memory), and of many the
    usual one of total and standard error. Cautious where none comes to more than ``next_one``.

    Examples
    --------
    >>> [round(end, 3) for end in rare_total_interval(3, variance=3, next_one=1)]
    [0.619, 8.767]
    >>> [round(end, 3) for end in rare_total_interval(0, variance=0, next_one=20)]
    [0.0, 73.778]
    """
    checked_confidence(confidence)
    _check(total, variance, next_one)
    tail = (1 - confidence) / 2
    if total:
        next_one = max(next_one, variance / total)
    low = _gamma(tail, total, variance) if total else 0.0
    return low, _gamma(1 - tail, total + next_one, variance + next_one**2)


def _gamma(p: float, mean: float, variance: float) -> float:
    """Return a quantile of the gamma law with this mean and variance."""
    df = 2 * mean**2 / variance
    if p < 0.5 and df < _LEAST_DF:
        return 0.0
    return variance / (2 * mean) * chi_square_quantile(p, df=df)


def _check(total: float, variance: float, next_one: float) -> None:
    if not (is_number(total, variance, next_one) and min(total, variance) >= 0 < next_one):
        raise SpecificationError(
            "Give a total and a variance that are not negative, and a next one above 0."
        )
    if (total > 0) != (variance > 0):
        raise SpecificationError("What adds up to something has a variance, and nothing has none.")

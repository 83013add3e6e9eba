"""Drift: how the weight of a piece moves while the dough grows older."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import normal_quantile, t_quantile
from weighstation.monitor.given import checked_confidence
from weighstation.monitor.sample import Sample, checked
from weighstation.monitor.weights import plain_floats
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.monitor.process.intervals import Interval

FEWEST = 3
"""Two points lie on a line whatever they are."""


@dataclass(frozen=True, slots=True)
class Drift:
    """A straight line through weights against the age of the dough.

    Parameters
    ----------
    n : int
    target_g : float, grams
        The scaling weight that percents refer to.
    slope_g_per_min : float, grams per minute
    interval_g_per_min : (low, high) tuple of float, grams per minute
        Holds the true slope with ``confidence``, if what is left over is independent and normal.
    cautious_g_per_min : (low, high) tuple of float, grams per minute
        The same interval for as many independent pieces as these are worth.
    residual_sd_g : float, grams
        Spread about the line, with n - 2.
    r1 : float
        Lag-1 autocorrelation of what is left over, in the order of the ages.
    confidence : float
    """

    n: int
    target_g: float
    slope_g_per_min: float
    interval_g_per_min: Interval
    cautious_g_per_min: Interval
    residual_sd_g: float
    r1: float
    confidence: float

    @property
    def pct_per_10_min(self) -> float:
        """The slope in percent of the scaling weight in ten minutes."""
        return self._percent(self.slope_g_per_min)

    @property
    def interval_pct_per_10_min(self) -> Interval:
        """The cautious interval in percent of the scaling weight in ten minutes."""
        low, high = self.cautious_g_per_min
        return self._percent(low), self._percent(high)

    @property
    def is_certain(self) -> bool:
        """Whether the cautious interval leaves no doubt that the weight moves."""
        low, high = self.cautious_g_per_min
        return low > 0 or high < 0

    @property
    def is_autocorrelated(self) -> bool:
        """Whether what is left over hangs together more than chance explains."""
        return abs(self.r1) > normal_quantile(0.975) / math.sqrt(self.n)

    @property
    def text(self) -> str:
        """One plain sentence, and a caveat where neighbours hang together."""
        low, high = self.interval_pct_per_10_min
        between = f"{100 * self.confidence:g} % interval {low:+.2f} to {high:+.2f} %"
        if self.is_certain:
            way = "heavier" if self.slope_g_per_min > 0 else "lighter"
            line = f"Pieces grow {way} by {abs(self.pct_per_10_min):.2f} % in 10 minutes"
        else:
            line = "Nothing shows that the weight moves with the age of the dough"
            between += " in 10 minutes"
        caveat = (
            " Neighbouring pieces hang together, so a plain interval would be too narrow;"
            " this one is widened for it."
        )
        return f"{line} ({between})." + (caveat if self.is_autocorrelated else "")

    def _percent(self, slope: float) -> float:
        return 1000 * slope / self.target_g


def drift(
    x: Iterable[float],
    *,
    age_min: Iterable[float],
    target_g: float,
    confidence: float = 0.95,
) -> Drift:
    """Return the slope of first cuts against the age of the dough.

    Parameters
    ----------
    x : (n,) float, grams
        First cuts, at least three; kept pieces have been sorted by the band and hide a drift.
    age_min : (n,) float, minutes
        Age of the dough at each of them, not all equal.
    target_g : float, grams
        Scaling weight, positive.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Drift

    Raises
    ------
    NotEnoughDataError
        If there are fewer than three weights.
    SpecificationError
        If a number is not finite, there are not as many ages as weights, all ages are equal, or
        the scaling weight is not positive.

    Notes
    -----
    Ordinary least squares, NIST/SEMATECH e-Handbook of Statistical Methods,
    doi:10.18434/M32189, section 4.1.4.1 (from memory), with
    ``t s / sqrt(sum (age - mean age)^2)`` on both sides.

    Its interval takes what is left over as independent. Where each piece hangs together with
    the one before (r1 > 0), the variance of a slope along time is greater by about
    ``F = (1 + r) / (1 - r)``, as that of a mean is (a large-sample result for a first-order
    autoregression, from memory), so that n pieces are worth n / F. The cautious interval has this
    factor and ``t`` of n / F - 2 degrees of freedom. Its r is r1 with what the fit of a line took
    from it on average, ``(2 + 4 r1) / n`` (as Tjoestheim and Paulsen, Biometrika 70 (1983) 389,
    from memory); where it is not positive, the interval is the plain one. An approximation, which
    the tests measure; n / F is never taken for less than 3.
    """
    checked_confidence(confidence)
    if not (is_number(target_g) and target_g > 0):
        raise SpecificationError(
            f"A drift needs a positive scaling weight, not {in_words(target_g)} g."
        )
    ages, weights = _in_order(age_min, x)
    apart = [age - ages.mean_g for age in ages.points]
    squares = math.fsum(a * a for a in apart)
    rises = (a * (w - weights.mean_g) for a, w in zip(apart, weights.points, strict=True))
    slope = math.fsum(rises) / squares
    left = [w - weights.mean_g - slope * a for a, w in zip(apart, weights.points, strict=True)]
    over = math.fsum(e * e for e in left)
    sd = math.sqrt(over / (weights.n - 2))
    r1 = math.fsum(a * b for a, b in pairwise(left)) / over if over > 0 else 0.0
    error, p = sd / math.sqrt(squares), (1 + confidence) / 2
    half = t_quantile(p, df=weights.n - 2) * error
    factor = _variance_factor(r1, weights.n)
    wide = t_quantile(p, df=weights.n / factor - 2) * error * math.sqrt(factor)
    return Drift(
        n=weights.n,
        target_g=target_g,
        slope_g_per_min=slope,
        interval_g_per_min=(slope - half, slope + half),
        cautious_g_per_min=(slope - wide, slope + wide),
        residual_sd_g=sd,
        r1=r1,
        confidence=confidence,
    )


def _variance_factor(r1: float, n: int) -> float:
    """Return how many times greater the variance of a slope is than with independent pieces."""
    r = r1 + (2 + 4 * r1) / n
    factor = (1 + r) / (1 - r) if r < 1 else math.inf
    return min(max(1.0, factor), n / FEWEST)


def _in_order(age_min: Iterable[float], x: Iterable[float]) -> tuple[Sample, Sample]:
    """Return ages and weights, checked, both in the order of the ages."""
    weights = plain_floats(x, what="A drift", least=FEWEST)
    ages = plain_floats(age_min, what="The age of the dough", least=0)
    if len(ages) != len(weights):
        raise SpecificationError(
            f"A drift needs an age for every weight, and there are {len(ages)} for {len(weights)}."
        )
    places = sorted(range(len(ages)), key=ages.__getitem__)
    old = checked([ages[place] for place in places], what="The age of the dough")
    if not old.sd_g:
        raise SpecificationError("A drift needs pieces of more than one age of the dough.")
    return old, checked([weights[place] for place in places], what="A drift")

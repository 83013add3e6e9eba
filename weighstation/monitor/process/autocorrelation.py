"""Does a weight depend on the one before it: the lag-1 autocorrelation."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import normal_quantile
from weighstation.monitor.given import checked_confidence
from weighstation.monitor.sample import spread

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Autocorrelation:
    """The lag-1 autocorrelation of a run, and what chance alone would give.

    Parameters
    ----------
    r1 : float
    limit : float
        Independent weights stay within plus and minus this with the chance ``confidence``.
    confidence : float
    n : int
    """

    r1: float
    limit: float
    confidence: float
    n: int

    @property
    def is_plausibly_zero(self) -> bool:
        """Whether independent weights might well give this."""
        return abs(self.r1) <= self.limit

    @property
    def moving_range_share(self) -> float:
        """What a moving range sees of the whole spread: sqrt(1 - r1)."""
        return math.sqrt(1 - self.r1)

    @property
    def text(self) -> str:
        """What it means for a chart with limits from the moving range."""
        numbers = f"Each weight hangs together with the one before it (r1 = {self.r1:.2f})"
        width = f"about {self.moving_range_share:.2f} times as wide as the spread asks for"
        if self.is_plausibly_zero:
            return f"The weights look independent of each other (r1 = {self.r1:.2f})."
        if self.r1 > 0:
            return (
                f"{numbers}: limits from the moving range are too narrow, {width},"
                " and will signal without cause."
            )
        return (
            f"{numbers}, heavy after light: limits from the moving range are too wide, {width};"
            " somebody may be correcting piece by piece."
        )


def autocorrelation(x: Iterable[float], *, confidence: float = 0.95) -> Autocorrelation:
    """Return the lag-1 autocorrelation of a run of weights.

    Parameters
    ----------
    x : (n,) float, grams
        In the order they were cut; at least three, not all equal.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Autocorrelation

    Raises
    ------
    NotEnoughDataError
        If there are fewer than three weights.
    SpecificationError
        If a weight is not a finite number, all are equal, or the confidence is none.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, sections 1.3.3.1 and
    1.3.5.12 (from memory): ``r1 = sum (y_i - m)(y_i+1 - m) / sum (y_i - m)^2``, limits
    ``+/- z / sqrt(n)``. A stationary normal run with autocorrelation r has a mean moving range of
    ``d2 sigma sqrt(1 - r)``: the moving range does not see what neighbours have in common.

    Examples
    --------
    >>> autocorrelation([10000001.0, 10000003.0, 10000002.0]).r1
    -0.5
    """
    checked_confidence(confidence)
    sample = spread(x, what="An autocorrelation", need=3)
    apart = [value - sample.mean_g for value in sample.points]
    products = math.fsum(a * b for a, b in pairwise(apart))
    r1 = products / math.fsum(a * a for a in apart)
    limit = normal_quantile((1 + confidence) / 2) / math.sqrt(sample.n)
    return Autocorrelation(r1, limit, confidence, sample.n)

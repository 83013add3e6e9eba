"""A part of a variance, its interval, and what is left when it is taken away."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import chi_square_quantile
from weighstation.monitor.given import checked_share

if TYPE_CHECKING:
    from weighstation.monitor.moments import Moments
    from weighstation.plan.loss.forecast import Interval


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a variance, as it was estimated: a negative one is shown as such.

    Parameters
    ----------
    var_g2 : float, grams squared
    interval_g2 : (low, high) tuple of float, grams squared
        Holds the true variance with the confidence that was asked for; never below 0.
    """

    var_g2: float
    interval_g2: Interval

    @classmethod
    def of(cls, var_g2: float, *, df: int, confidence: float) -> Part:
        """Return a variance of normal weights with its interval.

        Parameters
        ----------
        var_g2 : float, grams squared
        df : int
            Its degrees of freedom.
        confidence : float
            Between 0 and 1.

        Returns
        -------
        Part

        Raises
        ------
        SpecificationError
            If the confidence or the degrees of freedom are none.

        Notes
        -----
        ``df s^2 / chi-square`` at both tails, NIST/SEMATECH e-Handbook, 7.2.3.1 (from memory).
        """
        checked_share(confidence)
        tail = (1 - confidence) / 2
        small, great = (chi_square_quantile(p, df=df) for p in (tail, 1 - tail))
        return cls(var_g2, (var_g2 * df / great, var_g2 * df / small))

    @classmethod
    def of_sample(cls, sample: Moments, *, confidence: float) -> Part:
        """Return the variance of a sample with its interval.

        Parameters
        ----------
        sample : Moments, grams
            Of at least two weights.
        confidence : float
            Between 0 and 1.

        Returns
        -------
        Part

        Raises
        ------
        NotEnoughDataError
            If there are fewer than two weights.
        SpecificationError
            If the confidence is none.
        """
        return cls.of(sample.variance, df=sample.n - 1, confidence=confidence)

    @property
    def sd_g(self) -> float | None:
        """The part as a standard deviation in grams; None where the variance is negative."""
        return math.sqrt(self.var_g2) if self.var_g2 >= 0 else None

    @property
    def sd_interval_g(self) -> Interval:
        """The interval as standard deviations, in grams."""
        low, high = self.interval_g2
        return math.sqrt(low), math.sqrt(high)

    def times(self, share: float) -> Part:
        """Return the part of weights that are all smaller or greater by a share.

        Parameters
        ----------
        share : float

        Returns
        -------
        Part
        """
        square = share * share
        low, high = self.interval_g2
        return Part(square * self.var_g2, (square * low, square * high))

    def less(self, part: Part) -> Part:
        """Return what is left of a variance when an independent part is taken away.

        Parameters
        ----------
        part : Part

        Returns
        -------
        Part
            Negative where the part came out greater; its interval is cut off at 0.

        Notes
        -----
        The distances to the limits of both, squared and added: G. Y. Zou and A. Donner, Statistics
        in Medicine 27 (2008) 1693 (seen in secondary copies).
        """
        low, high = self.interval_g2
        part_low, part_high = part.interval_g2
        left = self.var_g2 - part.var_g2
        down = math.hypot(self.var_g2 - low, part_high - part.var_g2)
        up = math.hypot(high - self.var_g2, part.var_g2 - part_low)
        return Part(left, (max(0.0, left - down), max(0.0, left + up)))

"""Count, mean and spread in one pass, of parts that can be put together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.quantities import is_number

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Moments:
    """What is known of some weights without the weights.

    Parameters
    ----------
    n : int
        How many.
    mean_of : float, grams
        Their mean; 0 where there are none.
    m2 : float, grams squared
        Sum of squared differences from the mean.

    Notes
    -----
    One at a time as Welford, Technometrics 4 (1962) 419; put together as Chan, Golub and LeVeque,
    The American Statistician 37 (1983) 242 (both from memory). Nothing is squared that was not
    taken from the mean before, so that a large mean costs no digits of the spread.
    """

    n: int = 0
    mean_of: float = 0.0
    m2: float = 0.0

    @classmethod
    def of(cls, x: Iterable[float]) -> Moments:
        """Return the moments of some weights.

        Parameters
        ----------
        x : (n,) iterable of float, grams

        Returns
        -------
        Moments

        Raises
        ------
        SpecificationError
            If a weight is not a finite number.

        Examples
        --------
        >>> some = Moments.of([740.0, 742.0]) + Moments.of([741.0])
        >>> some.n, some.mean, some.sd
        (3, 741.0, 1.0)
        """
        n, mean, m2 = 0, 0.0, 0.0
        try:
            for each in map(float, x):
                n += 1
                off = each - mean
                mean += off / n
                m2 += off * (each - mean)
        except (TypeError, ValueError, OverflowError) as exc:
            raise SpecificationError("Moments take one row of numbers.") from exc
        if not (math.isfinite(mean) and math.isfinite(m2)):
            raise SpecificationError("Moments take finite numbers only.")
        return cls(n, mean, m2)

    def plus(self, x: float) -> Moments:
        """Return the moments with one weight more.

        Parameters
        ----------
        x : float, grams

        Returns
        -------
        Moments

        Raises
        ------
        SpecificationError
            If it is not a finite number.
        """
        if not is_number(x):
            raise SpecificationError("Moments take finite numbers only.")
        n = self.n + 1
        off = x - self.mean_of
        mean = self.mean_of + off / n
        return Moments(n, mean, self.m2 + off * (x - mean))

    def __add__(self, other: Moments) -> Moments:
        """Return the moments of both parts together."""
        if not self.n or not other.n:
            return self if self.n else other
        n = self.n + other.n
        off = other.mean_of - self.mean_of
        mean = self.mean_of + off * other.n / n
        return Moments(n, mean, self.m2 + other.m2 + off * off * self.n * other.n / n)

    @property
    def mean(self) -> float:
        """Mean, in grams.

        Raises
        ------
        NotEnoughDataError
            If there is nothing.
        """
        if not self.n:
            raise NotEnoughDataError("A mean needs at least 1 weight.", have=0, need=1)
        return self.mean_of

    @property
    def variance(self) -> float:
        """Sample variance (with n - 1), in grams squared.

        Raises
        ------
        NotEnoughDataError
            If there are fewer than two weights.
        """
        if self.n < 2:
            raise NotEnoughDataError("A spread needs at least 2 weights.", have=self.n, need=2)
        return self.m2 / (self.n - 1)

    @property
    def sd(self) -> float:
        """Sample standard deviation (with n - 1), in grams.

        Raises
        ------
        NotEnoughDataError
            If there are fewer than two weights.
        """
        return math.sqrt(self.variance)

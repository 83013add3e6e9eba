"""Weights as four integers: added, and subtracted again, without any error."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Sums:
    """A stream of weights as sums over d = net - target.

    Parameters
    ----------
    n : int
    sum_d_mg : int, milligrams
    sum_d2_mg2 : int, milligrams squared
    sum_over_mg : int, milligrams
        Sum of the positive d only.
    """

    n: int = 0
    sum_d_mg: int = 0
    sum_d2_mg2: int = 0
    sum_over_mg: int = 0

    def counted(self, d_mg: int, sign: int) -> Sums:
        """Return the sums with one weight more (``sign`` 1) or less (-1).

        Parameters
        ----------
        d_mg : int, milligrams
        sign : int

        Returns
        -------
        Sums
        """
        return Sums(
            self.n + sign,
            self.sum_d_mg + sign * d_mg,
            self.sum_d2_mg2 + sign * d_mg * d_mg,
            self.sum_over_mg + sign * max(0, d_mg),
        )

    def __bool__(self) -> bool:
        return self != Sums()

    def __add__(self, other: Sums) -> Sums:
        return Sums(
            self.n + other.n,
            self.sum_d_mg + other.sum_d_mg,
            self.sum_d2_mg2 + other.sum_d2_mg2,
            self.sum_over_mg + other.sum_over_mg,
        )

    @property
    def mean_d_mg(self) -> Fraction | None:
        """The mean of d in milligrams, exact; None of no weights."""
        return Fraction(self.sum_d_mg, self.n) if self.n else None

    @property
    def variance_mg2(self) -> Fraction | None:
        """The sample variance (n - 1) in milligrams squared, exact; None below two weights."""
        if self.n < 2:
            return None
        return Fraction(self.n * self.sum_d2_mg2 - self.sum_d_mg**2, self.n * (self.n - 1))

    @property
    def sd_mg(self) -> float | None:
        """The sample standard deviation in milligrams; None below two weights."""
        variance = self.variance_mg2
        return None if variance is None else math.sqrt(variance)


NO_WEIGHTS = Sums()

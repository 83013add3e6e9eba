"""Digits in a unit -> exact milligrams, in integers only."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_UNIT

if TYPE_CHECKING:
    from weighstation.quantities import Unit

MAX_WEIGHT_MG = 1_000_000_000
"""1,000 kg: no bench scale shows more."""


@dataclass(frozen=True, slots=True)
class Resolution:
    """The last printed place of a unit; indications are whole counts of it.

    Parameters
    ----------
    unit : Unit
    decimals : int
        Places behind the point; -1 where tens are the last place, as on a report of a USB scale.
    """

    unit: Unit
    decimals: int
    _numerator: int = field(init=False, repr=False)
    _denominator: int = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Keep the milligrams of one count as a fraction."""
        mg_per_count = MG_PER_UNIT[self.unit] / Fraction(10) ** self.decimals
        object.__setattr__(self, "_numerator", mg_per_count.numerator)
        object.__setattr__(self, "_denominator", mg_per_count.denominator)

    @property
    def mg_per_count(self) -> Fraction:
        """The milligrams of one count, exactly."""
        return Fraction(self._numerator, self._denominator)

    def mg(self, counts: int) -> int:
        """Return counts as a mass, rounded once, half to even.

        Parameters
        ----------
        counts : int

        Returns
        -------
        int, milligrams

        Examples
        --------
        >>> from weighstation.quantities import Unit
        >>> Resolution(Unit.KILOGRAM, 3).mg(651), Resolution(Unit.OUNCE, 2).mg(-100)
        (651000, -28350)
        """
        whole, rest = divmod(counts * self._numerator, self._denominator)
        if rest:
            twice = 2 * rest
            return whole + (twice > self._denominator or (twice == self._denominator and whole & 1))
        return whole


def counts_of(run: str) -> int:
    """Return the digits of a number as one whole number.

    Parameters
    ----------
    run : str
        Digits with points and commas.

    Returns
    -------
    int
    """
    return int(run.replace(".", "").replace(",", ""))

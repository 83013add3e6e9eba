"""Counts on the scale's grid -> the figures of a batch, without its pieces."""

from __future__ import annotations

import math
import operator
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.quantities import is_count

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True, slots=True)
class Tally:
    """How many pieces lie how many divisions off their scaling weight.

    Parameters
    ----------
    target_mg : int, milligrams
        The scaling weight.
    division_mg : int, milligrams
        Of the scale.
    counts : dict of int to int
        Divisions off the scaling weight, and how many pieces; none below one.

    Raises
    ------
    SpecificationError
        If the division is not above 0, or a count is below one.

    Notes
    -----
    Every figure is exact where each piece lies whole divisions off the scaling weight, because it
    is worked out in integers; else it is that of the pieces as they were rounded into their cells.
    """

    target_mg: int
    division_mg: int
    counts: Mapping[int, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse what is no grid or no count."""
        _check_grid(self.target_mg, self.division_mg)
        if any(count < 1 for count in self.counts.values()):
            raise SpecificationError("A cell of a tally counts at least one piece.")

    @classmethod
    def of(cls, net_mg: Iterable[int], *, target_mg: int, division_mg: int) -> Tally:
        """Return the tally of some pieces.

        Parameters
        ----------
        net_mg : (n,) iterable of int, milligrams
        target_mg, division_mg : int, milligrams

        Returns
        -------
        Tally

        Raises
        ------
        SpecificationError
            If the division is not above 0, or a weight is not a whole number.

        Examples
        --------
        >>> tally = Tally.of([740_000, 743_000, 741_000], target_mg=740_000, division_mg=1000)
        >>> tally.n, str(tally.mean_mg), tally.sd_mg
        (3, '2224000/3', 1527.5252316519468)
        """
        _check_grid(target_mg, division_mg)
        counts: dict[int, int] = {}
        try:
            for each_mg, count in Counter(net_mg).items():
                step = round(Fraction(operator.index(each_mg) - target_mg, division_mg))
                counts[step] = counts.get(step, 0) + count
        except TypeError as exc:
            raise SpecificationError("A tally takes whole milligrams.") from exc
        return cls(target_mg, division_mg, counts)

    def __add__(self, other: Tally) -> Tally:
        """Return the tally of both; they must have one grid.

        Raises
        ------
        SpecificationError
            If scaling weight or division differ.
        """
        if (self.target_mg, self.division_mg) != (other.target_mg, other.division_mg):
            raise SpecificationError(
                "Tallies of another scaling weight or division cannot be added up."
            )
        counts = dict(self.counts)
        for step, count in other.counts.items():
            counts[step] = counts.get(step, 0) + count
        return Tally(self.target_mg, self.division_mg, counts)

    @property
    def n(self) -> int:
        """How many pieces."""
        return sum(self.counts.values())

    @property
    def giveaway_mg(self) -> int:
        """Sum of what each lies above the scaling weight, those below taken off; milligrams."""
        return self.division_mg * sum(step * count for step, count in self.counts.items())

    @property
    def over_sum_mg(self) -> int:
        """Sum of the overs alone, in milligrams."""
        return self.division_mg * sum(max(step, 0) * count for step, count in self.counts.items())

    @property
    def mean_mg(self) -> Fraction:
        """Mean, in milligrams, exactly.

        Raises
        ------
        NotEnoughDataError
            If there is no piece.
        """
        self._need(1)
        return self.target_mg + Fraction(self.giveaway_mg, self.n)

    @property
    def variance_mg2(self) -> Fraction:
        """Sample variance (with n - 1), in milligrams squared, exactly.

        Raises
        ------
        NotEnoughDataError
            If there are fewer than two pieces.
        """
        self._need(2)
        n = self.n
        first = sum(step * count for step, count in self.counts.items())
        second = sum(step * step * count for step, count in self.counts.items())
        return Fraction(n * second - first * first, n * (n - 1)) * self.division_mg**2

    @property
    def sd_mg(self) -> float:
        """Sample standard deviation (with n - 1), in milligrams.

        Raises
        ------
        NotEnoughDataError
            If there are fewer than two pieces.
        """
        return math.sqrt(self.variance_mg2)

    def below(self, limit_mg: int) -> int:
        """Return how many pieces lie below a limit.

        Parameters
        ----------
        limit_mg : int, milligrams

        Returns
        -------
        int
        """
        return sum(n for step, n in self.counts.items() if self._net_mg(step) < limit_mg)

    def above(self, limit_mg: int) -> int:
        """Return how many pieces lie above a limit.

        Parameters
        ----------
        limit_mg : int, milligrams

        Returns
        -------
        int
        """
        return sum(n for step, n in self.counts.items() if self._net_mg(step) > limit_mg)

    def _net_mg(self, step: int) -> int:
        return self.target_mg + step * self.division_mg

    def _need(self, least: int) -> None:
        if self.n < least:
            pieces = "1 piece" if least == 1 else f"{least} pieces"
            raise NotEnoughDataError(f"This takes at least {pieces}.", have=self.n, need=least)


def _check_grid(target_mg: int, division_mg: int) -> None:
    if not (is_count(target_mg) and is_count(division_mg, least=1)):
        raise SpecificationError("A tally takes whole milligrams, and its division is above 0.")

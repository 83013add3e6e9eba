"""Whole numbers of pieces that leave the least of a dough: an exact search, in integers.

The pieces of one kind may weigh from ``low`` to ``high``. Numbers n leave nothing if the dough lies
between the sum of n low and the sum of n high; what they leave else is the dough less the sum of
n high, and the sum of n low must not be more than the dough.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction

MOST_VISITS = 300_000
"""About a second: after so many the search stops, and says that it did."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Pieces of one kind.

    Parameters
    ----------
    low, high : int
        Lightest and heaviest that a piece may be, in any unit that all kinds share; low positive.
    most : int
        How many there may be.
    """

    low: int
    high: int
    most: int


@dataclass(frozen=True, slots=True)
class Found:
    """What a search came to.

    Parameters
    ----------
    numbers : (n,) tuple of int, or None
        Pieces of each kind; None where none leave little enough.
    left : int
        What they leave, in the unit of the kinds.
    is_proven : bool
        The search went to its end; if not, there may be better numbers.
    """

    numbers: tuple[int, ...] | None
    left: int
    is_proven: bool


def least_left(kinds: tuple[Kind, ...], *, light: int, heavy: int, below: int) -> Found:
    """Return the numbers of pieces that leave the least, and less than ``below``.

    Parameters
    ----------
    kinds : (n,) tuple of Kind
    light : int
        So much may go into these pieces at their lightest; none fit if it is negative.
    heavy : int
        So much must go into them at their heaviest for nothing to be left; 0 or less needs none.
    below : int
        Numbers that leave as much or more are of no use.

    Returns
    -------
    Found
        Of numbers that leave the same, those with the fewest of the first kind, then of the second,
        and so on.

    Notes
    -----
    Depth first in that order, so that the first to leave nothing is the one. The number of the last
    kind follows by division. A branch is left when as much was to be filled there before, or when
    not even broken pieces of the kind that stretches most would leave less; what can be filled is
    first rounded down to a multiple of what divides all kinds that are left. Held against brute
    force in the tests.
    """
    search = _Search(kinds, below)
    if light >= 0:
        search.visit(0, light, max(0, heavy))
    return Found(search.numbers, search.left, search.is_proven)


@dataclass(slots=True)
class _Search:
    kinds: tuple[Kind, ...]
    left: int
    numbers: tuple[int, ...] | None = None
    chosen: list[int] = field(init=False)
    seen: set[tuple[int, int, int]] = field(init=False, default_factory=set)
    best_kind: list[Kind] = field(init=False)
    grain: list[int] = field(init=False)
    reach: list[int] = field(init=False)
    visits: int = 0

    def __post_init__(self) -> None:
        """Note of the kinds from each place on: the one that stretches most, and all of them."""
        self.chosen = [0] * len(self.kinds)
        behind = [self.kinds[place:] for place in range(len(self.kinds))]
        self.best_kind = [max(some, key=_stretch) for some in behind]
        self.grain = [math.gcd(*(kind.low for kind in some)) for some in behind]
        self.reach = [sum(kind.most * kind.high for kind in some) for some in behind]

    @property
    def is_proven(self) -> bool:
        return self.visits < MOST_VISITS

    def visit(self, place: int, light: int, heavy: int) -> None:
        self.visits += 1
        if heavy == 0 or place == len(self.kinds):
            self._take(place, heavy)
        elif place == len(self.kinds) - 1:
            self._finish(place, light, heavy)
        elif not self._is_vain(place, light, heavy):
            self.seen.add((place, light, heavy))
            kind = self.kinds[place]
            for number in range(min(kind.most, light // kind.low) + 1):
                self.chosen[place] = number
                self.visit(place + 1, light - number * kind.low, max(0, heavy - number * kind.high))
                if self.left == 0 or not self.is_proven:
                    break
            self.chosen[place] = 0

    def _finish(self, place: int, light: int, heavy: int) -> None:
        kind = self.kinds[place]
        number = min(-(-heavy // kind.high), kind.most, light // kind.low)
        self.chosen[place] = number
        self._take(place + 1, max(0, heavy - number * kind.high))
        self.chosen[place] = 0

    def _take(self, place: int, left: int) -> None:
        if left < self.left:
            self.left = left
            self.numbers = (*self.chosen[:place], *[0] * (len(self.kinds) - place))

    def _is_vain(self, place: int, light: int, heavy: int) -> bool:
        best = self.best_kind[place]
        more = heavy - self.left  # to go into pieces before anything is won
        return (
            more >= self.reach[place]
            or more * best.low >= (light - light % self.grain[place]) * best.high
            or (place, light, heavy) in self.seen
        )


def _stretch(kind: Kind) -> Fraction:
    return Fraction(kind.high, kind.low)

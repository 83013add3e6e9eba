"""Indicated values -> the scale interval d they are multiples of."""

from __future__ import annotations

from math import gcd

ENOUGH_VALUES = 12
MOST_VALUES = 1536  # kept at most, however often they contradict one another


def step_below(counts: int) -> int:
    """Return the largest of 1, 2, 5, 10, 20, 50, ... that divides ``counts``.

    Scale intervals are 1, 2 or 5 times a power of ten: OIML R 76-1:2006, 4.2.2.1 (from memory).
    """
    power = 1
    while counts % (power * 10) == 0:
        power *= 10
    return next(power * first for first in (5, 2, 1) if counts % (power * first) == 0)


class DivisionLearner:
    """Learns how many units of the last printed place make one scale interval.

    It starts at one, goes coarser once ``ENOUGH_VALUES`` different values agree, and finer at
    once when a value contradicts it; after each contradiction it asks for twice as many values, up
    to ``MOST_VALUES``.
    """

    __slots__ = ("_needed", "_values", "learning", "step")

    def __init__(self) -> None:
        self.step = 1
        self.learning = True
        self._needed = ENOUGH_VALUES
        self._values: set[int] = set()

    def see(self, counts: int) -> bool:
        """Take one value in; return True when ``step`` has changed.

        Parameters
        ----------
        counts : int
            The value in units of the last printed place.

        Returns
        -------
        bool
        """
        if counts % self.step:
            self.step = step_below(gcd(self.step, counts))
            self._needed = min(2 * self._needed, MOST_VALUES)
            self._values = {counts}
            self.learning = True
            return True
        if not self.learning or not counts:
            return False
        self._values.add(abs(counts))
        if len(self._values) < self._needed:
            return False
        before, self.step = self.step, step_below(gcd(*self._values))
        self.learning = False
        self._values.clear()
        return before != self.step

"""The one detector that watches first cuts at the bench.

A CUSUM of first cuts against the scaling weight, tuned so that a dough of 48 pieces that is cut
well rings falsely at most once in ten, even where each cut takes after the one before it (lag-1
autocorrelation 0.3). ``tests/benchmarks/bench_detector.py`` measures it beside the zone rules.
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.charts.online import OnlineCusum, OnlineEwma
from weighstation.monitor.given import positive
from weighstation.monitor.moments import Moments
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable

ALLOWANCE_K = 0.375
LIMIT_H = 9.3
"""Both in spreads of first cuts. Of the pairs that ring falsely in no more than a tenth of doughs
at lag-1 0.3, allowances from a quarter to five eighths find a step of one spread equally soon, and
smaller ones find it in more doughs."""
LEARNING = 12
"""Pieces that a spread is learned from where the product has no history."""
_WHOLE_FROM_G, _LEAST_G = 3.0, 0.001
RECENT = 0.2
"""Weight of the newest cut in the level that the reaction speaks of."""


@dataclass(frozen=True, slots=True)
class BenchSignal:
    """What the person who divides should look at now.

    Parameters
    ----------
    first, last : int
        Numbers of the first and last piece that it rests on.
    mean_error_g : float, grams
        How far off the scaling weight these were first cut, on average; sign kept.
    now_g : float, grams
        How far off the last of them were; above 0.
    """

    first: int
    last: int
    mean_error_g: float
    now_g: float

    @property
    def pieces(self) -> str:
        """Which pieces, with a verb in the past."""
        if self.first == self.last:
            return f"Piece {self.last} was"
        return f"Pieces {self.first} to {self.last} were"

    @property
    def error(self) -> str:
        """How far off they were cut, in words."""
        heavy = "heavy" if self.mean_error_g > 0 else "light"
        return f"{_grams_text(abs(self.mean_error_g))} too {heavy}"

    @property
    def change(self) -> str:
        """What the next cuts should be."""
        return "smaller" if self.mean_error_g > 0 else "larger"

    @property
    def text(self) -> str:
        """What was seen, in one plain sentence."""
        return f"{self.pieces} first cut {self.error} on average, by more than chance."

    @property
    def reaction(self) -> str:
        """What to do, in one plain sentence."""
        return (
            f"Cut about {_grams_text(self.now_g)} {self.change} from now on, and leave single"
            " pieces alone."
        )


def _grams_text(size_g: float) -> str:
    """Return a size in grams: whole from 3 g on, and with a digit or two of it below."""
    places = max(0, math.ceil(math.log10(_WHOLE_FROM_G / max(size_g, _LEAST_G))))
    return f"{size_g:.{places}f} g"


def cautious_sd(sd: float, *, n: int) -> float:
    """Return a spread widened by its own standard error.

    Parameters
    ----------
    sd : float, grams, or any other unit
        Sample standard deviation within doughs.
    n : int
        Of how many cuts; at least 1.

    Returns
    -------
    float, in the same unit

    Notes
    -----
    One standard error of the standard deviation of normal values is near sd / sqrt(2 n) (textbook).
    Without it 22 % of good doughs ring at lag-1 0.3 where the spread is learned from their own
    first dozen, and 11 % where from two doughs before; with it 9.6 % and 6.8 %.

    Examples
    --------
    >>> cautious_sd(8.0, n=32)
    9.0
    """
    return sd * (1 + 1 / math.sqrt(2 * n))


class BenchDetector:
    """Takes first cuts in and says when they have moved off the scaling weight.

    Parameters
    ----------
    target_g : float, grams
        Where first cuts are meant to land: the scaling weight, or a little above it where a hand
        cuts heavy on purpose so that one trim finishes. It is never learned from the dough, so
        that a dough which starts off its mark is told too.
    sigma_g : float, grams, or None
        Spread of single first cuts within a dough, from this product's history (`cautious_sd`
        widens it); None learns it from the first dozen pieces, and watches from then on, those
        included.
    least_sigma_g : float, grams
        No spread is taken for smaller: what the scale cannot resolve is no calm.

    Raises
    ------
    SpecificationError
        If a weight is not above 0, or the least spread below 0.
    """

    def __init__(
        self, target_g: float, *, sigma_g: float | None = None, least_sigma_g: float = 0.0
    ) -> None:
        self._target_g = positive(target_g, "The scaling weight")
        if sigma_g is not None:
            positive(sigma_g, "The spread")
        if not (is_number(least_sigma_g) and least_sigma_g >= 0):
            raise SpecificationError(
                f"The least spread is from 0 up, not {in_words(least_sigma_g)}."
            )
        self._least_g = least_sigma_g
        self._moments = Moments()
        self._waiting: list[tuple[int, float]] = []
        self._numbers: deque[int] = deque()
        self._level = OnlineEwma(RECENT)
        self._sums = None if sigma_g is None else self._begun(sigma_g)

    def feed(self, number: int, first_g: float) -> BenchSignal | None:
        """Take the first cut of one piece in.

        Parameters
        ----------
        number : int
            Of the piece.
        first_g : float, grams

        Returns
        -------
        BenchSignal or None
            After a signal the watch begins anew with the next piece.

        Raises
        ------
        SpecificationError
            If the weight is not a finite number.
        """
        if not is_number(first_g):
            raise SpecificationError("A first cut is a finite number of grams.")
        if self._sums is not None:
            return self._watch(self._sums, [(number, first_g)])
        self._waiting.append((number, first_g))
        self._moments = self._moments.plus(first_g)
        if self._moments.n < LEARNING:
            return None
        learned_g = cautious_sd(self._moments.sd, n=self._moments.n)
        if not max(learned_g, self._least_g):
            return None
        self._sums = self._begun(learned_g)
        waiting, self._waiting = self._waiting, []
        return self._watch(self._sums, waiting)

    def _begun(self, sigma_g: float) -> OnlineCusum:
        sigma_g = max(sigma_g, self._least_g)
        return OnlineCusum(target=self._target_g, sigma=sigma_g, k=ALLOWANCE_K, h=LIMIT_H)

    def _watch(self, sums: OnlineCusum, cuts: Iterable[tuple[int, float]]) -> BenchSignal | None:
        signal = None
        for number, first_g in cuts:
            self._numbers.append(number)
            self._level.feed(first_g - self._target_g)
            side = sums.feed(first_g)
            if side:
                signal = self._signal(sums, side)
                sums.restart()
            self._forget_before(max(sums.high_run, sums.low_run))
        return signal

    def _forget_before(self, run: int) -> None:
        """Keep the numbers of the last pieces only: those that a sum still rests on."""
        while len(self._numbers) > run:
            self._numbers.popleft()

    def _signal(self, sums: OnlineCusum, side: int) -> BenchSignal:
        run = sums.high_run if side > 0 else sums.low_run
        first, last = self._numbers[-run], self._numbers[-1]
        error_g = sums.mean_error(side)
        now_g = max(side * self._level.value, abs(error_g) / 2)
        return BenchSignal(first, last, error_g, now_g)

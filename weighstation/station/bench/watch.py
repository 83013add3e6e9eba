"""First cuts of a batch -> the one line that says they have moved, and what to do."""

from __future__ import annotations

import math
from itertools import islice
from typing import TYPE_CHECKING

from weighstation.monitor.bench import BenchDetector, cautious_sd
from weighstation.quantities import MG_PER_G, grams

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.events import Piece
    from weighstation.journal import RunState
    from weighstation.monitor.bench import BenchSignal
    from weighstation.specification import Limits

SHOWN_PIECES = 8
"""A signal stays in sight for so many pieces more, or until the next."""
ENOUGH_CUTS = 96
"""Two doughs of 48: a spread from fewer is learned anew from the dough itself."""
MOST_RUNS = 20
"""Older runs were cut by another hand, or in another season."""


class Watch:
    """Watches the first cuts of pieces that count.

    Parameters
    ----------
    limits : Limits
    spread_mg : float, milligrams, or None
        Of this product's first cuts within a run, from earlier runs; None learns it.
    before : iterable of (int, int)
        Numbers and first cuts in milligrams of the batch's pieces that count already.
    """

    def __init__(
        self,
        limits: Limits,
        spread_mg: float | None = None,
        before: Iterable[tuple[int, int]] = (),
    ) -> None:
        self._limits = limits
        self._spread_g = None if spread_mg is None else spread_mg / MG_PER_G
        self._before = tuple(before)
        self._detector: BenchDetector | None = None
        self._signal: BenchSignal | None = None
        self._since = 0

    @property
    def line(self) -> str:
        """What was seen and what to do, in one line for the panel; empty while all is well."""
        found = self._signal
        if found is None:
            return ""
        return f"{found.pieces} cut {found.error}: cut {found.change}."

    def feed(self, piece: Piece, division_mg: int) -> BenchSignal | None:
        """Take a piece that counts.

        Parameters
        ----------
        piece : Piece
        division_mg : int, milligrams
            Of the scale; no spread is taken for smaller than it.

        Returns
        -------
        BenchSignal or None
        """
        if self._detector is None:
            self._detector = BenchDetector(
                grams(self._limits.target_mg),
                sigma_g=self._spread_g,
                least_sigma_g=grams(division_mg),
            )
            for number, first_mg in self._before:
                self._detector.feed(number, grams(first_mg))
        found = self._detector.feed(piece.number, grams(piece.first_mg))
        self._since += 1
        if found is not None:
            self._signal, self._since = found, 0
        elif self._since >= SHOWN_PIECES:
            self._signal = None
        return found


def usual_spread_mg(runs: Iterable[RunState], product: str, target_mg: int) -> float | None:
    """Return the spread of a product's first cuts within a run, or None where too few are known.

    Parameters
    ----------
    runs : iterable of RunState
        Newest first.
    product : str
    target_mg : int, milligrams

    Returns
    -------
    float, milligrams, or None

    Notes
    -----
    The pooled standard deviation of the newest runs, each about its own mean (textbook), wider by
    its standard error.
    """
    same = (run for run in runs if (run.product, run.target_mg) == (product, target_mg))
    squares, freedom, cuts = 0.0, 0, 0
    for run in islice(same, MOST_RUNS):
        sd_mg = run.first.sd_mg
        if sd_mg is not None:
            squares += sd_mg**2 * (run.first.n - 1)
            freedom += run.first.n - 1
            cuts += run.first.n
    if cuts < ENOUGH_CUTS or not squares:
        return None
    return cautious_sd(math.sqrt(squares / freedom), n=cuts)

"""Kept pieces of earlier batches -> how evenly this bench scales, and what that makes of loaves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from weighstation.plan import given
from weighstation.plan.loss.baked_spread import baked_sd_g
from weighstation.plan.loss.oven_loss import Carry, LossLaw
from weighstation.plan.loss.target import Evenness
from weighstation.plan.loss.wander import batch_wander

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.monitor.moments import Moments

ENOUGH_PIECES = 30
"""From fewer a standard deviation is not known to a quarter; house figure."""


@dataclass(frozen=True, slots=True)
class BenchSpread:
    """How evenly a bench scales a product.

    Parameters
    ----------
    batches, pieces : int
        That are on record.
    sd_g : float, grams
        Of kept pieces within a batch.
    wander_g : float, grams
        Of the means of batches beyond what single pieces explain; 0 where chance explains them.
    off_g : float, grams
        Mean of all of them less the scaling weight, sign kept; 0 where there are none.
    batch_size : int or None
        Pieces of the middle one of the batches; None where there are none.
    band_g : float, grams
        Width of the band.
    is_measured : bool
        Whether the pieces were enough; if not, they are taken to fill the band evenly.
    """

    batches: int
    pieces: int
    sd_g: float
    wander_g: float
    off_g: float
    batch_size: int | None
    band_g: float
    is_measured: bool

    @property
    def text(self) -> str:
        """Where the figures come from, in one plain sentence."""
        pieces = "1 kept piece is" if self.pieces == 1 else f"{self.pieces} kept pieces are"
        if not self.is_measured:
            return (
                f"{pieces if self.pieces else 'No kept piece is'} on record and it takes"
                f" {ENOUGH_PIECES}, so pieces are taken to fill the band of"
                f" {given.plain(self.band_g)} g evenly: a spread of {self.sd_g:.1f} g."
            )
        of = "of 1 batch" if self.batches == 1 else f"of {self.batches} batches"
        wander = (
            f"their batches wander by {self.wander_g:.1f} g beyond that"
            if self.wander_g
            else "of a wander from batch to batch nothing can be seen"
        )
        return (
            f"{self.pieces} kept pieces {of} vary by {self.sd_g:.1f} g within a batch, and"
            f" {wander}."
        )

    def evenness(
        self, *, carry: Carry, oven_sd_g: float = 0.0, batch_size: int | None = None
    ) -> Evenness:
        """Return how loaves vary that are baked of such pieces.

        Parameters
        ----------
        carry : Carry
            Grams of bread for a gram of dough; where only a ratio is known, its upper end is taken.
        oven_sd_g : float, grams
            What the oven adds to single loaves of a batch; 0 leaves it out.
        batch_size : int or None
            Loaves in a batch; None takes that of the middle one on record.

        Returns
        -------
        Evenness

        Raises
        ------
        SpecificationError
            If the oven's spread makes no sense.
        """
        per_g = carry.per_g if carry.law is LossLaw.LINE else carry.interval[1]
        return Evenness(
            sd_g=baked_sd_g(self.sd_g, carry=per_g, oven_sd_g=oven_sd_g),
            batch_size=batch_size or self.batch_size,
            batch_sd_g=per_g * self.wander_g,
        )


def bench_spread(errors: Iterable[Moments], *, band_g: float) -> BenchSpread:
    """Return how evenly a bench scales a product.

    Parameters
    ----------
    errors : iterable of Moments, grams
        Of kept pieces less their scaling weight, batch by batch; empty batches do no harm.
    band_g : float, grams
        Width of the band.

    Returns
    -------
    BenchSpread

    Raises
    ------
    SpecificationError
        If the width is negative or none.

    Notes
    -----
    Kept pieces and not first cuts, because they are what goes into the oven. Within batches pooled,
    between them as in `batch_wander`. Pieces that fill a band evenly vary by width / root(12)
    (textbook); those of a hand vary by less.

    Examples
    --------
    >>> bench_spread([], band_g=10).text
    'No kept piece is on record and it takes 30, so pieces are taken to fill the band of 10 g \
evenly: a spread of 2.9 g.'
    """
    width_g = given.number(band_g, "The width of a band")
    found = [batch for batch in errors if batch.n]
    pieces = sum(batch.n for batch in found)
    is_measured = pieces - len(found) >= ENOUGH_PIECES - 1
    return BenchSpread(
        batches=len(found),
        pieces=pieces,
        sd_g=_within_g(found) if is_measured else width_g / math.sqrt(12),
        wander_g=_wander_g(found) if is_measured else 0.0,
        off_g=math.fsum(batch.n * batch.mean for batch in found) / pieces if pieces else 0.0,
        batch_size=round(median(batch.n for batch in found)) if found else None,
        band_g=width_g,
        is_measured=is_measured,
    )


def _within_g(batches: list[Moments]) -> float:
    freedom = sum(batch.n - 1 for batch in batches)
    return math.sqrt(math.fsum(batch.m2 for batch in batches) / freedom)


def _wander_g(batches: list[Moments]) -> float:
    """Return the wander of the means; 0 of one batch, and where chance explains it."""
    if len(batches) < 2:
        return 0.0
    return batch_wander(batches).between.sd_g or 0.0

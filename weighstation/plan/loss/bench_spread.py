"""Kept pieces of earlier batches -> how evenly this bench scales, and what that makes of loaves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from weighstation.plan import given
from weighstation.plan.loss.baked_spread import baked_sd_g
from weighstation.plan.loss.batch_spread import ENOUGH, BatchSpread, batch_spread
from weighstation.plan.loss.oven_loss import Carry, LossLaw
from weighstation.plan.loss.target import Evenness

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.monitor.moments import Moments


@dataclass(frozen=True, slots=True)
class BenchSpread:
    """How evenly a bench scales a product.

    Parameters
    ----------
    batches, pieces : int
        That are on record.
    off_g : float, grams
        Mean of all of them less the scaling weight, sign kept; 0 where there are none.
    batch_size : int or None
        Pieces of the middle one of the batches; None where there are none.
    band_g : float, grams
        Width of the band.
    measured : BatchSpread or None
        None where the pieces were too few: they are taken to fill the band evenly.
    """

    batches: int
    pieces: int
    off_g: float
    batch_size: int | None
    band_g: float
    measured: BatchSpread | None

    @property
    def sd_g(self) -> float:
        """Spread of kept pieces within a batch, in grams."""
        return self.band_g / math.sqrt(12) if self.measured is None else self.measured.sd_g

    @property
    def wander_g(self) -> float:
        """Wander of the means of batches, in grams; 0 where chance explains them."""
        return 0.0 if self.measured is None else self.measured.wander_g

    @property
    def text(self) -> str:
        """Where the figures come from, in one plain sentence."""
        if self.measured is not None:
            return self.measured.text("kept pieces")
        pieces = "1 kept piece is" if self.pieces == 1 else f"{self.pieces} kept pieces are"
        return (
            f"{pieces if self.pieces else 'No kept piece is'} on record and it takes {ENOUGH}, so"
            f" pieces are taken to fill the band of {given.plain(self.band_g)} g evenly: a spread"
            f" of {self.sd_g:.1f} g."
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
    Kept pieces and not first cuts, because they are what goes into the oven. Pieces that fill a
    band evenly vary by width / root(12) (textbook); those of a hand vary by less.

    Examples
    --------
    >>> bench_spread([], band_g=10).text
    'No kept piece is on record and it takes 30, so pieces are taken to fill the band of 10 g \
evenly: a spread of 2.9 g.'
    """
    width_g = given.number(band_g, "The width of a band")
    found = [batch for batch in errors if batch.n]
    pieces = sum(batch.n for batch in found)
    return BenchSpread(
        batches=len(found),
        pieces=pieces,
        off_g=math.fsum(batch.n * batch.mean for batch in found) / pieces if pieces else 0.0,
        batch_size=round(median(batch.n for batch in found)) if found else None,
        band_g=width_g,
        measured=batch_spread(found),
    )

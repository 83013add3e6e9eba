"""Weights of some batches -> how they vary within a batch, and batches among themselves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan.loss.wander import batch_wander

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.monitor.moments import Moments

ENOUGH = 30
"""From fewer a standard deviation is not known to a quarter; house figure."""


@dataclass(frozen=True, slots=True)
class BatchSpread:
    """How weights vary.

    Parameters
    ----------
    batches, n : int
        How many batches, and how many weights.
    sd_g : float, grams
        Of single weights within a batch.
    wander_g : float, grams
        Of the means of batches beyond what single weights explain; 0 where chance explains them.
    """

    batches: int
    n: int
    sd_g: float
    wander_g: float

    def text(self, noun: str) -> str:
        """Return where the figures come from, in one plain sentence.

        Parameters
        ----------
        noun : str
            What was weighed, for several.

        Returns
        -------
        str
        """
        varied = f"vary by {self.sd_g:.1f} g (standard deviation)"
        if self.batches == 1:
            return f"{self.n} {noun} of 1 batch {varied}; one batch says nothing of the next."
        among = (
            f"from one batch to the next by {self.wander_g:.1f} g more"
            if self.wander_g
            else "from one batch to the next no more than by chance"
        )
        return f"{self.n} {noun} of {self.batches} batches {varied} within a batch, and {among}."


def batch_spread(batches: Iterable[Moments]) -> BatchSpread | None:
    """Return how weights vary, or None where there are too few of them.

    Parameters
    ----------
    batches : iterable of Moments, grams
        Empty ones do no harm.

    Returns
    -------
    BatchSpread or None

    Notes
    -----
    Within batches pooled, between them as in `batch_wander`: one-way random effects (textbook).

    Examples
    --------
    >>> from weighstation.monitor import Moments
    >>> halves = [Moments.of([799.0, 801.0] * 8), Moments.of([803.0, 805.0] * 8)]
    >>> batch_spread(halves).text("loaves")
    '32 loaves of 2 batches vary by 1.0 g (standard deviation) within a batch, and from one batch \
to the next by 2.8 g more.'
    """
    found = [batch for batch in batches if batch.n]
    n = sum(batch.n for batch in found)
    freedom = n - len(found)
    if freedom < ENOUGH - 1:
        return None
    sd_g = math.sqrt(math.fsum(batch.m2 for batch in found) / freedom)
    return BatchSpread(len(found), n, sd_g, _wander_g(found))


def _wander_g(batches: list[Moments]) -> float:
    """Return the wander of the means; 0 of one batch, and where chance explains it."""
    if len(batches) < 2:
        return 0.0
    return batch_wander(batches).between.sd_g or 0.0

"""How baked loaves vary within a batch, and batches among themselves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError
from weighstation.monitor.given import checked_share
from weighstation.plan.loss.part import Part

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.monitor.moments import Moments


@dataclass(frozen=True, slots=True)
class BatchWander:
    """How baked loaves vary within a batch, and their means from batch to batch.

    Parameters
    ----------
    batches, loaves : int
    within : Part
        Of single loaves within a batch.
    between : Part
        Of the true means of the batches.
    """

    batches: int
    loaves: int
    within: Part
    between: Part

    @property
    def text(self) -> str:
        """One plain sentence."""
        within = f"Loaves of a batch vary by {math.sqrt(self.within.var_g2):.1f} g"
        high = self.between.sd_interval_g[1]
        if self.between.sd_g is None:
            return (
                f"{within}, and their {self.batches} means no more than that alone explains;"
                f" a wander of up to {high:.1f} g may hide in it."
            )
        low = self.between.sd_interval_g[0]
        return (
            f"{within}, and batches by {self.between.sd_g:.1f} g on top of it"
            f" ({low:.1f} to {high:.1f} g)."
        )


def batch_wander(batches: Iterable[Moments], *, confidence: float = 0.95) -> BatchWander:
    """Return how loaves vary within batches, and batches among themselves.

    Parameters
    ----------
    batches : iterable of Moments, grams
        Of the baked loaves of each batch: at least two batches, and more loaves than batches.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    BatchWander

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two batches, no more loaves than batches, or a batch is empty.
    SpecificationError
        If the confidence is none.

    Notes
    -----
    One-way random effects: ``(MS between - MS within) / n0`` with
    ``n0 = (N - sum n^2 / N) / (k - 1)`` (textbook; G. W. Snedecor and W. G. Cochran, Statistical
    Methods, from memory). It may be negative, and the interval is made as in `split_of_samples`.
    """
    checked_share(confidence)
    found = tuple(batches)
    if len(found) < 2:
        raise NotEnoughDataError(
            f"A wander needs at least 2 batches, and there are {len(found)}.",
            have=len(found),
            need=2,
            hint="Weigh some baked loaves of each batch of a week.",
        )
    n, k = sum(batch.n for batch in found), len(found)
    if n - k < 1:
        raise NotEnoughDataError(
            f"A wander needs more loaves than batches, and there are {n} of {k}.",
            have=n,
            need=k + 1,
            hint="Weigh more baked loaves of each batch.",
        )
    mean = math.fsum(batch.n * batch.mean for batch in found) / n
    means = math.fsum(batch.n * (batch.mean - mean) ** 2 for batch in found) / (k - 1)
    inside = math.fsum(batch.m2 for batch in found) / (n - k)
    within = Part.of(inside, df=n - k, confidence=confidence)
    whole = Part.of(means, df=k - 1, confidence=confidence)
    loaves = (n - sum(batch.n**2 for batch in found) / n) / (k - 1)
    return BatchWander(k, n, within, whole.less(within).times(1 / math.sqrt(loaves)))

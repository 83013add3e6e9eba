"""Baked loaves of a product that are on record -> what its oven takes, and how its loaves vary."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.journal import read_baked, read_body
from weighstation.monitor import Moments
from weighstation.plan import BatchSpread, OvenLoss, batch_spread, oven_loss
from weighstation.quantities import grams
from weighstation.report.baked.batch import learned
from weighstation.station.commands.baking.baked import baked_batches, newest_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.report.baked.batch import BakedBatch
    from weighstation.specification import Product
    from weighstation.station.stores import Store

SEASON_MS = 90 * 86_400_000
"""What an oven takes holds for the weather it was learned in; house figure."""
MOST_BATCHES = 10
"""Every line since the oldest of them is read and held against the one before it: a morning that
waits for them waits a quarter of a second for ten days of four batches; house figure."""


@dataclass(frozen=True, slots=True)
class Loaves:
    """What baked loaves teach.

    Parameters
    ----------
    own : OvenLoss or None
        None where none were weighed, or too few to learn from.
    spread : BatchSpread or None
        Of loaves one hour out of the oven; None where they were too few.
    """

    own: OvenLoss | None = None
    spread: BatchSpread | None = None


def loaves_in(store: Store, product: Product, *, now_utc_ms: int) -> Loaves:
    """Return what the loaves of the newest ten batches teach, none older than ninety days.

    Parameters
    ----------
    store : Store
    product : Product
        As it is set now.
    now_utc_ms : int, milliseconds since 1970 UTC

    Returns
    -------
    Loaves

    Raises
    ------
    ChainBrokenError
        If lines do not follow from each other, or stored totals from them.
    """
    chosen = _newest(store, product, now_utc_ms - SEASON_MS)
    return taught(baked_batches(store, lambda batch, *_: batch in chosen, zone=UTC), product)


def taught(batches: Sequence[BakedBatch], product: Product) -> Loaves:
    """Return what the loaves of some batches teach.

    Parameters
    ----------
    batches : sequence of BakedBatch
    product : Product
        As whose loaves they are taken.

    Returns
    -------
    Loaves
    """
    cooling = None if product.losses is None else product.losses.of_dough.get("cooling")
    own = _own(batches, cooling)
    return Loaves(own, batch_spread(_errors(batches, product, own, cooling)))


def _newest(store: Store, product: Product, since_utc_ms: int) -> frozenset[str]:
    """Return the newest runs of the batches whose loaves were weighed last."""
    newest = newest_of(store)
    found: dict[str, None] = {}
    for entry in store.loaf_lines():
        loaf = read_baked(read_body(entry.body))
        if loaf.product == product.name and entry.t_utc_ms >= since_utc_ms:
            batch = newest.get(loaf.batch, loaf.batch)
            found.pop(batch, None)  # the last to be weighed stands last
            found[batch] = None
    return frozenset(list(found)[-MOST_BATCHES:])


def _own(batches: Sequence[BakedBatch], cooling: float | None) -> OvenLoss | None:
    found = learned(batches, cooling_loss_per_h=cooling)
    try:
        return oven_loss(found.pairs, batches=found.batches)
    except NotEnoughDataError:
        return None


def _errors(
    batches: Sequence[BakedBatch], product: Product, own: OvenLoss | None, cooling: float | None
) -> Iterator[Moments]:
    """Yield the loaves of each batch at one hour, as if all had been scaled as is set now."""
    per_g = 1.0 if own is None else own.carry.per_g
    for batch in batches:
        try:
            weights = batch.one_hour_g(cooling)
        except SpecificationError:  # nobody said when they left the oven
            continue
        moved_g = grams(batch.product.limits.target_mg - product.limits.target_mg)
        yield Moments.of(
            weight - per_g * moved_g
            for counted, weight in zip(batch.loaves, weights, strict=True)
            if counted.loaf.number not in batch.doubtful
        )

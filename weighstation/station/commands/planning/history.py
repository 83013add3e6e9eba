"""A journal -> how evenly a product was scaled here, what is lost of it, and how many are made."""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.journal import Sums
from weighstation.monitor import Moments
from weighstation.plan import BenchSpread, bench_spread
from weighstation.quantities import MG_PER_G, grams
from weighstation.report.page.tables import as_of
from weighstation.station.commands.planning.loaves import Loaves, loaves_in
from weighstation.station.commands.planning.shop import known_loss
from weighstation.station.ports import Address
from weighstation.station.stores import open_for_reading, run_chain

if TYPE_CHECKING:
    from weighstation.journal import RunState
    from weighstation.plan import BatchSpread, KnownLoss
    from weighstation.specification import Product
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.stores import Store

MOST_BATCHES = 20
"""Older batches were cut by another hand, or in another season; house figure."""
NEAR = 20
"""A batch counts if its scaling weight was within a twentieth of today's; house figure."""
WEEK_MS = 7 * 24 * 3_600_000


@dataclass(frozen=True, slots=True)
class History:
    """What was done of a product.

    Parameters
    ----------
    bench : BenchSpread
        Of kept pieces.
    loss : KnownLoss
        What is known of what its loaves lose.
    loaf_spread : BatchSpread or None
        Of baked loaves; None where too few were weighed.
    week_pieces : int
        Counted in batches that were begun in the last seven days; of all scaling weights.
    division_mg : int, milligrams
        Of the scale that weighed its newest batch; a gram where there is none.
    stand_ins : int
        How many of the batches had no scale, but a simulation or a recording in its place.
    as_of : str
        As of which line of the journal; empty where there is no journal.
    """

    bench: BenchSpread
    loss: KnownLoss
    loaf_spread: BatchSpread | None = None
    week_pieces: int = 0
    division_mg: int = MG_PER_G
    stand_ins: int = 0
    as_of: str = ""


def history_of(home: Home, product: Product, *, now_utc_ms: int) -> History:
    """Return what the journal of a home knows of a product.

    Parameters
    ----------
    home : Home
        With or without a journal.
    product : Product
    now_utc_ms : int, milliseconds since 1970 UTC

    Returns
    -------
    History

    Raises
    ------
    JournalError
        If there is a journal that cannot be read.
    """
    if not home.journal_path.exists():
        return History(spread_of((), product), known_loss(product))
    with closing(open_for_reading(home.journal_path)) as store:
        return history_in(store, product, now_utc_ms=now_utc_ms)


def history_in(store: Store, product: Product, *, now_utc_ms: int) -> History:
    """Return what a store knows of a product.

    Parameters
    ----------
    store : Store
    product : Product
    now_utc_ms : int, milliseconds since 1970 UTC

    Returns
    -------
    History

    Raises
    ------
    JournalError
        If it cannot be read.
    """
    loaves = loaves_in(store, product, now_utc_ms=now_utc_ms)
    with store.one_moment():
        return _history(store, product, loaves, now_utc_ms)


def _history(store: Store, product: Product, loaves: Loaves, now_utc_ms: int) -> History:
    head = store.head()
    runs = [run for run in store.runs() if run.product == product.name]
    newest = _newest(runs, product)
    scales = (store.started(run.run).scale for run in newest)
    return History(
        bench=spread_of(tuple(_kept(store, run) for run in newest), product),
        loss=known_loss(product, loaves.own),
        loaf_spread=loaves.spread,
        week_pieces=_week_pieces(store, runs, now_utc_ms - WEEK_MS),
        division_mg=runs[-1].division_mg if runs else MG_PER_G,
        stand_ins=sum(bool(Address.parse(scale).stand_in) for scale in scales),
        as_of=as_of(head.seq, head.digest),
    )


def spread_of(batches: tuple[Sums, ...], product: Product) -> BenchSpread:
    """Return how evenly a product was scaled.

    Parameters
    ----------
    batches : tuple of Sums
        Of the kept pieces of each.
    product : Product

    Returns
    -------
    BenchSpread
    """
    limits = product.limits
    return bench_spread(map(_moments, batches), band_g=grams(limits.under_mg + limits.over_mg))


def _moments(sums: Sums) -> Moments:
    """Return integer sums over d as moments in grams."""
    if not sums.n:
        return Moments()
    mean_mg, variance = sums.mean_d_mg or 0, sums.variance_mg2 or 0
    return Moments(sums.n, float(mean_mg) / MG_PER_G, float(variance * (sums.n - 1)) / MG_PER_G**2)


def _newest(runs: list[RunState], product: Product) -> list[RunState]:
    """Return the last runs of the newest batches that were scaled about as heavy."""
    target_mg = product.limits.target_mg
    went_on = {run.continues for run in runs}
    ended = [
        run
        for run in runs
        if run.run not in went_on and abs(run.target_mg - target_mg) * NEAR <= target_mg
    ]
    return ended[-MOST_BATCHES:]


def _kept(store: Store, run: RunState) -> Sums:
    """Return the sums of a batch, of all runs that it was weighed in."""
    return reduce(Sums.__add__, (part.kept for part in run_chain(store, run.run)), Sums())


def _week_pieces(store: Store, runs: list[RunState], since_utc_ms: int) -> int:
    pieces = 0
    for run in reversed(runs):
        if next(iter(store.entries(run.started_seq))).t_utc_ms < since_utc_ms:
            break
        pieces += run.kept.n
    return pieces

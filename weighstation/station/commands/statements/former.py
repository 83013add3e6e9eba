"""A store -> runs of the weeks before a dossier, which its weeks are held against."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.report.dossier.former import (
    MOST_WEEKS,
    FormerRun,
    first_cuts_mg,
    in_band_mg,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import tzinfo

    from weighstation.journal import RunStarted, RunState
    from weighstation.report.dossier import BatchEvidence
    from weighstation.station.commands.terminal.patience import Patience
    from weighstation.station.stores import Store


def former_runs(
    store: Store, batches: Sequence[BatchEvidence], *, zone: tzinfo, patience: Patience
) -> tuple[FormerRun, ...]:
    """Return the runs of the weeks before some batches, of the same people at the same products.

    Parameters
    ----------
    store : Store
        Held still by the caller.
    batches : (n,) sequence of BatchEvidence
    zone : tzinfo
        Whose weeks these are.
    patience : Patience
        Is told what is being done.

    Returns
    -------
    tuple of FormerRun
        Oldest first.

    Raises
    ------
    JournalError
        If the store cannot be read.
    """
    since = _monday_ms(min(batch.figures.started_utc_ms for batch in batches), zone)
    works = {_work(promise) for batch in batches for _, promise in batch.promises}
    begun = store.runs_begun(since[0], since[1])
    found = (_of(store, run, works) for run in patience.over(begun, "Reading earlier weeks"))
    return tuple(run for run in found if run is not None)


def _monday_ms(utc_ms: int, zone: tzinfo) -> tuple[int, int]:
    """Return when the week of a moment began, after when the thirteenth before it did."""
    day = datetime.fromtimestamp(utc_ms / 1000, zone)
    monday = day.replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(day.weekday())
    first = monday - timedelta(weeks=MOST_WEEKS)
    return round(first.timestamp() * 1000), round(monday.timestamp() * 1000)


def _work(promise: RunStarted) -> tuple[str, str]:
    return promise.product.name, promise.person


def _of(store: Store, state: RunState, works: Iterable[tuple[str, str]]) -> FormerRun | None:
    started = store.started(state.run)
    if _work(started) not in works or not state.division_mg:
        return None
    pieces = store.pieces(state.run)
    return FormerRun(
        product=started.product.name,
        person=started.person,
        limits=started.product.limits,
        division_mg=state.division_mg,
        began_utc_ms=state.began_utc_ms,
        kept_mg=in_band_mg(pieces),
        first_mg=first_cuts_mg(pieces),
        is_typed=state.is_imported,
    )

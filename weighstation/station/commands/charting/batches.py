"""A store -> the sums of many batches, held against the lines that they follow from."""

from __future__ import annotations

from datetime import datetime
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.journal import Sums, apply, run_of
from weighstation.station.commands.batches.sheet import altered, batch_runs, lines_from

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import date, tzinfo

    from weighstation.journal import RunState
    from weighstation.report.charts.batch_chart import BatchSums
    from weighstation.station.stores.store import Store

    Wanted = Callable[[str, date], bool]
    Runs = tuple[RunState, ...]


def batches_by_product(store: Store, wanted: Wanted, *, zone: tzinfo) -> dict[str, list[BatchSums]]:
    """Return the batches that are wanted, by product and in the order they were begun.

    Parameters
    ----------
    store : Store
        Held still by the caller.
    wanted : callable
        Whether a batch of a product that was begun on a day is meant.
    zone : tzinfo
        Whose days these are.

    Returns
    -------
    dict of str to list of BatchSums

    Raises
    ------
    ChainBrokenError
        If lines do not follow from each other, or stored totals from them.
    """
    from weighstation.report.charts.batch_chart import BatchSums  # noqa: PLC0415 - only here

    found: dict[str, list[BatchSums]] = {}
    used: list[RunState] = []
    for runs in _batches(store):
        began_utc_ms = min(run.began_utc_ms for run in runs)
        day = datetime.fromtimestamp(began_utc_ms / 1000, zone).date()
        if wanted(runs[-1].product, day):
            used += runs
            first = reduce(Sums.__add__, (each.first for each in runs), Sums())
            found.setdefault(runs[-1].product, []).append(BatchSums(began_utc_ms, first))
    _require_lines(store, used)
    return {
        product: sorted(batches, key=lambda batch: batch.started_utc_ms)
        for product, batches in found.items()
    }


def _batches(store: Store) -> Iterable[Runs]:
    """Yield the runs of each batch, oldest first."""
    states = store.runs()
    went_on = {state.continues for state in states}
    for state in states:
        if state.run not in went_on:
            runs, _ = batch_runs(store, state.run)
            yield runs


def _require_lines(store: Store, used: list[RunState]) -> None:
    """Refuse stored totals that are not what their lines add up to."""
    if not used:
        return
    remade: dict[str, RunState | None] = {state.run: None for state in used}
    for entry in lines_from(store, min(state.started_seq for state in used)):
        run = run_of(entry)
        if run in remade:
            remade[run] = apply(remade[run], entry)
    for state in used:
        if remade[state.run] != state:
            raise altered(state.run, state.started_seq)

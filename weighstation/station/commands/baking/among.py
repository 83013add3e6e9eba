"""A store -> the baked loaves of some batches, from the lines of these batches alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import (
    Doubts,
    Kind,
    checked_names,
    codec,
    is_good_check,
    read_baked,
    read_body,
    scale_name,
)
from weighstation.station.commands.baking.baked import BatchReader

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from collections.abc import Set as AbstractSet

    from weighstation.journal import Entry
    from weighstation.report.baked.batch import BakedBatch
    from weighstation.station.stores import Store


def loaves_among(store: Store, newest: Iterable[str]) -> tuple[BakedBatch, ...]:
    """Return the batches of which a loaf counts.

    Parameters
    ----------
    store : Store
    newest : iterable of str
        The newest run of each batch.

    Returns
    -------
    tuple of BakedBatch
        In the order given.

    Raises
    ------
    ChainBrokenError
        If stored totals of a batch with loaves do not follow from its lines.

    Notes
    -----
    Lines are not held against those before them, which `verify` does: that would read a journal
    from the first of the batches to its end. Of the checks of scales only those are read that bear
    on these lines: from the last good one before them to the first one after them.
    """
    readers = [BatchReader(store, name) for name in newest]
    loaves = {reader: [e for n in reader.names for e in store.loaf_lines(n)] for reader in readers}
    baked = [reader for reader in readers if loaves[reader]]
    reader_of: dict[int, BatchReader] = {}
    entries: dict[int, Entry] = {}
    for reader in baked:
        own = (*loaves[reader], *(entry for n in reader.names for entry in store.run_lines(n)))
        entries |= {entry.seq: entry for entry in own}
        reader_of |= dict.fromkeys((entry.seq for entry in own), reader)
    doubts = Doubts()
    lines = sorted(entries.values(), key=_seq)
    for entry in sorted((*lines, *checks_about(store, lines)), key=_seq):
        doubts.feed(entry)
        if entry.seq in reader_of:
            reader_of[entry.seq].feed(entry)
    for reader in baked:
        reader.settle(doubts)
    return tuple(batch for batch in (reader.batch() for reader in baked) if batch.loaves)


def _seq(entry: Entry) -> int:
    return entry.seq


def checks_about(store: Store, lines: Sequence[Entry]) -> list[Entry]:
    """Return the checks that bear on some lines, and all notes where one of them failed.

    Parameters
    ----------
    store : Store
    lines : sequence of Entry
        In order; of each run its first line is among them.

    Returns
    -------
    list of Entry
        From the last good check of each scale before the first line to the first after the last.
    """
    if not lines:
        return []
    scales = {name for name in map(_scale_of, lines) if name}
    checks = [
        *_back_to_good(store, scales, first=lines[0].seq, last=lines[-1].seq),
        *_first_after(store, scales, lines[-1].seq),
    ]
    has_failed = any(not is_good_check(read_body(check.body)) for check in checks)
    return [*checks, *store.notes()] if has_failed else checks


def _scale_of(line: Entry) -> str:
    """Return the name of the scale that a line brings in, or nothing."""
    if line.kind is Kind.RUN_STARTED:
        started = codec.read_run_started(read_body(line.body))
        return scale_name(started.scale_identity, started.scale)
    if line.kind is Kind.BAKED:
        loaf = read_baked(read_body(line.body))
        return scale_name(loaf.scale_identity, loaf.scale)
    return ""


def _back_to_good(
    store: Store, scales: AbstractSet[str], *, first: int, last: int
) -> Iterator[Entry]:
    """Yield the checks before a line, newest first, back to a good one of each scale."""
    waiting = set(scales)
    for check in store.scale_checks(before=last):
        yield check
        body = read_body(check.body)
        if check.seq < first and is_good_check(body):
            waiting -= checked_names(body)
        if check.seq < first and not waiting:
            return


def _first_after(store: Store, scales: AbstractSet[str], last: int) -> Iterator[Entry]:
    """Yield the checks after a line, oldest first, up to one of each scale."""
    waiting = set(scales)
    for check in store.scale_checks_after(last):
        yield check
        waiting -= checked_names(read_body(check.body))
        if not waiting:
            return

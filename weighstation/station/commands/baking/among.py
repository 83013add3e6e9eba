"""A store -> the baked loaves of some batches, from the lines of these batches alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import Doubts
from weighstation.station.commands.baking.baked import BatchReader

if TYPE_CHECKING:
    from collections.abc import Iterable

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
    from the first of the batches to its end.
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
    others = (*store.scale_checks(), *store.notes()) if baked else ()
    for entry in sorted((*entries.values(), *others), key=lambda entry: entry.seq):
        doubts.feed(entry)
        if entry.seq in reader_of:
            reader_of[entry.seq].feed(entry)
    for reader in baked:
        reader.settle(doubts)
    return tuple(batch for batch in (reader.batch() for reader in baked) if batch.loaves)

"""A store -> batches of which loaves were weighed, and what teaches the loss of the oven."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError
from weighstation.journal import Doubts, Kind, Loaves, codec, read_baked, read_body, run_of
from weighstation.report.baked.batch import BakedBatch
from weighstation.station.commands.batches.sheet import altered, batch_runs, lines_from
from weighstation.station.stores.remake import Remade

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import date, tzinfo

    from weighstation.journal import Entry, RunState
    from weighstation.station.stores.store import Store

    Wanted = Callable[[str, str, date], bool]
    Runs = tuple[RunState, ...]


def newest_of(store: Store) -> dict[str, str]:
    """Return the newest run of the batch that each run belongs to.

    Parameters
    ----------
    store : Store

    Returns
    -------
    dict of str to str
    """
    newest: dict[str, str] = {}
    for state in reversed(store.runs()):
        newest.setdefault(state.run, state.run)
        if state.continues:
            newest.setdefault(state.continues, newest[state.run])
    return newest


def loaves_of(store: Store, runs: Iterable[str]) -> tuple[Loaves, int]:
    """Return the loaves of a batch as they are on record, and the number of its next one.

    Parameters
    ----------
    store : Store
    runs : iterable of str
        All runs of the batch.

    Returns
    -------
    Loaves
    int
    """
    names, loaves, most = set(runs), Loaves(), 0
    for entry in store.loaf_lines():
        loaf = read_baked(read_body(entry.body))
        if loaf.batch in names:
            loaves.feed(entry)
            most = max(most, loaf.number)
    return loaves, most + 1


def baked_batches(store: Store, wanted: Wanted, *, zone: tzinfo) -> tuple[BakedBatch, ...]:
    """Return the batches that are wanted and of which a loaf counts, by when they were begun.

    Parameters
    ----------
    store : Store
    wanted : callable
        Whether a batch is meant, by its newest run, its product and the day it was begun.
    zone : tzinfo
        Whose days these are.

    Returns
    -------
    tuple of BakedBatch

    Raises
    ------
    ChainBrokenError
        If lines do not follow from each other, or stored totals from them.
    """
    with store.one_moment():
        newest = newest_of(store)
        found: dict[str, BatchReader] = {}
        for entry in store.loaf_lines():
            batch = newest.get(read_baked(read_body(entry.body)).batch)
            if batch is None:
                raise _of_nothing(entry)
            if batch not in found:
                found[batch] = BatchReader(store, batch)
        readers = [each for each in found.values() if wanted(*each.about(zone))]
        _read(store, readers)
    batches = [reader.batch() for reader in readers]
    return tuple(
        sorted((each for each in batches if each.loaves), key=lambda each: each.began_utc_ms)
    )


def _of_nothing(entry: Entry) -> ChainBrokenError:
    return ChainBrokenError(
        f"Line {entry.seq} is of a batch that is not in the journal.",
        seq=entry.seq,
        hint="'weighstation journal verify' says what is wrong.",
    )


def _read(store: Store, readers: list[BatchReader]) -> None:
    """Read the lines from the first of the batches on, each held against the one before it."""
    if not readers:
        return
    start = min(reader.start for reader in readers)
    of = {run: reader for reader in readers for run in reader.names}
    doubts = Doubts()
    for check in reversed(tuple(store.scale_checks(before=start))):
        doubts.feed(check)
    for entry in lines_from(store, start):
        doubts.feed(entry)
        baked = entry.kind is Kind.BAKED
        run = read_baked(read_body(entry.body)).batch if baked else run_of(entry)
        if run in of:
            of[run].feed(entry)
    for reader in readers:
        reader.settle(doubts)


class BatchReader:
    """Gathers what the lines say of one batch.

    Parameters
    ----------
    store : Store
    newest : str
        Its newest run.
    """

    def __init__(self, store: Store, newest: str) -> None:
        self._runs, promises = batch_runs(store, newest)
        self._promise = promises[-1]
        self._began_utc_ms = next(store.entries(self._runs[0].started_seq)).t_utc_ms
        self._remade = Remade()
        self._loaves = Loaves()
        self._raw_mg: dict[int, int] = {}
        self._doubtful: frozenset[int] = frozenset()
        self._doubtful_pieces: frozenset[int] = frozenset()

    @property
    def names(self) -> tuple[str, ...]:
        """Its runs."""
        return tuple(state.run for state in self._runs)

    @property
    def start(self) -> int:
        """Number of its first line."""
        return self._runs[0].started_seq

    def about(self, zone: tzinfo) -> tuple[str, str, date]:
        """Return its newest run, its product and the day it was begun.

        Parameters
        ----------
        zone : tzinfo

        Returns
        -------
        (str, str, date)
        """
        began = datetime.fromtimestamp(self._began_utc_ms / 1000, zone)
        return self._promise.run, self._promise.product.name, began.date()

    def feed(self, entry: Entry) -> None:
        """Take its next line.

        Parameters
        ----------
        entry : Entry
        """
        if entry.kind is Kind.BAKED:
            self._loaves.feed(entry)
            return
        self._remade.feed(entry)
        happened = codec.change(entry.kind, read_body(entry.body))
        for piece in happened.removes:
            self._raw_mg.pop(piece.number, None)
        self._raw_mg |= {piece.number: piece.final_mg for piece in happened.adds}

    def settle(self, doubts: Doubts) -> None:
        """Refuse totals that disagree with the lines, and take over what is doubtful.

        Parameters
        ----------
        doubts : Doubts

        Raises
        ------
        ChainBrokenError
            If stored totals do not follow from the lines.
        """
        for state in self._runs:
            if state != self._remade.states.get(state.run):
                raise altered(state.run, state.started_seq)
        of_pieces, of_loaves = doubts.pieces.doubtful, doubts.loaves.doubtful
        self._doubtful_pieces = frozenset(n for run, n in of_pieces if run in self.names)
        self._doubtful = frozenset(n for run, n in of_loaves if run in self.names)

    def batch(self) -> BakedBatch:
        """Return the batch as far as it was read.

        Returns
        -------
        BakedBatch
        """
        return BakedBatch(
            batch=self._promise.run,
            product=self._promise.product,
            began_utc_ms=self._began_utc_ms,
            raw_mg=self._raw_mg,
            loaves=tuple(self._loaves.counted.values()),
            struck_out=tuple((n, why) for (_, n), why in self._loaves.struck_out.items()),
            doubtful=self._doubtful,
            doubtful_pieces=self._doubtful_pieces,
        )

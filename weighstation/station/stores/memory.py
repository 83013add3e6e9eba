"""A store that holds its lines in memory: for a replay and a demo, with the same digests."""

from __future__ import annotations

from contextlib import nullcontext
from copy import deepcopy
from typing import TYPE_CHECKING

from weighstation.errors import SequenceError, WeighstationError
from weighstation.journal import Head, Kind, codec, dump_run, follow, read_body
from weighstation.station.stores.remake import Remade, remade_from, verify_against

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from contextlib import AbstractContextManager

    from weighstation.journal import (
        Entry,
        Line,
        PieceFacts,
        RunStarted,
        RunState,
        Sums,
        TallyKey,
    )


class MemoryStore:
    """Lines and totals that last as long as the process.

    Parameters
    ----------
    journal_id : str
    station : str
    """

    def __init__(self, *, journal_id: str, station: str) -> None:
        self.journal_id = journal_id
        self.station = station
        self._entries: list[Entry] = []
        self._totals = Remade()
        self._pieces: dict[str, dict[int, PieceFacts]] = {}

    def append(self, line: Line) -> Entry:
        """Write one line and its totals; see `Store`.

        Parameters
        ----------
        line : Line

        Returns
        -------
        Entry

        Raises
        ------
        SequenceError
            If the line cannot follow.
        """
        run = line.body.get("run")
        state = self._totals.states.get(run) if isinstance(run, str) else None
        pieces = self._pieces.setdefault(run, {}) if isinstance(run, str) else {}
        step = follow(self.head(), self.station, line, state, pieces.get)
        entry = step.entry
        if step.state is not None:
            self._totals.take(step.state, step.tally)
        happened = codec.change(entry.kind, line.body)
        for piece in happened.removes:
            del pieces[piece.number]
        pieces |= {piece.number: piece for piece in happened.adds}
        self._entries.append(entry)
        return entry

    def append_all(self, lines: Iterable[Line]) -> int:
        """Write lines and their totals, all of them or none; see `Store`.

        Parameters
        ----------
        lines : iterable of Line

        Returns
        -------
        int
            How many there were.

        Raises
        ------
        SequenceError
            If a line cannot follow.
        """
        entries, pieces = list(self._entries), deepcopy(self._pieces)
        try:
            return sum(1 for _ in map(self.append, lines))
        except WeighstationError:
            self._entries, self._pieces = entries, pieces
            self.rebuild()
            raise

    def head(self) -> Head:
        """Return the last line."""
        if not self._entries:
            return Head(0, self.journal_id)
        return Head(self._entries[-1].seq, self._entries[-1].digest)

    def entries(self, start: int = 1) -> Iterator[Entry]:
        """Yield the lines in order; see `Store`.

        Parameters
        ----------
        start : int

        Yields
        ------
        Entry
        """
        yield from self._entries[start - 1 :]

    def notes(self) -> Iterator[Entry]:
        """Yield the notes about earlier lines, oldest first; see `Store`.

        Yields
        ------
        Entry
        """
        yield from (e for e in self._entries if e.kind is Kind.NOTED)

    def scale_checks(self, *, before: int | None = None) -> Iterator[Entry]:
        """Yield the lines of scale checks, newest first; see `Store`.

        Parameters
        ----------
        before : int or None

        Yields
        ------
        Entry
        """
        found = self._entries if before is None else self._entries[: before - 1]
        yield from (e for e in reversed(found) if e.kind is Kind.SCALE_CHECKED)

    def scale_checks_after(self, line: int) -> Iterator[Entry]:
        """Yield the lines of scale checks after a line, oldest first; see `Store`.

        Parameters
        ----------
        line : int

        Yields
        ------
        Entry
        """
        yield from (e for e in self._entries[line:] if e.kind is Kind.SCALE_CHECKED)

    def loaf_lines(self, batch: str = "") -> Iterator[Entry]:
        """Yield the lines of baked loaves, oldest first; see `Store`.

        Parameters
        ----------
        batch : str

        Yields
        ------
        Entry
        """
        loaves = (e for e in self._entries if e.kind is Kind.BAKED)
        yield from (e for e in loaves if not batch or read_body(e.body).get("batch") == batch)

    def run_lines(self, run: str) -> Iterator[Entry]:
        """Yield all lines of a run, oldest first; see `Store`.

        Parameters
        ----------
        run : str

        Yields
        ------
        Entry
        """
        yield from (e for e in self._entries if read_body(e.body).get("run") == run)

    def run(self, run: str) -> RunState | None:
        """Return the totals of a run, or None; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        RunState or None
        """
        return self._totals.states.get(run)

    def runs(self) -> tuple[RunState, ...]:
        """Return the totals of all runs, oldest first."""
        return tuple(self._totals.states.values())

    def newest_runs(self) -> Iterator[RunState]:
        """Return the totals of all runs, newest first; see `Store`.

        Returns
        -------
        iterator of RunState
        """
        return reversed(self.runs())

    def runs_begun(self, from_utc_ms: int, before_utc_ms: int) -> tuple[RunState, ...]:
        """Return the totals of the runs that began in a span, oldest first; see `Store`.

        Parameters
        ----------
        from_utc_ms, before_utc_ms : int, milliseconds since 1970

        Returns
        -------
        tuple of RunState
        """
        runs = (run for run in self.runs() if from_utc_ms <= run.began_utc_ms < before_utc_ms)
        return tuple(sorted(runs, key=lambda run: run.began_utc_ms))

    def started(self, run: str) -> RunStarted:
        """Return what a run promised; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        RunStarted

        Raises
        ------
        SequenceError
            If there is no such run.
        """
        state = self.run(run)
        if state is None:
            raise SequenceError(f"There is no run '{run}' in the journal.")
        return codec.read_run_started(read_body(self._entries[state.started_seq - 1].body))

    def open_run(self) -> RunState | None:
        """Return the newest run without an end, or None."""
        return next((state for state in self.newest_runs() if not state.ended), None)

    def last_run(self) -> RunState | None:
        """Return the newest run, or None."""
        return next(self.newest_runs(), None)

    def pieces(self, run: str) -> tuple[PieceFacts, ...]:
        """Return the pieces of a run that count, by number; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        tuple of PieceFacts
        """
        return tuple(piece for _, piece in sorted(self._pieces.get(run, {}).items()))

    def tally(self, run: str) -> Mapping[TallyKey, Sums]:
        """Return the sums of the counted pieces of a run in each cell; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        Mapping of TallyKey to Sums
        """
        return {key: sums for key, sums in self._totals.tallies.get(run, {}).items() if sums}

    def verify(self) -> Head:
        """Read every line again and compare the totals; see `Store`.

        Returns
        -------
        Head

        Raises
        ------
        ChainBrokenError
            Naming the first line that does not hold.
        """
        return verify_against(self.entries(), self.journal_id, self._totals.totals())

    def one_moment(self) -> AbstractContextManager[None]:
        """Return a context that does nothing: nobody else writes here.

        Returns
        -------
        context manager
        """
        return nullcontext()

    def rebuild(self, *, anyway: bool = False) -> None:  # noqa: ARG002 - memory loses no lines
        """Drop the totals and make them again from the lines; see `Store`.

        Parameters
        ----------
        anyway : bool

        Raises
        ------
        ChainBrokenError
            If a line does not hold.
        """
        self._totals, _ = remade_from(self._entries, self.journal_id)

    def dump(self) -> Iterator[str]:
        """Yield the totals as ordered text.

        Yields
        ------
        str
        """
        for state, tally in self._totals.totals():
            yield from dump_run(state, tally)

    def checkpoint(self) -> None:
        """Do nothing: memory needs no tidying."""

    def close(self) -> None:
        """Do nothing: the lines go with the process."""

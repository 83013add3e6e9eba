"""A journal in one SQLite file: every line is on the disk before ``append`` returns."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from weighstation.errors import SequenceError
from weighstation.journal import Head, Kind, Sums, dump_run, follow
from weighstation.station.stores import moments, rows
from weighstation.station.stores.asked import Asked
from weighstation.station.stores.on_file import (
    file_at,
    refuse_lost_lines,
    refuse_moved,
    refuse_spoilt,
    refuse_to_go_on,
    write_entry,
    write_totals,
    write_totals_anew,
)
from weighstation.station.stores.remake import Remade, remade_from, totals_wrong, verify_against
from weighstation.station.stores.translate import translated

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from weighstation.journal import Entry, Line, PieceFacts, RunStarted, RunState, TallyKey
    from weighstation.station.stores.lock import WriterLock
    from weighstation.station.stores.remake import Totals


class SqliteStore:
    """Lines and totals in one file; made by `open_for_writing` and `open_for_reading`.

    One thread at a time may use it.

    Parameters
    ----------
    path : Path
    connection : sqlite3.Connection
        In autocommit mode; transactions are begun by hand.
    lock : WriterLock or None
        Let go of at `close`; None for a reader.
    """

    def __init__(
        self, path: Path, connection: sqlite3.Connection, lock: WriterLock | None = None
    ) -> None:
        self._path = path
        self._connection = connection
        self._asked = Asked(path, connection)
        self._lock = lock
        self._known_head: Head | None = None
        self._open_runs: dict[str, RunState] = {}
        self._changed = Remade()
        self._is_end_known, self._commits = False, 0
        with translated(path):
            self._file = file_at(path)
            row: tuple[str, str] = connection.execute("SELECT id, station FROM journal").fetchone()
        self.journal_id, self.station = row

    def append(self, line: Line) -> Entry:
        """Write one line and its totals in one transaction, synced to the disk; see `Store`.

        Parameters
        ----------
        line : Line

        Returns
        -------
        Entry

        Raises
        ------
        JournalFullError
            If the disk refuses; nothing is changed then.
        JournalError
            If lines that were written are missing.
        SequenceError
            If the line cannot follow.
        """
        with self._writing():
            return self._append(line)

    def append_all(self, lines: Iterable[Line]) -> int:
        """Write lines and their totals in one transaction: all of them or none; see `Store`.

        Parameters
        ----------
        lines : iterable of Line

        Returns
        -------
        int
            How many there were.

        Raises
        ------
        JournalFullError
            If the disk refuses; nothing is changed then.
        JournalError
            If lines that were written are missing.
        SequenceError
            If a line cannot follow.
        """
        with self._writing():
            return sum(1 for _ in map(self._append, lines))

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """Write lines in one transaction, and their totals at its end."""
        with self._transaction():
            refuse_moved(self._path, self._file)
            before = self.head()
            if not self._is_end_known:
                refuse_to_go_on(self._connection, before)
            yield
            if self.head() != before:
                write_totals(self._connection, self._changed, self.head())
        self._remember()
        self._commits += 1

    def _append(self, line: Line) -> Entry:
        run = line.body.get("run")
        name = run if isinstance(run, str) else ""
        state = self.run(name) if name else None
        step = follow(
            self.head(), self.station, line, state, lambda number: self._piece(name, number)
        )
        write_entry(self._connection, step.entry)
        self._known_head = Head(step.entry.seq, step.entry.digest)
        if step.state is not None:
            self._changed.take(step.state, step.tally)
        return step.entry

    def _remember(self) -> None:
        """Keep what was written: totals of runs that go on, and that no line is missing."""
        for name, state in self._changed.states.items():
            self._open_runs.pop(name, None)
            if not state.ended:
                self._open_runs[name] = state
        self._changed = Remade()
        self._is_end_known = True

    def _forget(self) -> None:
        """Know nothing any more but what the file holds."""
        self._open_runs, self._changed = {}, Remade()
        self._known_head, self._is_end_known = None, False

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        try:
            with translated(self._path), moments.transaction(self._connection):
                yield
        except BaseException:
            self._forget()
            raise

    def head(self) -> Head:
        """Return the last line."""
        if self._known_head is None or self._lock is None:
            row = self._asked.one("SELECT seq, digest FROM entry ORDER BY seq DESC LIMIT 1")
            self._known_head = Head(*row) if row else Head(0, self.journal_id)
        return self._known_head

    def entries(self, start: int = 1) -> Iterator[Entry]:
        """Yield the lines in order; see `Store`.

        Parameters
        ----------
        start : int

        Yields
        ------
        Entry

        Raises
        ------
        ChainBrokenError
            If a row can be no line of ours.
        """
        yield from self._asked.lines(f"{rows.ENTRY} WHERE seq >= ? ORDER BY seq", start)

    def notes(self) -> Iterator[Entry]:
        """Return the notes about earlier lines, oldest first; see `Store`."""
        return self._asked.lines(rows.NOTES, Kind.NOTED.value)

    def scale_checks(self, *, before: int | None = None) -> Iterator[Entry]:
        """Return the lines of scale checks, newest first; see `Store`.

        Parameters
        ----------
        before : int or None

        Returns
        -------
        iterator of Entry
        """
        end = rows.PAST_ALL if before is None else before
        return self._asked.lines(rows.BEFORE_NEWEST_FIRST, Kind.SCALE_CHECKED.value, end)

    def scale_checks_after(self, line: int) -> Iterator[Entry]:
        """Return the lines of scale checks after a line, oldest first; see `Store`.

        Parameters
        ----------
        line : int

        Returns
        -------
        iterator of Entry
        """
        return self._asked.lines(rows.AFTER, Kind.SCALE_CHECKED.value, line)

    def loaf_lines(self, batch: str = "") -> Iterator[Entry]:
        """Return the lines of baked loaves, oldest first; see `Store`.

        Parameters
        ----------
        batch : str

        Returns
        -------
        iterator of Entry
        """
        if batch:
            return self._asked.lines(rows.OF_BATCH, batch)
        return self._asked.lines(rows.OLDEST_FIRST, Kind.BAKED.value)

    def run_lines(self, run: str) -> Iterator[Entry]:
        """Return all lines of a run, oldest first; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        iterator of Entry
        """
        return self._asked.lines(rows.OF_RUN, run)

    def run(self, run: str) -> RunState | None:
        """Return the totals of a run, or None; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        RunState or None
        """
        known = self._changed.states.get(run) or self._open_runs.get(run)
        return known or self._asked.run("WHERE run = ?", run)

    def runs(self) -> tuple[RunState, ...]:
        """Return the totals of all runs, oldest first."""
        return tuple(self._asked.runs("ORDER BY started_seq"))

    def newest_runs(self) -> Iterator[RunState]:
        """Return the totals of all runs, newest first; see `Store`.

        Returns
        -------
        iterator of RunState
        """
        return self._asked.runs("ORDER BY started_seq DESC")

    def runs_begun(self, from_utc_ms: int, before_utc_ms: int) -> tuple[RunState, ...]:
        """Return the totals of the runs that began in a span, oldest first; see `Store`.

        Parameters
        ----------
        from_utc_ms, before_utc_ms : int, milliseconds since 1970

        Returns
        -------
        tuple of RunState
        """
        return tuple(self._asked.runs_begun(from_utc_ms, before_utc_ms))

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
        return self._asked.promised(state)

    def open_run(self) -> RunState | None:
        """Return the newest run without an end, or None."""
        return self._asked.run("WHERE ended = '' ORDER BY started_seq DESC LIMIT 1")

    def last_run(self) -> RunState | None:
        """Return the newest run, or None."""
        return self._asked.run("ORDER BY started_seq DESC LIMIT 1")

    def pieces(self, run: str) -> tuple[PieceFacts, ...]:
        """Return the pieces of a run that count, by number; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        tuple of PieceFacts
        """
        return tuple(self._asked.pieces(run))

    def _piece(self, run: str, number: int) -> PieceFacts | None:
        row = self._asked.one(f"{rows.PIECE} WHERE run = ? AND number = ?", run, number)
        return rows.read_piece(row) if row else None

    def tally(self, run: str) -> Mapping[TallyKey, Sums]:
        """Return the sums of the counted pieces of a run in each cell; see `Store`.

        Parameters
        ----------
        run : str

        Returns
        -------
        Mapping of TallyKey to Sums
        """
        return self._asked.tally(run)

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
        with self.one_moment():
            head = verify_against(self.entries(), self.journal_id, self._proved_totals())
            if self._asked.one("SELECT 1 FROM tally WHERE run NOT IN (SELECT run FROM run)"):
                raise totals_wrong(1)
            return head

    @contextmanager
    def one_moment(self) -> Iterator[None]:
        """Hold still what is read, while a station may go on writing; see `Store`.

        Yields
        ------
        None
        """
        with translated(self._path), moments.held_still(self._connection):
            yield

    def _proved_totals(self) -> Iterator[Totals]:
        """Yield the stored totals where the file holds; asked for after the last line was read."""
        refuse_spoilt(self._connection, self.head())
        yield from self._totals()

    def _totals(self) -> Iterator[Totals]:
        for state in self._asked.runs("ORDER BY started_seq"):
            yield state, self.tally(state.run)

    def rebuild(self, *, anyway: bool = False) -> None:
        """Drop the totals and make them again from the lines, in one transaction; see `Store`.

        Parameters
        ----------
        anyway : bool

        Raises
        ------
        ChainBrokenError
            If a line does not hold, or lines are missing at the end.
        """
        with self._transaction():
            if not anyway:
                refuse_lost_lines(self._connection, self.head())
            remade, _ = remade_from(self.entries(), self.journal_id)
            write_totals_anew(self._connection, remade.totals(), self.head())
        self._open_runs = {}

    def dump(self) -> Iterator[str]:
        """Yield the totals as ordered text.

        Yields
        ------
        str
        """
        for state, tally in self._totals():
            yield from dump_run(state, tally)

    def checkpoint(self) -> None:
        """Move the log into the file once it has grown, at a moment when nobody waits."""
        self._commits = moments.checkpointed(self._connection, self._commits)

    def close(self) -> None:
        """Let go of the file and of the right to write it."""
        self._connection.close()
        if self._lock is not None:
            self._lock.release()
            self._lock = None

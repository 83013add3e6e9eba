"""Questions to a journal file -> rows as values, whichever form its totals have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import SequenceError
from weighstation.journal import codec, read_body, tally_of
from weighstation.station.stores import rows
from weighstation.station.stores.on_file import tally_before_3, version_of
from weighstation.station.stores.schema import SINCE_SUMS
from weighstation.station.stores.translate import translated

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from weighstation.journal import Entry, PieceFacts, RunStarted, RunState, Sums, TallyKey


class Asked:
    """What stands in a file, read when it is asked for.

    Parameters
    ----------
    path : Path
    connection : sqlite3.Connection
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self._path = path
        self._connection = connection

    def one(self, sql: str, *values: str | int) -> rows.Row | None:
        """Return the first row, or None.

        Parameters
        ----------
        sql : str
        *values : str or int

        Returns
        -------
        tuple or None
        """
        with translated(self._path):
            row: rows.Row | None = self._connection.execute(sql, values).fetchone()
            return row

    def all(self, sql: str, *values: str | int) -> Iterator[rows.Row]:
        """Yield all rows.

        Parameters
        ----------
        sql : str
        *values : str or int

        Yields
        ------
        tuple
        """
        with translated(self._path):
            # Not `yield from`: that would close the cursor of a connection already closed.
            for row in self._connection.execute(sql, values):  # noqa: UP028
                yield row

    def lines(self, sql: str, *values: str | int) -> Iterator[Entry]:
        """Return lines.

        Parameters
        ----------
        sql : str
            Of `rows.ENTRY`.
        *values : str or int

        Returns
        -------
        iterator of Entry
        """
        return map(rows.read_entry, self.all(sql, *values))

    def runs(self, where: str, *values: str | int) -> Iterator[RunState]:
        """Return the totals of runs.

        Parameters
        ----------
        where : str
            What follows in the question.
        *values : str or int

        Returns
        -------
        iterator of RunState
        """
        return map(rows.read_run, self.all(f"{self._run_sql()} {where}", *values))

    def run(self, where: str, *values: str) -> RunState | None:
        """Return the totals of the first run, or None.

        Parameters
        ----------
        where : str
        *values : str

        Returns
        -------
        RunState or None
        """
        row = self.one(f"{self._run_sql()} {where}", *values)
        return rows.read_run(row) if row else None

    def runs_begun(self, from_utc_ms: int, before_utc_ms: int) -> Iterator[RunState]:
        """Return the totals of the runs that began in a span, oldest first.

        Parameters
        ----------
        from_utc_ms, before_utc_ms : int, milliseconds since 1970

        Returns
        -------
        iterator of RunState
        """
        if self._has_sums():
            where = "WHERE began_utc_ms >= ? AND began_utc_ms < ? ORDER BY began_utc_ms"
            return self.runs(where, from_utc_ms, before_utc_ms)
        found = self.runs("ORDER BY started_seq")
        inside = (run for run in found if from_utc_ms <= run.began_utc_ms < before_utc_ms)
        return iter(sorted(inside, key=lambda run: run.began_utc_ms))

    def promised(self, state: RunState) -> RunStarted:
        """Return what a run promised.

        Parameters
        ----------
        state : RunState

        Returns
        -------
        RunStarted

        Raises
        ------
        SequenceError
            If the line that started it is missing.
        """
        row = self.one(f"{rows.ENTRY} WHERE seq = ?", state.started_seq)
        if row is None:
            raise SequenceError(f"Line {state.started_seq} of the journal is missing.")
        return codec.read_run_started(read_body(rows.read_entry(row).body))

    def pieces(self, run: str) -> Iterator[PieceFacts]:
        """Return the pieces of a run that count, by number.

        Parameters
        ----------
        run : str

        Returns
        -------
        iterator of PieceFacts
        """
        return map(rows.read_piece, self.all(f"{rows.PIECE} WHERE run = ? ORDER BY number", run))

    def tally(self, run: str) -> Mapping[TallyKey, Sums]:
        """Return the sums of the counted pieces of a run in each cell.

        Parameters
        ----------
        run : str

        Returns
        -------
        Mapping of TallyKey to Sums
            Of a file before sums were kept, made of its pieces.
        """
        if self._has_sums():
            return dict(map(rows.read_cell, self.all(f"{rows.TALLY} WHERE run = ?", run)))
        state = self.run("WHERE run = ?", run)
        found = {} if state is None else tally_of(state, self.pieces(run))
        cells = self.all(f"{rows.TALLY_BEFORE_3} WHERE run = ?", run)
        return tally_before_3(map(rows.read_cell, cells), found)

    def _run_sql(self) -> str:
        return rows.RUN if self._has_sums() else rows.RUN_BEFORE_3

    def _has_sums(self) -> bool:
        with translated(self._path):
            return version_of(self._connection) >= SINCE_SUMS

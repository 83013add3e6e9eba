"""What every store of journal lines can do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from weighstation.errors import SequenceError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from contextlib import AbstractContextManager

    from weighstation.journal import (
        Entry,
        Head,
        Line,
        PieceFacts,
        RunStarted,
        RunState,
        Sums,
        TallyKey,
    )


class Store(Protocol):
    """Lines in order, and the totals that follow from them.

    Every method raises `JournalError` where the store cannot be read, and `JournalFullError`
    where it cannot be written.
    """

    @property
    def journal_id(self) -> str:
        """What the first line's digest starts from."""

    @property
    def station(self) -> str:
        """The name that every line carries."""

    def append(self, line: Line) -> Entry:
        """Write one line and its totals, durable on return.

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
        SequenceError
            If the line cannot follow.
        """

    def append_all(self, lines: Iterable[Line]) -> int:
        """Write lines and their totals, durable on return: all of them or none.

        Parameters
        ----------
        lines : iterable of Line
            Taken one by one: however many there are, none is held.

        Returns
        -------
        int
            How many there were.

        Raises
        ------
        JournalFullError
            If the disk refuses; nothing is changed then.
        SequenceError
            If a line cannot follow.
        """

    def head(self) -> Head:
        """Return the last line."""

    def entries(self, start: int = 1) -> Iterator[Entry]:
        """Yield the lines in order.

        Parameters
        ----------
        start : int
            Number of the first line wanted.

        Yields
        ------
        Entry
        """

    def notes(self) -> Iterator[Entry]:
        """Yield the notes about earlier lines, oldest first.

        Yields
        ------
        Entry
        """

    def scale_checks(self, *, before: int | None = None) -> Iterator[Entry]:
        """Yield the lines of scale checks, newest first; none is read that is not taken.

        Parameters
        ----------
        before : int or None
            Only those before this line; None for all.

        Yields
        ------
        Entry
        """

    def scale_checks_after(self, line: int) -> Iterator[Entry]:
        """Yield the lines of scale checks after a line, oldest first.

        Parameters
        ----------
        line : int

        Yields
        ------
        Entry
        """

    def loaf_lines(self, batch: str = "") -> Iterator[Entry]:
        """Yield the lines of baked loaves, oldest first.

        Parameters
        ----------
        batch : str
            Those that were written for this run alone; empty for all.

        Yields
        ------
        Entry
        """

    def run_lines(self, run: str) -> Iterator[Entry]:
        """Yield all lines of a run, oldest first.

        Parameters
        ----------
        run : str

        Yields
        ------
        Entry
        """

    def run(self, run: str) -> RunState | None:
        """Return the totals of a run, or None if there is no such run.

        Parameters
        ----------
        run : str

        Returns
        -------
        RunState or None
        """

    def runs(self) -> tuple[RunState, ...]:
        """Return the totals of all runs, oldest first."""

    def newest_runs(self) -> Iterator[RunState]:
        """Yield the totals of all runs, newest first; none is read that is not taken.

        Yields
        ------
        RunState
        """

    def runs_begun(self, from_utc_ms: int, before_utc_ms: int) -> tuple[RunState, ...]:
        """Return the totals of the runs that began in a span, oldest first.

        Parameters
        ----------
        from_utc_ms, before_utc_ms : int, milliseconds since 1970
            The first belongs to the span, the second not any more.

        Returns
        -------
        tuple of RunState
        """

    def started(self, run: str) -> RunStarted:
        """Return what a run promised.

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

    def open_run(self) -> RunState | None:
        """Return the newest run without an end, or None."""

    def last_run(self) -> RunState | None:
        """Return the newest run, or None."""

    def pieces(self, run: str) -> tuple[PieceFacts, ...]:
        """Return the pieces of a run that count, by number.

        Parameters
        ----------
        run : str

        Returns
        -------
        tuple of PieceFacts
        """

    def tally(self, run: str) -> Mapping[TallyKey, Sums]:
        """Return the sums of the counted pieces of a run in each cell.

        Parameters
        ----------
        run : str

        Returns
        -------
        Mapping of TallyKey to Sums
        """

    def verify(self) -> Head:
        """Read every line again, remake the totals beside the stored ones, and compare.

        Returns
        -------
        Head

        Raises
        ------
        ChainBrokenError
            Naming the first line that does not hold.
        """

    def one_moment(self) -> AbstractContextManager[None]:
        """Hold still what is read, while a station may go on writing; a moment in one is the same.

        Returns
        -------
        context manager
        """

    def rebuild(self, *, anyway: bool = False) -> None:
        """Drop the totals and make them again from the lines.

        Parameters
        ----------
        anyway : bool
            Even where lines are missing at the end; nothing tells of them then any more.

        Raises
        ------
        ChainBrokenError
            If a line does not hold, or lines are missing at the end.
        """

    def dump(self) -> Iterator[str]:
        """Yield the totals as ordered text.

        Yields
        ------
        str
        """

    def checkpoint(self) -> None:
        """Tidy up, at a moment when nobody waits; never fails."""

    def close(self) -> None:
        """Let go of the store."""


def run_chain(store: Store, run: str) -> tuple[RunState, ...]:
    """Return a run and the ones it goes on with, oldest first: together they are one batch.

    Parameters
    ----------
    store : Store
    run : str

    Returns
    -------
    tuple of RunState

    Raises
    ------
    SequenceError
        If one of them is not in the journal.
    """
    chain: list[RunState] = []
    wanted = run
    while wanted and wanted not in {state.run for state in chain}:
        state = store.run(wanted)
        if state is None:
            raise SequenceError(f"There is no run '{wanted}' in the journal.")
        chain.append(state)
        wanted = state.continues
    return tuple(reversed(chain))

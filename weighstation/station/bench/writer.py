"""Facts of the loop -> durable lines: the one thread that writes the journal.

A line is acknowledged after its COMMIT, never before, and in the order in which it was submitted.
If the disk refuses, nothing is lost and nothing counts: the lines wait in memory, in order, and
the first one is tried again every few seconds, when `Writer.retry` asks for it, and a last time
when the writer closes.
"""

from __future__ import annotations

import threading
from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import JournalFullError, SequenceError, WeighstationError
from weighstation.journal import Line

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.journal import Body, Entry, Kind
    from weighstation.station.stores.store import Store


@dataclass(frozen=True, slots=True)
class _Job:
    line: Line
    on_durable: Callable[[Entry], None] | None


class Writer:
    """Owns a store from its making until `close`.

    Callbacks are called on the writer's own thread and must return at once.

    Parameters
    ----------
    store : Store
        Used by nobody else meanwhile.
    on_refused : callable
        Told once, with the error, when lines begin to wait. After a `JournalFullError` they are
        tried again; after any other error nothing is written any more.
    on_resumed : callable
        Told when waiting lines begin to be written again.
    retry_s : float, seconds
        How long to wait before the disk is tried again.
    """

    def __init__(
        self,
        store: Store,
        *,
        on_refused: Callable[[WeighstationError], None],
        on_resumed: Callable[[], None] = lambda: None,
        retry_s: float = 2.0,
    ) -> None:
        self._store = store
        self._on_refused = on_refused
        self._on_resumed = on_resumed
        self._retry_s = retry_s
        self._jobs: deque[_Job] = deque()
        self._changed = threading.Condition()
        self._refusal: WeighstationError | None = None
        self._is_pan_empty = self._is_asked = self._is_closing = False
        self._thread = threading.Thread(target=self._run, name="writer", daemon=True)
        self._thread.start()

    @property
    def waiting(self) -> int:
        """How many lines are not durable yet."""
        return len(self._jobs)

    @property
    def refusal(self) -> WeighstationError | None:
        """Why lines wait, while the journal refuses them; else None."""
        return self._refusal

    def submit(
        self,
        kind: Kind,
        body: Body,
        t_utc_ms: int,
        on_durable: Callable[[Entry], None] | None = None,
    ) -> None:
        """Take a line to be written; never waits.

        Parameters
        ----------
        kind : Kind
        body : Mapping
        t_utc_ms : int, milliseconds since 1970
        on_durable : callable or None
            Called with the line after its COMMIT.

        Raises
        ------
        SequenceError
            If the writer is closed.
        """
        with self._changed:
            if self._is_closing:
                raise SequenceError("A line was submitted after the journal was closed.")
            self._jobs.append(_Job(Line(kind, body, t_utc_ms), on_durable))
            self._changed.notify()

    def checkpoint(self) -> None:
        """Say that the pan is empty, so that the store may tidy up if no line is waiting."""
        with self._changed:
            self._is_pan_empty = True
            self._changed.notify()

    def retry(self) -> None:
        """Try the waiting lines now."""
        with self._changed:
            self._is_asked = True
            self._changed.notify()

    def close(self) -> tuple[Line, ...]:
        """Write what waits and end the thread; the store stays open and is the caller's again.

        Returns
        -------
        tuple of Line
            Lines that could not be written: they never counted.
        """
        with self._changed:
            self._is_closing = True
            self._changed.notify()
        self._thread.join()
        return tuple(job.line for job in self._jobs)

    def _run(self) -> None:
        try:
            while self._wait_for_work():
                self._work()
        except WeighstationError as exc:
            self._refuse(exc)
        except Exception as exc:  # noqa: BLE001 - a dead writer must be heard of, whatever killed it
            error = SequenceError(f"The journal's writer stopped: {exc!r}.")
            error.__cause__ = exc
            self._refuse(error)

    def _wait_for_work(self) -> bool:
        """Wait until there is something to do; False when all is done and the writer closes."""
        with self._changed:
            if self._refusal is None:
                self._changed.wait_for(lambda: self._jobs or self._is_pan_empty or self._is_closing)
            elif not self._is_closing:
                self._changed.wait_for(lambda: self._is_asked or self._is_closing, self._retry_s)
            self._is_asked = False
            return bool(self._jobs) or not self._is_closing

    def _work(self) -> None:
        if not self._jobs:
            self._is_pan_empty = False
            self._store.checkpoint()
            return
        job = self._jobs[0]
        try:
            entry = self._store.append(job.line)
        except JournalFullError as exc:
            if self._is_closing:
                raise
            self._refuse(exc)
            return
        self._jobs.popleft()
        self._resume()
        if job.on_durable is not None:
            job.on_durable(entry)

    def _refuse(self, error: WeighstationError) -> None:
        is_news = self._refusal is None
        self._refusal = error
        if is_news:
            self._on_refused(error)

    def _resume(self) -> None:
        if self._refusal is not None:
            self._refusal = None
            self._on_resumed()

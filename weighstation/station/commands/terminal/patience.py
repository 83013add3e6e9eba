"""Work that may take a while -> a bar on the terminal, once it has taken two seconds."""

from __future__ import annotations

import sys
from collections.abc import Sized
from threading import Lock, Timer
from typing import TYPE_CHECKING, Self, TypeVar

from weighstation.station.commands.terminal.pages import console_on

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from types import TracebackType

    from rich.progress import Progress, TaskID

T = TypeVar("T")
AFTER_S = 2.0
"""Sooner done, sooner forgotten."""
STEPS = 500
"""More than a bar has columns; saying more often would take longer than what is done."""


class Patience:
    """What is being done, shown on standard error while it lasts; only on a terminal.

    Parameters
    ----------
    after_s : float, seconds
        Before anything is shown.
    """

    def __init__(self, after_s: float = AFTER_S) -> None:
        self._after_s = after_s
        self._lock = Lock()
        self._timer: Timer | None = None
        self._bar: Progress | None = None
        self._task: TaskID | None = None
        self._now: tuple[str, int, int | None] = ("", 0, None)

    def __enter__(self) -> Self:
        """Begin to wait."""
        if sys.stderr.isatty():
            self._timer = Timer(self._after_s, self._show)
            self._timer.daemon = True
            self._timer.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        exc: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Take the bar away."""
        if self._timer is not None:
            self._timer.cancel()
        with self._lock:
            self._timer = None
            if self._bar is not None:
                self._bar.stop()

    def say(self, what: str, done: int = 0, of: int | None = None) -> None:
        """Say what is being done now.

        Parameters
        ----------
        what : str
        done : int
        of : int or None
            How much there is to do; None where that is not known.
        """
        self._now = (what, done, of)
        with self._lock:
            self._update()

    def over(self, items: Iterable[T], what: str, of: int | None = None) -> Iterator[T]:
        """Yield items, and say how many are done.

        Parameters
        ----------
        items : (n,) iterable of object
        what : str
        of : int or None
            How many there are; None where they have a length that says so.

        Yields
        ------
        object
        """
        count = len(items) if of is None and isinstance(items, Sized) else of
        every = max(1, (count or 0) // STEPS)
        for done, item in enumerate(items):
            if done % every == 0:
                self.say(what, done, count)
            yield item

    def _show(self) -> None:
        from rich.progress import BarColumn, Progress  # noqa: PLC0415 - only where it takes long

        with self._lock:
            if self._timer is None:  # done in the meantime
                return
            words = ("{task.description}", BarColumn())
            self._bar = Progress(*words, console=console_on(sys.stderr), transient=True)
            self._task = self._bar.add_task("")
            self._bar.start()
            self._update()

    def _update(self) -> None:
        if self._bar is not None and self._task is not None:
            what, done, of = self._now
            self._bar.update(self._task, description=what, completed=done, total=of)

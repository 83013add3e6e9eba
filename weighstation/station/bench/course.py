"""Pieces wanted, and faults -> whether a session goes on, is over, or had to stop."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from weighstation.errors import WeighstationError

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.station.bench.backlog import Backlog

MessageT = TypeVar("MessageT")


class Course:
    """How far a session has come.

    Parameters
    ----------
    planned : int or None
        Pieces, or loaves, wanted.
    ends_at_planned : bool
        End by itself once so many count.

    Attributes
    ----------
    is_over : bool
        Nothing more is weighed, though lines may still wait for the disk.
    failure : WeighstationError or None
        Why it had to stop.
    """

    def __init__(self, planned: int | None, *, ends_at_planned: bool) -> None:
        self.is_over = False
        self.failure: WeighstationError | None = None
        self._planned = planned or 0
        self._ends_at_planned = ends_at_planned

    def go(self, take: Callable[[MessageT], None], message: MessageT) -> None:
        """Take a message in; an error that is told to people ends the session.

        Parameters
        ----------
        take : callable
        message : Message or LoafMessage
        """
        try:
            take(message)
        except WeighstationError as exc:
            self.failure = exc
            self.is_over = True

    def is_done(self, backlog: Backlog) -> bool:
        """Tell whether it is over and every line that can be written is.

        Parameters
        ----------
        backlog : Backlog

        Returns
        -------
        bool
        """
        return self.is_over and (backlog.lines == 0 or backlog.is_refused)

    def has_all(self, counted: int) -> bool:
        """Tell whether all that was wanted counts.

        Parameters
        ----------
        counted : int

        Returns
        -------
        bool
        """
        return 0 < self._planned <= counted

    def ends_with(self, counted: int) -> bool:
        """Tell whether it ends by itself now.

        Parameters
        ----------
        counted : int

        Returns
        -------
        bool
        """
        return self._ends_at_planned and self.has_all(counted)

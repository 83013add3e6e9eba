"""Where the results of a session go."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from weighstation.journal import Line
    from weighstation.station.bench.backlog import Happened


class Outlets(Protocol):
    """Where a session's results go; none of these may wait."""

    def write(self, line: Line, outcome: Happened) -> None:
        """Have a line written; it comes back as `Durable`."""

    def say(self, line: str) -> None:
        """Write a line of events."""

    def pan_is_empty(self) -> None:
        """Let the store tidy up."""

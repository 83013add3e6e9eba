"""Lines given to the writer -> what is told of each, once it is on the disk.

What is told has the time at which its line was given to the writer, not that of its COMMIT: while
the disk is slow, older lines wait behind it, and what is told of them would go back in time.
"""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.journal import Line
    from weighstation.station.bench.backlog import Backlog, Happened
    from weighstation.station.bench.outlets import Outlets


class Telling:
    """Has lines written, and tells of them in the same order.

    Parameters
    ----------
    outlets : Outlets
    backlog : Backlog

    Attributes
    ----------
    backlog : Backlog
        What was given to the writer and is not on the disk yet.
    """

    def __init__(self, outlets: Outlets, backlog: Backlog) -> None:
        self.backlog = backlog
        self._outlets = outlets
        self._untold: deque[tuple[str | None, float]] = deque()

    def write(
        self, line: Line, outcome: Happened = None, *, said: str | None = None, t_s: float = 0.0
    ) -> None:
        """Have a line written.

        Parameters
        ----------
        line : Line
        outcome : Outcome, LoafOutcome or None
            What it is about, where that is a piece or a loaf.
        said : str or None
            The line of events that is told of it.
        t_s : float, seconds
            Time of whatever else is told of it; never less than that of the line before.
        """
        self.backlog.given(outcome)
        self._untold.append((said, t_s))
        self._outlets.write(line, outcome)

    def durable(self, outcome: Happened) -> tuple[float, str]:
        """Tell of the next line, which is on the disk.

        Parameters
        ----------
        outcome : Outcome, LoafOutcome or None

        Returns
        -------
        float, seconds
            The time that was given with it.
        str
            Once all that waited for a refusing disk is written, a sentence that says so.
        """
        said, t_s = self._untold.popleft()
        self.say(said)
        return t_s, self.backlog.durable(outcome)

    def say(self, line: str | None) -> None:
        """Tell a line of events now; nothing of none.

        Parameters
        ----------
        line : str or None
        """
        if line is not None:
            self._outlets.say(line)

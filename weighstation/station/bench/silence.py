"""Times of arrivals -> whether a scale that speaks all the time has fallen silent."""

from __future__ import annotations

from collections import deque

TICK_S = 0.2
"""A pause is said to the loop each time nothing has come for this long."""
PAUSE_S = 1.5
"""No scale that speaks all the time waits longer between two readings."""
STEADY_FRAMES = 20
"""A scale that was heard so many times without a pause speaks all the time."""
OVERDUE_S = 0.75
"""So late after its longest usual wait, and found a tick later, a reading is missed within 1 s."""
RENEW_S = 2.0
"""After a silence this long, what lies on the pan is weighed anew."""


class Row:
    """Readings without a pause between them; whoever feeds it tells it of pauses only."""

    def __init__(self) -> None:
        self._began_frames = 0

    def is_steady(self, frames: int) -> bool:
        """Say whether the scale has spoken all the time until now.

        Parameters
        ----------
        frames : int
            Readings since the start of the batch.

        Returns
        -------
        bool
        """
        return frames - self._began_frames >= STEADY_FRAMES

    def broken_by(self, gap_s: float, frames: int) -> float:
        """Take a pause in that has just ended; return it if the scale should have spoken in it.

        Parameters
        ----------
        gap_s : float, seconds
            More than ``PAUSE_S``.
        frames : int
            Readings before it.

        Returns
        -------
        float, seconds
            0 for a scale that speaks only now and then, and for a pause below ``RENEW_S``.
        """
        was_steady, self._began_frames = self.is_steady(frames), frames
        return gap_s if was_steady and gap_s >= RENEW_S else 0.0


class Silence:
    """What is expected of a live scale, and whether it is overdue.

    A scale that speaks only when the weight changes pauses often, and is never called silent.

    Attributes
    ----------
    is_silent : bool
    """

    def __init__(self) -> None:
        self.is_silent = False
        self._row = Row()
        self._frames = 0
        self._last_s: float | None = None
        self._waits_s: deque[float] = deque(maxlen=STEADY_FRAMES)

    def seconds(self, now_s: float) -> float:
        """Return how long nothing has come.

        Parameters
        ----------
        now_s : float, seconds

        Returns
        -------
        float, seconds
        """
        return 0.0 if self._last_s is None else now_s - self._last_s

    def heard(self, t_s: float, frames: int) -> float:
        """Note that something came; return how long the scale had been silent.

        Parameters
        ----------
        t_s : float, seconds
        frames : int
            Readings before it.

        Returns
        -------
        float, seconds
            As `Row.broken_by` says.
        """
        wait_s = self.seconds(t_s)
        self._last_s, self._frames, self.is_silent = t_s, frames, False
        if wait_s > PAUSE_S:
            self._waits_s.clear()
            return self._row.broken_by(wait_s, frames)
        self._waits_s.append(wait_s)
        return 0.0

    def begin_again(self) -> None:
        """Count anew from the next tick: what was not heard until now has another cause."""
        self._last_s = None
        self.is_silent = False

    def tick(self, now_s: float) -> bool:
        """Note that nothing has come until now; return whether the scale has just fallen silent.

        Parameters
        ----------
        now_s : float, seconds

        Returns
        -------
        bool
        """
        if self.is_silent or not self._waits_s or not self._row.is_steady(self._frames):
            return False
        if self._last_s is None:
            self._last_s = now_s
        self.is_silent = self.seconds(now_s) > max(self._waits_s) + OVERDUE_S
        return self.is_silent

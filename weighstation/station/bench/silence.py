"""Arrivals and pauses -> whether a scale that speaks all the time has fallen silent."""

from __future__ import annotations

TICK_S = 0.3
"""A pause is said to the loop when nothing has come for this long."""
SILENT_TICKS = 3
STEADY_ARRIVALS = 20
"""A scale that was heard so many times without a pause speaks all the time."""


class Silence:
    """Counts arrivals and pauses.

    A scale that speaks only when the weight changes pauses often, and is never called silent.

    Attributes
    ----------
    is_silent : bool
    """

    def __init__(self) -> None:
        self.is_silent = False
        self._arrivals = 0
        self._ticks = 0

    @property
    def seconds(self) -> float:
        """How long nothing has come, in seconds, as far as it was counted."""
        return self._ticks * TICK_S

    def heard(self) -> None:
        """Note that something came."""
        if self._ticks:
            self._ticks = 0
            self._arrivals = 0
            self.is_silent = False
        self._arrivals += 1

    def begin_again(self) -> None:
        """Count anew: what was not heard until now has another cause."""
        self._ticks = 0
        self.is_silent = False

    def tick(self) -> bool:
        """Note a pause; return whether the scale has just fallen silent.

        Returns
        -------
        bool
        """
        self._ticks += 1
        if self.is_silent or self._ticks < SILENT_TICKS or self._arrivals < STEADY_ARRIVALS:
            return False
        self.is_silent = True
        return True

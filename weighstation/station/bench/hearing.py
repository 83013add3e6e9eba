"""Arrivals, ticks and news of a link -> whether the scale is heard, and how late it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from weighstation.station.bench.absence import LINK_LOST, SILENT, Absence
from weighstation.station.bench.messages import LinkBack, LinkLost, Tick
from weighstation.station.bench.silence import Silence
from weighstation.station.bench.torn import TornLines

if TYPE_CHECKING:
    from weighstation.acquire import Counts

NOTHING_COMES = "Nothing comes from the scale. Check its cable and power."
SCALE_BACK = "The scale is back: what lies on the pan is weighed anew."

Missed = tuple[str, float]
"""Why nothing was heard, and for how many seconds."""


class Hearing:
    """Whether the scale of a session is heard.

    Attributes
    ----------
    now_s : float, seconds
        The newest time there is on the clock of the port.
    lost : str
        That the scale is lost, in one plain sentence; empty while it is heard.
    absence : Absence
    """

    def __init__(self) -> None:
        self.now_s = 0.0
        self.lost = ""
        self._silence = Silence()
        self.absence = Absence(self._silence)
        self._torn = TornLines()

    @property
    def trouble(self) -> str:
        """What is wrong with lines that come, in one plain sentence; or empty."""
        return self._torn.sentence

    def arrived(self, t_s: float, frames: int) -> Missed | None:
        """Note that something came.

        Parameters
        ----------
        t_s : float, seconds
        frames : int
            Readings before it.

        Returns
        -------
        Missed or None
            Where the scale should have spoken before, so that its pan is to be weighed anew.
        """
        if self._silence.is_silent:
            self.lost = ""
        silent_s = self._silence.heard(t_s, frames)
        self.now_s = max(self.now_s, t_s)
        return (SILENT, silent_s) if silent_s else None

    def read(self, counts: Counts) -> None:
        """Note how the lines until now could be read.

        Parameters
        ----------
        counts : Counts
        """
        self._torn.see(counts)

    def told(self, message: Tick | LinkLost | LinkBack) -> Missed | None:
        """Note that nothing came, or what became of the link.

        Parameters
        ----------
        message : Tick, LinkLost or LinkBack

        Returns
        -------
        Missed or None
            As of `arrived`, where the link is back.
        """
        match message:
            case Tick():
                self._tick(message.t_s)
            case LinkLost():
                self.lost = message.sentence
                self.absence.lost(self.now_s)
            case LinkBack():
                self.lost = ""
                self.absence.back()
                return LINK_LOST, message.seconds
            case _:
                assert_never(message)
        return None

    def _tick(self, t_s: float) -> None:
        self.now_s = max(self.now_s, t_s)
        if self._silence.tick(self.now_s) and not self.lost:
            self.lost = NOTHING_COMES

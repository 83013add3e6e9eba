"""Pauses and lost links -> why nothing is weighed, and for how long."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.station.bench.silence import RENEW_S

if TYPE_CHECKING:
    from weighstation.station.bench.loaf_bench import LoafBench
    from weighstation.station.bench.loop import Bench
    from weighstation.station.bench.silence import Silence

PAUSED = "paused"
LINK_LOST = "the link to the scale was lost"
SILENT = "nothing came from the scale"
UNSEEN = "; a load lay on the pan unseen"


def gap_text(why: str, bench: Bench | LoafBench) -> str:
    """Return what the line of a gap says.

    Parameters
    ----------
    why : str
    bench : Bench or LoafBench
        As the gap found it.

    Returns
    -------
    str
    """
    return why + UNSEEN if bench.is_loaded else why


class Absence:
    """Since when the bench has been paused, or its link lost.

    Parameters
    ----------
    silence : Silence
        Whether the scale has fallen silent on its own.
    """

    def __init__(self, silence: Silence) -> None:
        self._silence = silence
        self._paused_s: float | None = None
        self._lost_s: float | None = None

    def paused(self, now_s: float) -> None:
        """Note that a person has paused.

        Parameters
        ----------
        now_s : float, seconds
        """
        self._paused_s = now_s

    def gone_on(self) -> None:
        """Note that a person goes on."""
        self._paused_s = None

    def lost(self, now_s: float) -> None:
        """Note that the link was lost, or still is.

        Parameters
        ----------
        now_s : float, seconds
        """
        if self._lost_s is None:
            self._lost_s = now_s

    def back(self) -> None:
        """Note that the link is back; a silence from now on is another one."""
        self._lost_s = None
        self._silence.begin_again()

    def why(self, now_s: float) -> tuple[str, float]:
        """Return why nothing is weighed now, and for how many seconds that has been so.

        Parameters
        ----------
        now_s : float, seconds

        Returns
        -------
        str
            Empty where the bench weighs.
        float, seconds
        """
        if self._paused_s is not None:
            return PAUSED, now_s - self._paused_s
        if self._lost_s is not None:
            return LINK_LOST, now_s - self._lost_s
        silent_s = self._silence.seconds(now_s)
        if self._silence.is_silent and silent_s >= RENEW_S:
            return SILENT, silent_s
        return "", 0.0

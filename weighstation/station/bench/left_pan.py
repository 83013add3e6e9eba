"""The pan before and now -> when it has been emptied, and what left it is to be forgotten."""

from __future__ import annotations

from enum import Enum

from weighstation.detect import Pan

SHOWN_S = 1.5
"""How long the panel says what has left the pan."""


class PanNews(Enum):
    """What is new of a pan."""

    NOTHING = "nothing"
    EMPTIED = "emptied"
    FORGET = "forget what left it"


class LeftPan:
    """How long ago the pan was emptied."""

    def __init__(self) -> None:
        self._left_s: float | None = None

    def follow(self, before: Pan, now: Pan, t_s: float) -> PanNews:
        """Return what is new of the pan.

        Parameters
        ----------
        before, now : Pan
        t_s : float, seconds
            Now.

        Returns
        -------
        PanNews
            What left it is forgotten after a moment, or as soon as something else comes.
        """
        if now is not Pan.EMPTY:
            self._left_s = None
            return PanNews.FORGET if before is Pan.EMPTY else PanNews.NOTHING
        if before is not Pan.EMPTY:
            self._left_s = t_s
            return PanNews.EMPTIED
        if self._left_s is None or t_s - self._left_s <= SHOWN_S:
            return PanNews.NOTHING
        self._left_s = None
        return PanNews.FORGET

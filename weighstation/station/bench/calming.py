"""Cues as they come -> one that a person can read.

A provisional cue changes with every line of the scale while the display climbs. Its word is worth
showing at once, its figure only when the display has slowed down. While a hand adds or trims, what
the display passes through is worth nothing. A firm cue is shown as it is, at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.events import Cue
    from weighstation.specification import Limits

LEAST_DIVISIONS = 2
SHARE_OF_BAND = 8
"""A display that moves by no more than an eighth of the band from line to line can be read."""
AFTER_TOUCH_LINES = 2
"""So many slow lines must follow one another before a hand is taken to be done."""


class Calming:
    """What is shown of the load on the pan.

    Parameters
    ----------
    limits : Limits

    Attributes
    ----------
    cue : Cue or None
        Whose word is shown.
    slowed : bool
        Whether its figure is shown too; always so of a firm one.
    """

    def __init__(self, limits: Limits) -> None:
        self.cue: Cue | None = None
        self.slowed = True
        self._slack_mg = (limits.under_mg + limits.over_mg) // SHARE_OF_BAND
        self._newest: Cue | None = None
        self._firm: Cue | None = None
        self._indicated_mg: int | None = None
        self._slow_lines = 0

    def feed(self, cue: Cue | None, indicated_mg: int | None, division_mg: int) -> None:
        """Take in what a line of the scale led to.

        Parameters
        ----------
        cue : Cue or None
            None where it said nothing new.
        indicated_mg : int, milligrams, or None
            What the scale indicated; None where it was no weight.
        division_mg : int, milligrams
        """
        self._slow_lines = self._slow_lines + 1 if self._is_slow(indicated_mg, division_mg) else 0
        self._indicated_mg = indicated_mg
        is_first = self._newest is None
        if cue and self._newest and cue.touch != self._newest.touch:
            self._slow_lines = 0
        self._newest = cue or self._newest
        if self._newest is None:
            return
        if self._newest.firm:
            self.cue = self._firm = self._newest
            self.slowed = True
        elif self._newest.touch == 0:
            self._arriving(self._newest, is_first=is_first)
        else:
            self._worked_on(self._newest)

    def _arriving(self, cue: Cue, *, is_first: bool) -> None:
        """Show the word at once and keep it; the figure, and another word, once it slows down."""
        self.slowed = self._slow_lines > 0
        if self.slowed or is_first:
            self.cue = cue

    def _worked_on(self, cue: Cue) -> None:
        """Show nothing of a hand that adds or trims, until the display has slowed for good."""
        self.slowed = True
        self.cue = cue if self._slow_lines >= AFTER_TOUCH_LINES else self._firm

    def left(self) -> None:
        """Note that the load has left: only what was firm of it is remembered."""
        self.cue, self.slowed = self._firm, True
        self._newest = None

    def clear(self) -> None:
        """Forget the load."""
        self.cue = self._newest = self._firm = None
        self.slowed = True

    def _is_slow(self, indicated_mg: int | None, division_mg: int) -> bool:
        before_mg = self._indicated_mg
        if before_mg is None or indicated_mg is None:
            return False
        slack_mg = max(LEAST_DIVISIONS * division_mg, self._slack_mg)
        return abs(indicated_mg - before_mg) <= slack_mg

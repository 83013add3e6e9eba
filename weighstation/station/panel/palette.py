"""Colours of the panel, by what they are for; colour repeats what a word or a shape has said.

They are Okabe and Ito's, chosen to stay apart for people with any kind of colour vision
(Color Universal Design, 2008), on a warm near-black of ours. Without colour the same places are
told apart by bold and reverse.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.style import Style

from weighstation.events import Verdict
from weighstation.plan.boards.rest import Rested

if TYPE_CHECKING:
    from weighstation.events import Cue

BLACK = "#000000"
WHITE = "#ffffff"
BLUE = "#0072b2"
VERMILLION = "#d55e00"
ORANGE = "#e69f00"
SKY = "#56b4e9"
YELLOW = "#f0e442"
PURPLE = "#cc79a7"
CRUMB = "#fff6e5"
CRUST = "#1a1410"
FLOUR = "#c9bba6"


@dataclass(frozen=True, slots=True)
class Palette:
    """One style for each purpose.

    Parameters
    ----------
    ground, plain, quiet, strong : Style
        Behind everything, ordinary text, labels and lines, what is to be read first.
    keep, keep_soon, add, trim, odd : Style
        The big letters of a cue; keep fills its place once it is firm; ``odd`` is for what is
        neither: one at a time, cut again.
    alarm, ask, key : Style
        What cannot be missed, what waits for a second press, and the name of a key.
    """

    ground: Style
    plain: Style
    quiet: Style
    strong: Style
    keep: Style
    keep_soon: Style
    add: Style
    trim: Style
    odd: Style
    alarm: Style
    ask: Style
    key: Style

    def cue(self, cue: Cue) -> Style:
        """Return the style of a cue.

        Parameters
        ----------
        cue : Cue

        Returns
        -------
        Style
        """
        if cue.verdict is Verdict.KEEP:
            return self.keep if cue.firm else self.keep_soon
        if cue.cut_again or cue.verdict is Verdict.ONE_AT_A_TIME:
            return self.odd
        return self.add if cue.verdict is Verdict.ADD else self.trim

    def rest(self, rested: Rested) -> Style:
        """Return the style of the word for a rest.

        Parameters
        ----------
        rested : Rested

        Returns
        -------
        Style
        """
        match rested:
            case Rested.TOO_SHORT:
                return self.quiet
            case Rested.READY:
                return self.keep
            case Rested.TOO_LONG:
                return self.alarm


IN_COLOUR = Palette(
    ground=Style(color=CRUMB, bgcolor=CRUST),
    plain=Style(color=CRUMB, bgcolor=CRUST),
    quiet=Style(color=FLOUR, bgcolor=CRUST),
    strong=Style(color=CRUMB, bgcolor=CRUST, bold=True),
    keep=Style(color=WHITE, bgcolor=BLUE, bold=True),
    keep_soon=Style(color=SKY, bgcolor=CRUST, bold=True),
    add=Style(color=YELLOW, bgcolor=CRUST, bold=True),
    trim=Style(color=VERMILLION, bgcolor=CRUST, bold=True),
    odd=Style(color=PURPLE, bgcolor=CRUST, bold=True),
    alarm=Style(color=BLACK, bgcolor=ORANGE, bold=True),
    ask=Style(color=BLACK, bgcolor=PURPLE, bold=True),
    key=Style(color=CRUST, bgcolor=FLOUR, bold=True),
)
WITHOUT_COLOUR = Palette(
    ground=Style(),
    plain=Style(),
    quiet=Style(),
    strong=Style(bold=True),
    keep=Style(reverse=True),
    keep_soon=Style(bold=True),
    add=Style(bold=True),
    trim=Style(bold=True),
    odd=Style(bold=True),
    alarm=Style(reverse=True, bold=True),
    ask=Style(reverse=True, bold=True),
    key=Style(reverse=True),
)

"""Colours of the panel, by what they are for; colour repeats what a word or a shape has said.

The eight are Okabe and Ito's, chosen to stay apart for people with any kind of colour vision
(Color Universal Design, 2008), on a warm near-black of ours. Without colour the same places are
told apart by bold, dim and reverse.
"""

from __future__ import annotations

from dataclasses import dataclass

from rich.style import Style

from weighstation.events import Verdict

BLACK = "#000000"
BLUE = "#0072b2"
VERMILLION = "#d55e00"
ORANGE = "#e69f00"
GREEN = "#009e73"
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
    keep, add, trim, odd : Style
        The big letters of a cue; ``odd`` is for what is neither: one at a time, cut again.
    alarm, ask : Style
        What cannot be missed, and what waits for a second press.
    """

    ground: Style
    plain: Style
    quiet: Style
    strong: Style
    keep: Style
    add: Style
    trim: Style
    odd: Style
    alarm: Style
    ask: Style

    def cue(self, verdict: Verdict, *, cut_again: bool) -> Style:
        """Return the style of a cue.

        Parameters
        ----------
        verdict : Verdict
        cut_again : bool

        Returns
        -------
        Style
        """
        if cut_again and verdict is not Verdict.KEEP:
            return self.odd
        by_verdict = {Verdict.KEEP: self.keep, Verdict.ADD: self.add, Verdict.TRIM: self.trim}
        return by_verdict.get(verdict, self.odd)


IN_COLOUR = Palette(
    ground=Style(color=CRUMB, bgcolor=CRUST),
    plain=Style(color=CRUMB, bgcolor=CRUST),
    quiet=Style(color=FLOUR, bgcolor=CRUST),
    strong=Style(color=CRUMB, bgcolor=CRUST, bold=True),
    keep=Style(color="#ffffff", bgcolor=BLUE, bold=True),
    add=Style(color=ORANGE, bgcolor=CRUST, bold=True),
    trim=Style(color=VERMILLION, bgcolor=CRUST, bold=True),
    odd=Style(color=PURPLE, bgcolor=CRUST, bold=True),
    alarm=Style(color=BLACK, bgcolor=YELLOW, bold=True),
    ask=Style(color=BLACK, bgcolor=ORANGE, bold=True),
)
WITHOUT_COLOUR = Palette(
    ground=Style(),
    plain=Style(),
    quiet=Style(dim=True),
    strong=Style(bold=True),
    keep=Style(reverse=True),
    add=Style(bold=True),
    trim=Style(bold=True),
    odd=Style(bold=True),
    alarm=Style(reverse=True, bold=True),
    ask=Style(reverse=True, bold=True),
)

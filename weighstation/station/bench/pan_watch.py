"""What the empty pan shows -> that it came to show something else, all at once.

A tare key pressed with a scraper on the pan leaves the empty pan at minus its weight. Pieces are
differences to the empty pan, so what is counted holds; whoever reads the scale's own display cuts
wrong by that weight.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import PanShifted
from weighstation.quantities import grams_text

if TYPE_CHECKING:
    from weighstation.specification import Limits

DIVISIONS = 5
"""Flour that one piece leaves, and what a scale wanders, stay below this (house figure)."""


class PanWatch:
    """Compares what the empty pan showed under each piece with what it showed under the last.

    Parameters
    ----------
    limits : Limits
    """

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._before_mg: int | None = None

    def feed(self, empty_mg: int, after: int, division_mg: int) -> PanShifted | None:
        """Take in what the empty pan showed under a piece.

        Parameters
        ----------
        empty_mg : int, milligrams
        after : int
            Number of the piece before.
        division_mg : int, milligrams

        Returns
        -------
        PanShifted or None
            None while it is about as before.
        """
        before_mg, self._before_mg = self._before_mg, empty_mg
        if before_mg is None:
            before_mg = 0  # what a scale shows that was set to zero
        room_mg = min(self._limits.under_mg, self._limits.over_mg)
        least_mg = max(DIVISIONS * division_mg, room_mg)
        if abs(empty_mg - before_mg) < least_mg:
            return None
        return PanShifted(before_mg, empty_mg, after)


def shifted_text(said: PanShifted, division_mg: int) -> str:
    """Return what the panel says of it, in one plain sentence.

    Parameters
    ----------
    said : PanShifted
    division_mg : int, milligrams

    Returns
    -------
    str
    """
    was, now = (grams_text(mg, division_mg) for mg in (said.from_mg, said.to_mg))
    return f"The empty pan shows {now} g, and showed {was} g: clear it, and zero the scale."

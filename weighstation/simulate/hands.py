"""A pair of hands: how a baker cuts, waits and corrects, and how often something odd happens."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.specification import Way

if TYPE_CHECKING:
    from random import Random


@dataclass(frozen=True, slots=True)
class Span:
    """A length of time that varies as people's do: lognormal between two ends.

    Parameters
    ----------
    median_s : float, seconds
    spread : float
        Standard deviation of the logarithm.
    least_s, most_s : float, seconds
    """

    median_s: float
    spread: float
    least_s: float
    most_s: float

    def draw(self, rng: Random) -> float:
        """Return one length.

        Parameters
        ----------
        rng : Random

        Returns
        -------
        float, seconds
        """
        drawn = self.median_s * math.exp(rng.gauss(0.0, self.spread))
        return min(self.most_s, max(self.least_s, drawn))


@dataclass(frozen=True, slots=True)
class Habits:
    """How often something else than a plain piece happens; shares from 0 to 1.

    Parameters
    ----------
    hand_rests : float, share of placings
        The hand stays on the piece for a moment.
    prods : float, share of pieces
        A press that changes nothing.
    knocks : float, share of pauses
        The bench is knocked, with the pan loaded or empty.
    doubles : float, share of pieces
        Two pieces at once, then one is taken off.
    tares : float, share of pieces
        The tare key is pressed while the piece lies there.
    lifts : float, share of corrections
        Made away from the pan: the piece is lifted, corrected and brought back.
    boards_anyway : float, share of pieces out of band
        Boarded as it is.
    discards : float, share of pieces out of band
        Thrown back into the trough.
    tray_offs : float, share of gaps
        The tared tray is taken off and put back.
    overloads : float, share of gaps
        Someone leans on the pan.
    residue_g : float, grams
        Most flour that one piece leaves on the pan.
    wipes : float, share of gaps
        The pan is wiped.
    knock_g : float, parts of gravity
        Peak acceleration of a knock.
    sticks : float, share of lifts
        The dough clings to the pan, and the pan follows it up for a moment.
    """

    hand_rests: float = 0.15
    prods: float = 0.0
    knocks: float = 0.0
    doubles: float = 0.0
    tares: float = 0.0
    lifts: float = 0.0
    boards_anyway: float = 0.0
    discards: float = 0.0
    tray_offs: float = 0.0
    overloads: float = 0.0
    residue_g: float = 0.0
    wipes: float = 0.0
    knock_g: float = 0.03
    sticks: float = 0.0


@dataclass(frozen=True, slots=True)
class HandsSpec:
    """A baker at work on one product.

    Parameters
    ----------
    target_g, under_g, over_g : float, grams
        Scaling weight and band.
    way : Way
    bias, spread : float, fractions of the target
        Mean error and standard deviation of the first cut.
    miss : float, fraction of the error
        Standard deviation of what a correction leaves; never more than half of the error.
    rest, gap : Span
        Waiting for the display; the time between two pieces.
    pace : float
        Length of strokes; 1 is usual, less is faster.
    placing_s : tuple of 2 float, seconds
        How long setting a piece down takes at the usual pace, at least and at most.
    most_touches : int
        After so many the piece is taken as it is.
    habits : Habits
    tray_g : float, grams
        A tray or board under the pieces; 0 for none.
    board_pieces : int
        Pieces on a board (build-up) or in a bulk (take-away).
    tare_each : bool
        The tare key is pressed after each piece (build-up, take-away) or board.
    """

    target_g: float = 740.0
    under_g: float = 8.0
    over_g: float = 8.0
    way: Way = Way.SINGLE
    bias: float = 0.004
    spread: float = 0.02
    miss: float = 0.2
    rest: Span = Span(1.35, 0.3, 0.6, 2.5)
    gap: Span = Span(3.2, 0.3, 2.0, 6.0)
    pace: float = 1.0
    placing_s: tuple[float, float] = (0.1, 0.3)
    most_touches: int = 4
    habits: Habits = field(default_factory=Habits)
    tray_g: float = 0.0
    board_pieces: int = 6
    tare_each: bool = False

    def __post_init__(self) -> None:
        """Refuse a band that cannot be cut to."""
        if self.target_g <= 0 or min(self.under_g, self.over_g) < 0:
            raise SpecificationError("The scaling weight must be above 0 g and the band not less.")

    def verdict(self, net_g: float, division_g: float) -> int:
        """Return -1, 0 or 1: what the display tells the baker, light, in band or heavy.

        Parameters
        ----------
        net_g, division_g : float, grams

        Returns
        -------
        int
        """
        shown = round(net_g / division_g) * division_g
        slack = 1e-6
        if shown < self.target_g - self.under_g - slack:
            return -1
        return 1 if shown > self.target_g + self.over_g + slack else 0

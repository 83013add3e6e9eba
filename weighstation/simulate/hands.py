"""A pair of hands: how a baker cuts, places, corrects and lifts."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.simulate.strokes import Key, Stroke
from weighstation.specification import Way

if TYPE_CHECKING:
    from collections.abc import Iterator
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


class Gestures:
    """The strokes of one pair of hands.

    Parameters
    ----------
    hands : HandsSpec
    rng : Random
    """

    def __init__(self, hands: HandsSpec, rng: Random) -> None:
        self._hands = hands
        self._rng = rng

    def wait(self, seconds: float) -> Iterator[Stroke]:
        """Hands off for so long.

        Parameters
        ----------
        seconds : float, seconds

        Yields
        ------
        Stroke
        """
        yield Stroke(seconds)

    def place(
        self, onto_g: float, net_g: float, *, lingers: bool = False, knocked: bool = False
    ) -> Iterator[Stroke]:
        """Put a load down, perhaps leave the hand on it, let go.

        Parameters
        ----------
        onto_g, net_g : float, grams
            What is on the pan already, and what is put there.
        lingers : bool
            The hand stays on it for a moment.
        knocked : bool
            The bench is knocked just then.

        Yields
        ------
        Stroke
        """
        rng = self._rng
        press = rng.uniform(10.0, 40.0)
        tremor = rng.uniform(2.0, 8.0)
        hz = rng.uniform(7.5, 11.0)
        impact = rng.uniform(0.05, 0.3) * net_g
        seconds = self._takes(0.1, 0.3)
        yield Stroke(seconds, onto_g + net_g, press, impact, tremor, hz, held=True)
        if knocked:
            yield from self.knock()
        if lingers:
            yield Stroke(rng.uniform(0.3, 1.0), None, press, 0.0, tremor, hz, held=True)
        else:
            yield Stroke(self._takes(0.03, 0.2), None, press, 0.0, tremor, hz, held=True)
        yield self._let_go()

    def trim(self, to_g: float, change_g: float) -> Iterator[Stroke]:
        """Pinch a bit off: steady the load, pull, let go.

        Parameters
        ----------
        to_g : float, grams
            Everything on the pan afterwards.
        change_g : float, grams
            How much comes off.

        Yields
        ------
        Stroke
        """
        rng = self._rng
        press = rng.uniform(5.0, 60.0)
        hz = rng.uniform(7.5, 11.0)
        pull = rng.uniform(30.0, 160.0) + 2 * abs(change_g)
        yield Stroke(self._takes(0.1, 0.3), None, press, 0.0, rng.uniform(2, 6), hz, held=True)
        yield Stroke(self._takes(0.2, 0.45), to_g, press, -pull, rng.uniform(3, 9), hz, held=True)
        yield self._let_go()

    def add(self, to_g: float) -> Iterator[Stroke]:
        """Press a bit onto the load, let go.

        Parameters
        ----------
        to_g : float, grams
            Everything on the pan afterwards.

        Yields
        ------
        Stroke
        """
        rng = self._rng
        press = rng.uniform(5.0, 50.0)
        hz = rng.uniform(7.5, 11.0)
        bump = rng.uniform(60.0, 300.0)
        yield Stroke(self._takes(0.15, 0.35), to_g, press, bump, rng.uniform(2, 8), hz, held=True)
        yield Stroke(self._takes(0.05, 0.25), None, press, bump / 3, 3.0, hz, held=True)
        yield self._let_go()

    def cut(self, to_g: float) -> Iterator[Stroke]:
        """Press a scraper through a dough on the pan and take the piece away.

        Parameters
        ----------
        to_g : float, grams
            What stays on the pan.

        Yields
        ------
        Stroke
        """
        rng = self._rng
        press = rng.uniform(200.0, 900.0)
        hz = rng.uniform(7.5, 11.0)
        pull = rng.uniform(20.0, 150.0)
        yield Stroke(self._takes(0.25, 0.5), None, 30.0, press, 10.0, hz, held=True)
        yield Stroke(self._takes(0.2, 0.5), to_g, 15.0, -pull, 6.0, hz, held=True)
        yield self._let_go()

    def prod(self) -> Iterator[Stroke]:
        """Press the load without changing it.

        Yields
        ------
        Stroke
        """
        bump = self._rng.uniform(30.0, 250.0)
        yield Stroke(self._takes(0.15, 0.4), None, 5.0, bump, 4.0, held=True)
        yield self._let_go()

    def lift(self, to_g: float) -> Iterator[Stroke]:
        """Take a load off; the dough sticks a little.

        Parameters
        ----------
        to_g : float, grams
            What stays on the pan.

        Yields
        ------
        Stroke
        """
        rng = self._rng
        grip = rng.uniform(0.0, 60.0)
        stick = rng.uniform(0.0, 80.0)
        yield Stroke(self._takes(0.05, 0.12), None, grip, 0.0, 3.0, held=True)
        yield Stroke(self._takes(0.1, 0.2), to_g, 0.0, -stick, 0.0, held=True)

    def knock(self) -> Iterator[Stroke]:
        """Knock the bench.

        Yields
        ------
        Stroke
        """
        rng = self._rng
        shake = self._hands.habits.knock_g * rng.uniform(0.4, 1.6)
        yield Stroke(rng.uniform(0.12, 0.35), shake_g=shake, shake_hz=rng.uniform(8.0, 20.0))

    def wipe(self, to_g: float) -> Iterator[Stroke]:
        """Wipe the pan.

        Parameters
        ----------
        to_g : float, grams
            What stays on the pan.

        Yields
        ------
        Stroke
        """
        for place in range(3):
            bump = self._rng.uniform(80.0, 400.0)
            load = to_g if place == 0 else None
            yield Stroke(self._rng.uniform(0.15, 0.3), load, 0.0, bump, 10.0, held=True)

    def lean(self, push_g: float) -> Iterator[Stroke]:
        """Lean on the pan until the scale says that it is too much.

        Parameters
        ----------
        push_g : float, grams of force

        Yields
        ------
        Stroke
        """
        yield Stroke(0.3, None, push_g, 0.0, 20.0, held=True)
        yield Stroke(self._rng.uniform(0.8, 1.5), None, push_g, 0.0, 30.0, held=True)
        yield Stroke(0.25, None, 0.0, 0.0, 10.0, held=True)

    def press(self, key: Key) -> Iterator[Stroke]:
        """Press a key of the scale.

        Parameters
        ----------
        key : Key

        Yields
        ------
        Stroke
        """
        yield Stroke(0.15, bump_g=self._rng.uniform(5.0, 30.0), key=key)

    def _let_go(self) -> Stroke:
        return Stroke(self._takes(0.05, 0.13), None, 0.0, 0.0, 1.0, held=True)

    def _takes(self, least_s: float, most_s: float) -> float:
        return self._rng.uniform(least_s, most_s) * self._hands.pace

"""Gestures -> strokes: what a pair of hands does to the pan."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.simulate.strokes import Key, Stroke

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

    from weighstation.simulate.hands import HandsSpec

_STEP_S = 0.1
_CORRELATED_S = 0.3
_STRINGS_G = 15.0


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
        press = rng.uniform(10.0, 150.0 if lingers else 40.0)
        tremor = rng.uniform(2.0, 8.0)
        hz = rng.uniform(7.5, 11.0)
        impact = rng.uniform(0.05, 0.3) * net_g
        seconds = self._takes(*self._hands.placing_s)
        impact *= min(1.0, 0.3 / seconds)
        yield Stroke(seconds, onto_g + net_g, press, impact, tremor, hz, held=True)
        if knocked:
            yield from self.knock()
        if lingers:
            yield from self.rest(press, tremor, hz)
        else:
            yield Stroke(self._takes(0.03, 0.2), None, press, 0.0, tremor, hz, held=True)
        yield self._let_go()

    def rest(self, press_g: float, tremor_g: float, tremor_hz: float) -> Iterator[Stroke]:
        """Let a hand lie on the load for a moment; its push wanders, as no hand is a weight.

        Parameters
        ----------
        press_g : float, grams of force
            Its mean push.
        tremor_g, tremor_hz : float, grams of force, hertz

        Yields
        ------
        Stroke

        Notes
        -----
        A lightly resting hand wanders by 10 to 30 % of its push within a second, mostly below
        3 Hz (physiology, from memory): here a first-order random walk with a correlation time of
        0.3 s, which has 89 % of its power there, (2 / pi) atan(2 pi 3 Hz 0.3 s).
        """
        rng = self._rng
        wander_g = press_g * rng.uniform(0.1, 0.3)
        off_g = rng.gauss(0.0, wander_g)
        keep = math.exp(-_STEP_S / _CORRELATED_S)
        for step in range(round(rng.uniform(0.3, 1.0) / _STEP_S)):
            off_g = keep * off_g + math.sqrt(1 - keep * keep) * rng.gauss(0.0, wander_g)
            yield Stroke(
                _STEP_S,
                hand_g=max(0.0, press_g + off_g),
                tremor_g=tremor_g,
                tremor_hz=tremor_hz,
                tremor_from=step * _STEP_S * tremor_hz,
                held=True,
            )

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

    def lift(self, to_g: float, *, sticks: bool = False) -> Iterator[Stroke]:
        """Take a load off; the dough sticks a little, or clings.

        Parameters
        ----------
        to_g : float, grams
            What stays on the pan.
        sticks : bool
            The dough clings: it is pulled at first, and the pan follows it up at last.

        Yields
        ------
        Stroke
        """
        rng = self._rng
        grip = rng.uniform(0.0, 60.0)
        stick = rng.uniform(0.0, 80.0)
        yield Stroke(self._takes(0.05, 0.12), None, grip, 0.0, 3.0, held=True)
        if sticks:
            yield from self._peel(to_g)
        else:
            yield Stroke(self._takes(0.1, 0.2), to_g, 0.0, -stick, 0.0, held=True)

    def _peel(self, to_g: float) -> Iterator[Stroke]:
        """Pull at dough that clings; strings of it hold the pan up after the load has gone.

        They hold in proportion to the area that clings, the two-thirds power of the mass.
        """
        rng, target_g = self._rng, self._hands.target_g
        area = min(1.0, (target_g / 740.0) ** (2 / 3))
        strings_g = -area * rng.uniform(3.0, _STRINGS_G)
        pull_g = target_g * rng.uniform(0.03, 0.3)
        yield Stroke(self._takes(0.15, 0.4), hand_g=-pull_g, held=True)
        yield Stroke(self._takes(0.1, 0.25), to_g, strings_g, held=True)
        yield Stroke(self._takes(0.1, 0.5), hand_g=strings_g * rng.uniform(0.5, 1.0), held=True)
        yield Stroke(0.05, held=True)

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

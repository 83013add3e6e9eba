"""What a baker does whichever the way of weighing: cut, wait, correct, write down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.simulate.gestures import Gestures

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

    from weighstation.simulate.hands import HandsSpec
    from weighstation.simulate.ledger import Ledger
    from weighstation.simulate.strokes import Stroke


class Craft:
    """The habits of one baker.

    Parameters
    ----------
    hands : HandsSpec
    division_g : float, grams
        What the display can show.
    ledger : Ledger
        Where the truth is written.
    rng : Random
    """

    def __init__(self, hands: HandsSpec, division_g: float, ledger: Ledger, rng: Random) -> None:
        self.hands = hands
        self.division_g = division_g
        self.ledger = ledger
        self.rng = rng
        self.do = Gestures(hands, rng)

    def happens(self, share: float, fact: str = "") -> bool:
        """Return whether something happens this time, and count it under its name.

        Parameters
        ----------
        share : float, share of the times
        fact : str
            Its name; empty if it is not worth counting.

        Returns
        -------
        bool
        """
        if share <= 0 or self.rng.random() >= share:
            return False
        if fact:
            self.ledger.note(fact)
        return True

    def first_cut(self) -> float:
        """Return the weight of a first cut.

        Returns
        -------
        float, grams
        """
        hands = self.hands
        drawn = self.rng.gauss(1 + hands.bias, hands.spread)
        return round(hands.target_g * min(1.5, max(0.5, drawn)), 3)

    def is_in_band(self, net_g: float) -> bool:
        """Return whether the display says keep.

        Parameters
        ----------
        net_g : float, grams

        Returns
        -------
        bool
        """
        return self.hands.verdict(net_g, self.division_g) == 0

    def corrected(self, net_g: float) -> float:
        """Return what a piece weighs after one more try: nearer to the target.

        Parameters
        ----------
        net_g : float, grams

        Returns
        -------
        float, grams
        """
        hands = self.hands
        error = net_g - hands.target_g
        miss = self.rng.gauss(0.0, hands.miss * abs(error) + 0.1 * min(hands.under_g, hands.over_g))
        most = 0.5 * abs(error)
        return round(hands.target_g + min(most, max(-most, miss)), 3)

    def pause(self, seconds: float) -> Iterator[Stroke]:
        """Wait, hands off; the bench may be knocked meanwhile.

        Parameters
        ----------
        seconds : float, seconds

        Yields
        ------
        Stroke
        """
        if not self.happens(self.hands.habits.knocks, "knock"):
            yield from self.do.wait(seconds)
            return
        before = seconds * self.rng.random()
        yield from self.do.wait(before)
        yield from self.do.knock()
        yield from self.do.wait(seconds - before)

    def read_display(self) -> Iterator[Stroke]:
        """Wait for the display to settle.

        Yields
        ------
        Stroke
        """
        yield from self.pause(self.hands.rest.draw(self.rng))

    def maybe_prod(self) -> Iterator[Stroke]:
        """Press the piece for no reason, now and then, and wait again.

        Yields
        ------
        Stroke
        """
        if not self.happens(self.hands.habits.prods, "prod"):
            return
        self.ledger.rest_ends()
        yield from self.do.prod()
        self.ledger.rest_begins()
        yield from self.do.wait(self.hands.rest.draw(self.rng))

    def set_down(self, onto_g: float, net_g: float, *, again: bool = False) -> Iterator[Stroke]:
        """Put a piece on what is there and let go of it.

        Parameters
        ----------
        onto_g, net_g : float, grams
        again : bool
            It was on the pan before and was corrected away from it.

        Yields
        ------
        Stroke
        """
        self.ledger.placed(net_g, again=again)
        lingers = self.happens(self.hands.habits.hand_rests, "hand rests")
        knocked = self.happens(self.hands.habits.knocks / 2, "knock")
        yield from self.do.place(onto_g, net_g, lingers=lingers, knocked=knocked)
        self.ledger.rest_begins()

    def lift(self, to_g: float) -> Iterator[Stroke]:
        """Take dough off the pan; it may cling.

        Parameters
        ----------
        to_g : float, grams
            What stays on the pan.

        Yields
        ------
        Stroke
        """
        sticks = self.happens(self.hands.habits.sticks, "sticky lift")
        yield from self.do.lift(to_g, sticks=sticks)

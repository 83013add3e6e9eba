"""The usual way: each piece comes onto the empty pan, is corrected there, and leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.simulate.hands import Gestures, HandsSpec
from weighstation.simulate.ledger import Fate, Ledger
from weighstation.simulate.strokes import Key, Stroke

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random


class SingleBaker:
    """A baker who empties the pan between pieces.

    Parameters
    ----------
    hands : HandsSpec
    division_g : float, grams
        What the display can show.
    ledger : Ledger
    rng : Random
    """

    def __init__(self, hands: HandsSpec, division_g: float, ledger: Ledger, rng: Random) -> None:
        self._hands = hands
        self._habits = hands.habits
        self._division_g = division_g
        self._ledger = ledger
        self._rng = rng
        self._do = Gestures(hands, rng)
        self._under_g = hands.tray_g
        self._flour_g = 0.0
        self._next_g: float | None = None
        self._tared = False

    def work(self, pieces: int) -> Iterator[Stroke]:
        """Yield the strokes of a morning; the truth goes into the ledger as they are played.

        Parameters
        ----------
        pieces : int

        Yields
        ------
        Stroke
        """
        yield from self._make_ready()
        while self._ledger.pieces < pieces:
            yield from self._piece()
            yield from self._between()
        yield from self._do.wait(1.5)

    @property
    def _floor_g(self) -> float:
        """What lies on the pan besides the piece: tray and flour."""
        return self._under_g + self._flour_g

    def _make_ready(self) -> Iterator[Stroke]:
        yield from self._do.wait(self._rng.uniform(1.2, 2.5))
        if self._under_g:
            yield Stroke(0.3, self._under_g, 0.0, 40.0, 5.0, held=True)
            yield from self._do.wait(2.0)
            yield from self._do.press(Key.TARE)
            yield from self._do.wait(2.0)

    def _chance(self, share: float) -> bool:
        return share > 0 and self._rng.random() < share

    def _cut(self) -> float:
        """Return a first cut, or the other half of a double."""
        if self._next_g is not None:
            net_g, self._next_g = self._next_g, None
            return net_g
        hands = self._hands
        drawn = self._rng.gauss(1 + hands.bias, hands.spread)
        return round(hands.target_g * min(1.5, max(0.5, drawn)), 3)

    def _piece(self) -> Iterator[Stroke]:
        net_g = self._cut()
        twice = self._next_g is None and self._chance(self._habits.doubles)
        other_g = self._cut() if twice else 0.0
        yield from self._onto_pan(net_g + other_g)
        yield from self._rest()
        if twice:
            yield from self._take_one_off(net_g, other_g)
            yield from self._rest()
        elif self._chance(self._habits.tares):
            self._ledger.note("tare")
            yield from self._press_tare()
        yield from self._correct(net_g)

    def _onto_pan(self, net_g: float, *, again: bool = False) -> Iterator[Stroke]:
        self._ledger.placed(net_g, again=again)
        lingers = self._chance(self._habits.hand_rests)
        if lingers:
            self._ledger.note("hand rests")
        yield from self._do.place(self._floor_g, net_g, lingers=lingers)

    def _rest(self) -> Iterator[Stroke]:
        """Wait for the display, hands off; a knock or a prod may come into it."""
        self._ledger.rest_begins()
        seconds = self._hands.rest.draw(self._rng)
        yield from self._pause(seconds)
        self._ledger.rest_ends()
        if self._chance(self._habits.prods):
            self._ledger.note("prod")
            yield from self._do.prod()
            self._ledger.rest_begins()
            yield from self._do.wait(self._hands.rest.draw(self._rng))
            self._ledger.rest_ends()

    def _pause(self, seconds: float) -> Iterator[Stroke]:
        if not self._chance(self._habits.knocks):
            yield from self._do.wait(seconds)
            return
        self._ledger.note("knock")
        before = seconds * self._rng.random()
        yield from self._do.wait(before)
        yield from self._do.knock()
        yield from self._do.wait(seconds - before)

    def _press_tare(self) -> Iterator[Stroke]:
        """Press a key by mistake: the bench shakes a little, the weight stays."""
        yield from self._do.press(Key.TARE)
        self._ledger.rest_begins()
        yield from self._do.wait(max(1.2, self._hands.rest.draw(self._rng)))
        self._ledger.rest_ends()
        self._tared = True

    def _take_one_off(self, net_g: float, other_g: float) -> Iterator[Stroke]:
        self._ledger.note("two at once")
        yield from self._do.lift(self._floor_g + net_g)
        self._ledger.touched(net_g)
        self._next_g = other_g

    def _correct(self, net_g: float) -> Iterator[Stroke]:
        """Trim or add until the display says keep, patience ends, or it goes to the bench."""
        touches = 0
        while self._hands.verdict(net_g, self._division_g):
            if touches >= self._hands.most_touches or self._chance(self._habits.boards_anyway):
                yield from self._off_pan(Fate.BOARDED)
                return
            if self._chance(self._habits.discards):
                self._ledger.note("discarded")
                yield from self._off_pan(Fate.DISCARDED)
                return
            touches += 1
            new_g = self._corrected(net_g)
            if self._chance(self._habits.lifts):
                yield from self._to_bench_and_back(new_g)
            else:
                yield from self._touch(net_g, new_g)
            net_g = new_g
            yield from self._rest()
        yield from self._off_pan(Fate.KEPT)

    def _corrected(self, net_g: float) -> float:
        """Return what the piece weighs after one more try: near the target, never worse."""
        error = net_g - self._hands.target_g
        miss = self._rng.gauss(0.0, 0.2 * abs(error) + 0.1 * self._hands.over_g)
        left = min(0.7 * abs(error), max(-0.7 * abs(error), miss))
        return round(self._hands.target_g + left, 3)

    def _touch(self, net_g: float, new_g: float) -> Iterator[Stroke]:
        floor_g = self._floor_g
        if new_g < net_g:
            yield from self._do.trim(floor_g + new_g, net_g - new_g)
        else:
            yield from self._do.add(floor_g + new_g)
        self._ledger.touched(new_g)

    def _to_bench_and_back(self, new_g: float) -> Iterator[Stroke]:
        self._ledger.note("came back")
        yield from self._off_pan(None)
        yield from self._do.wait(self._rng.uniform(1.5, 4.0) * self._hands.pace)
        yield from self._onto_pan(new_g, again=True)

    def _off_pan(self, fate: Fate | None) -> Iterator[Stroke]:
        if self._habits.residue_g:
            more = self._rng.uniform(0.0, self._habits.residue_g)
            self._flour_g = min(3 * self._habits.residue_g, self._flour_g + more)
        yield from self._do.lift(self._floor_g)
        self._ledger.left(fate)

    def _between(self) -> Iterator[Stroke]:
        """Leave the pan while the next piece is cut."""
        seconds = self._hands.gap.draw(self._rng)
        yield from self._pause(0.6 * seconds)
        yield from self._tidy()
        yield from self._do.wait(0.4 * seconds)

    def _tidy(self) -> Iterator[Stroke]:
        habits = self._habits
        if self._tared:
            self._tared = False
            yield from self._do.press(Key.TARE)
            yield from self._do.wait(1.2)
        if self._flour_g and self._chance(habits.wipes):
            self._ledger.note("wipe")
            self._flour_g = 0.0
            yield from self._do.wipe(self._floor_g)
            yield from self._do.wait(0.8)

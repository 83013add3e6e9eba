"""The usual way: each piece comes onto the empty pan, is corrected there, and leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.simulate.hands import Span
from weighstation.simulate.ledger import Fate
from weighstation.simulate.strokes import Key, Stroke

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.simulate.craft import Craft

_TO_BENCH = Span(2.3, 0.3, 1.3, 5.0)


class SingleBaker:
    """A baker who empties the pan between pieces.

    Parameters
    ----------
    craft : Craft
    capacity_g : float, grams
        What the scale can bear.
    """

    def __init__(self, craft: Craft, capacity_g: float) -> None:
        self._craft = craft
        self._do = craft.do
        self._ledger = craft.ledger
        self._habits = craft.hands.habits
        self._capacity_g = capacity_g
        self._tray_g = craft.hands.tray_g
        self._flour_g = 0.0
        self._waiting_g: float | None = None
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
        return self._tray_g + self._flour_g

    def _make_ready(self) -> Iterator[Stroke]:
        yield from self._do.wait(self._craft.rng.uniform(1.2, 2.5))
        if self._tray_g:
            yield from self._do.place(0.0, self._tray_g)
            yield from self._do.wait(2.0)
            yield from self._do.press(Key.TARE)
            yield from self._do.wait(2.0)

    def _piece(self) -> Iterator[Stroke]:
        held_back, self._waiting_g = self._waiting_g, None
        net_g = held_back or self._craft.first_cut()
        if held_back is None and self._craft.happens(self._habits.doubles, "two at once"):
            self._waiting_g = self._craft.first_cut()
        yield from self._craft.set_down(self._floor_g, net_g + (self._waiting_g or 0.0))
        yield from self._craft.read_display()
        if self._waiting_g:
            yield from self._take_one_off(net_g)
        elif self._craft.happens(self._habits.tares, "tare"):
            yield from self._press_tare()
        yield from self._craft.maybe_prod()
        yield from self._correct(net_g)

    def _take_one_off(self, net_g: float) -> Iterator[Stroke]:
        self._ledger.rest_ends()
        yield from self._craft.lift(self._floor_g + net_g)
        self._ledger.touched(net_g)
        self._ledger.rest_begins()
        yield from self._craft.read_display()

    def _press_tare(self) -> Iterator[Stroke]:
        """Press a key by mistake: the bench shakes a little, the weight stays."""
        self._tared = True
        yield from self._do.press(Key.TARE)
        yield from self._do.wait(self._craft.rng.uniform(1.2, 2.2))

    def _correct(self, net_g: float) -> Iterator[Stroke]:
        """Trim or add until the display says keep, patience ends, or it goes to the bench."""
        touches = 0
        while not self._craft.is_in_band(net_g):
            fate = self._gives_up(touches)
            if fate:
                yield from self._off_pan(fate)
                return
            touches += 1
            new_g = self._craft.corrected(net_g)
            if self._craft.happens(self._habits.lifts, "came back"):
                yield from self._to_bench_and_back(new_g)
            else:
                yield from self._touch(net_g, new_g)
            net_g = new_g
            yield from self._craft.read_display()
        yield from self._off_pan(Fate.KEPT)

    def _gives_up(self, touches: int) -> Fate | None:
        if touches >= self._craft.hands.most_touches:
            return Fate.BOARDED
        if self._craft.happens(self._habits.boards_anyway, "boarded out of band"):
            return Fate.BOARDED
        if self._craft.happens(self._habits.discards, "discarded"):
            return Fate.DISCARDED
        return None

    def _touch(self, net_g: float, new_g: float) -> Iterator[Stroke]:
        self._ledger.rest_ends()
        if new_g < net_g:
            yield from self._do.trim(self._floor_g + new_g, net_g - new_g)
        else:
            yield from self._do.add(self._floor_g + new_g)
        self._ledger.touched(new_g)
        self._ledger.rest_begins()

    def _to_bench_and_back(self, new_g: float) -> Iterator[Stroke]:
        yield from self._off_pan(None)
        yield from self._do.wait(_TO_BENCH.draw(self._craft.rng) * self._craft.hands.pace)
        yield from self._craft.set_down(self._floor_g, new_g, again=True)

    def _off_pan(self, fate: Fate | None) -> Iterator[Stroke]:
        self._ledger.rest_ends()
        most_g = self._habits.residue_g
        if most_g:
            self._ledger.note("flour left")
            more_g = self._craft.rng.uniform(0.0, most_g)
            self._flour_g = round(min(4 * most_g, self._flour_g + more_g), 3)
        yield from self._craft.lift(self._floor_g)
        self._ledger.left(fate)

    def _between(self) -> Iterator[Stroke]:
        """Leave the pan while the next piece is cut."""
        seconds = self._craft.hands.gap.draw(self._craft.rng)
        yield from self._craft.pause(0.6 * seconds)
        yield from self._tidy()
        yield from self._do.wait(0.4 * seconds)

    def _tidy(self) -> Iterator[Stroke]:
        """Put right, or wrong, what may be between two pieces."""
        habits, happens = self._habits, self._craft.happens
        if self._tared:
            self._tared = False
            yield from self._do.press(Key.TARE)
            yield from self._do.wait(1.5)
        if self._flour_g and happens(habits.wipes, "wipe"):
            self._flour_g = 0.0
            yield from self._do.wipe(self._floor_g)
            yield from self._do.wait(0.8)
        if self._tray_g and happens(habits.tray_offs, "tray off"):
            yield from self._tray_away_and_back()
        if happens(habits.overloads, "overload"):
            yield from self._do.lean(1.1 * self._capacity_g)
            yield from self._do.wait(1.5)

    def _tray_away_and_back(self) -> Iterator[Stroke]:
        """Take the tared tray away and put it back: the pan goes negative meanwhile."""
        yield from self._do.lift(0.0)
        yield from self._do.wait(self._craft.rng.uniform(1.5, 4.0))
        yield from self._do.place(0.0, self._floor_g)
        yield from self._do.wait(1.5)

"""Ways in which a load stays on the pan: building up a board, taking a dough away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.simulate.ledger import Fate
from weighstation.simulate.strokes import Key, Stroke
from weighstation.specification import Way

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.simulate.craft import Craft


class PileBaker:
    """A baker whose pan is not emptied between pieces.

    Building up, each piece is laid on a board that stands on the scale. Taking away, the dough
    lies on the scale and each piece is what was cut from it; a bit put back makes it lighter.

    Parameters
    ----------
    craft : Craft
        Its way is BUILD_UP or TAKE_AWAY.
    """

    def __init__(self, craft: Craft) -> None:
        self._craft = craft
        self._do = craft.do
        self._ledger = craft.ledger
        self._sign = 1 if craft.hands.way is Way.BUILD_UP else -1
        self._pan_g = 0.0
        self._open = False
        self._fate = Fate.KEPT

    def work(self, pieces: int) -> Iterator[Stroke]:
        """Yield the strokes of a morning; the truth goes into the ledger as they are played.

        Parameters
        ----------
        pieces : int

        Yields
        ------
        Stroke
        """
        yield from self._do.wait(self._craft.rng.uniform(1.2, 2.5))
        while self._ledger.pieces < pieces:
            yield from self._set_up(pieces - self._ledger.pieces)
            for _ in range(min(self._craft.hands.board_pieces, pieces - self._ledger.pieces)):
                yield from self._piece()
            yield from self._clear()
        yield from self._do.wait(1.5)

    def _set_up(self, left: int) -> Iterator[Stroke]:
        """Put the board, or a fresh bulk of dough, on the empty pan."""
        hands = self._craft.hands
        base_g = hands.tray_g
        if self._sign < 0:
            pieces = min(left, hands.board_pieces)
            base_g += hands.target_g * (pieces * (1 + abs(hands.bias)) + 0.6)
        yield from self._do.place(0.0, base_g)
        self._pan_g = base_g
        yield from self._do.wait(self._craft.rng.uniform(2.0, 3.0))
        if hands.tare_each:
            yield from self._press_tare()

    def _press_tare(self) -> Iterator[Stroke]:
        self._ledger.note("tare")
        yield from self._do.press(Key.TARE)
        yield from self._do.wait(self._craft.rng.uniform(1.2, 2.0))

    def _piece(self) -> Iterator[Stroke]:
        net_g = self._craft.first_cut()
        self._close()
        if self._sign > 0:
            yield from self._craft.set_down(self._pan_g, net_g)
        else:
            yield from self._cut_away(net_g)
        self._pan_g += self._sign * net_g
        self._open = True
        yield from self._craft.read_display()
        yield from self._craft.maybe_prod()
        yield from self._correct(net_g)
        yield from self._craft.pause(self._craft.hands.gap.draw(self._craft.rng))
        if self._craft.hands.tare_each:
            yield from self._press_tare()

    def _cut_away(self, net_g: float) -> Iterator[Stroke]:
        """Press the scraper through the dough and take the piece."""
        self._ledger.placed(net_g)
        yield from self._do.cut(self._pan_g - net_g)
        self._ledger.rest_begins()

    def _correct(self, net_g: float) -> Iterator[Stroke]:
        """Trim or add, on the pan, until the display says keep or patience ends."""
        touches = 0
        while not self._craft.is_in_band(net_g) and touches < self._craft.hands.most_touches:
            touches += 1
            new_g = self._craft.corrected(net_g)
            self._ledger.rest_ends()
            yield from self._touch(new_g - net_g)
            self._ledger.touched(new_g)
            self._ledger.rest_begins()
            net_g = new_g
            yield from self._craft.read_display()
        self._fate = Fate.KEPT if self._craft.is_in_band(net_g) else Fate.BOARDED

    def _touch(self, change_g: float) -> Iterator[Stroke]:
        """Make the piece heavier or lighter by moving dough onto the pan or off it."""
        moved_g = self._sign * change_g
        self._pan_g = round(self._pan_g + moved_g, 3)
        if moved_g < 0:
            yield from self._do.trim(self._pan_g, -moved_g)
        else:
            yield from self._do.add(self._pan_g)

    def _close(self) -> None:
        """Write down that the piece before is done: the next one, or the end, has begun."""
        if self._open:
            self._ledger.rest_ends()
            self._ledger.left(self._fate)
            self._open = False

    def _clear(self) -> Iterator[Stroke]:
        """Take the full board, or what is left of the dough, off the pan."""
        if self._open:
            self._ledger.rest_ends()
        yield from self._craft.lift(0.0)
        if self._open:
            self._ledger.left(self._fate)
            self._open = False
        self._pan_g = 0.0
        yield from self._do.wait(self._craft.hands.gap.draw(self._craft.rng))
        if self._craft.hands.tare_each:
            yield from self._press_tare()

"""Dough left and pieces still to come -> the weight that would use it all, as an offer.

It is worked out after a piece counts, never on the way to a cue, and nothing is switched by it: the
band stays, and so does the scaling weight until a person sets another.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.quantities import grams, grams_text, mg_from_grams, on_division

if TYPE_CHECKING:
    from weighstation.journal import RunState
    from weighstation.plan import Remaining
    from weighstation.specification import Limits


@dataclass(frozen=True, slots=True)
class DoughToDivide:
    """What was said of the dough before it was divided.

    Parameters
    ----------
    on_hand_mg : int, milligrams
        Of the whole batch, before its first piece.
    pieces : int
        Wanted of it.
    floor_g : float, grams
        Scaling weight that no offer goes below, not above that of the batch; 0 for none.
    """

    on_hand_mg: int
    pieces: int
    floor_g: float = 0.0


@dataclass(frozen=True, slots=True)
class ToCome:
    """So many pieces more at one weight.

    Parameters
    ----------
    pieces : int
    target_mg : int, milligrams
        As the scale can show it.
    left_mg : int, milligrams
        Left over then; negative where so much is missing.
    """

    pieces: int
    target_mg: int
    left_mg: int


@dataclass(frozen=True, slots=True)
class Offer:
    """What would use up the dough.

    Parameters
    ----------
    counted : int
        Pieces that count so far.
    dough_left_mg : int, milligrams
        On hand, or weighed back, less what counts; negative where more counts than there was.
    planned : ToCome
        The pieces that are still to come.
    instead : ToCome or None
        Another number of them that leaves less, or can be made at all.
    is_on_course : bool
        The planned pieces use up the dough at the weight that is set, to a tenth of a piece: no
        more is known, as some sticks to bench and hands.
    """

    counted: int
    dough_left_mg: int
    planned: ToCome
    instead: ToCome | None
    is_on_course: bool

    def text(self, division_mg: int) -> str:
        """Return the offer in one line for the panel; empty on course.

        Parameters
        ----------
        division_mg : int, milligrams
            Of the scale.

        Returns
        -------
        str
        """
        if self.is_on_course:
            return ""
        best = self.planned if self.instead is None else self.instead
        left = grams_text(abs(best.left_mg), division_mg)
        number = f"{self.counted + best.pieces} pieces, not {self.counted + self.planned.pieces}"
        if not best.pieces:
            return f"Offer: stop at {number}: {left} g left over."
        said = "Offer: " if self.instead is None else f"Offer: {number}, and "
        said += f"aim {grams_text(best.target_mg, division_mg)} g from here"
        if not best.left_mg:
            return f"{said}: the dough comes out even."
        return f"{said}: {left} g {'left over' if best.left_mg > 0 else 'missing'}."


class Offers:
    """Follows the dough of a batch as its pieces count.

    Parameters
    ----------
    limits : Limits
    plan : DoughToDivide

    Attributes
    ----------
    line : str
        The offer for the panel; empty while the dough comes out even.
    """

    def __init__(self, limits: Limits, plan: DoughToDivide) -> None:
        from weighstation.plan import Room  # noqa: PLC0415 - only where the dough was weighed

        target_g, under_g, over_g = map(grams, (limits.target_mg, limits.under_mg, limits.over_mg))
        self.line = ""
        self._room = Room(target_g, under_g, over_g, plan.floor_g)
        self._set_mg = limits.target_mg
        self._plan = plan
        self._on_hand_mg = plan.on_hand_mg
        self._last: tuple[object, ...] = ()

    def feed(self, totals: RunState, division_mg: int) -> Offer | None:
        """Take the totals after a line became durable.

        Parameters
        ----------
        totals : RunState
        division_mg : int, milligrams
            Of the scale.

        Returns
        -------
        Offer or None
            None where it is as it was, or no piece is to come.
        """
        pieces = self._plan.pieces - totals.kept.n
        if pieces <= 0:
            self.line, self._last = "", ()
            return None
        found = self._offer(totals.kept.n, pieces, self._left_mg(totals), division_mg)
        last, self._last = self._last, _gist(found)
        if last == self._last:
            return None
        self.line = found.text(division_mg)
        return found

    def weighed_back(self, left_mg: int, totals: RunState) -> None:
        """Go on from the dough that is left, which was weighed: it knows of what went astray.

        Parameters
        ----------
        left_mg : int, milligrams
        totals : RunState
            Of the pieces before it.
        """
        self._on_hand_mg = left_mg + _kept_mg(totals)

    def _left_mg(self, totals: RunState) -> int:
        return self._on_hand_mg - _kept_mg(totals)

    def _offer(self, counted: int, pieces: int, left_mg: int, division_mg: int) -> Offer:
        from weighstation.plan import retarget  # noqa: PLC0415 - as above

        found = retarget(grams(max(0, left_mg)), pieces, room=self._room)
        planned = self._shown(found.going_on, division_mg)
        other = None if found.instead is None else self._shown(found.instead, division_mg)
        is_on_course = planned.target_mg == self._set_mg and not _tenths(planned)
        return Offer(counted, left_mg, planned, other, is_on_course)

    def _shown(self, remaining: Remaining, division_mg: int) -> ToCome:
        """Return pieces with a weight that the scale shows and the room has, near theirs."""
        exact_mg = mg_from_grams(remaining.target_g)
        near_mg = on_division(exact_mg, division_mg)
        if 2 * abs(exact_mg - self._set_mg) <= division_mg:
            target_mg = self._set_mg
        else:
            steps = (near_mg, near_mg - division_mg, near_mg + division_mg)
            target_mg = next((mg for mg in steps if self._room.holds(grams(mg))), exact_mg)
        off_mg = remaining.pieces * (exact_mg - target_mg) if remaining.rest_g else 0
        return ToCome(remaining.pieces, target_mg, mg_from_grams(remaining.rest_g) + off_mg)


def _kept_mg(totals: RunState) -> int:
    """Return what all counted pieces weigh together, milligrams."""
    return totals.kept.n * totals.target_mg + totals.kept.sum_d_mg


def _gist(offer: Offer) -> tuple[object, ...]:
    """Return what is news if it changes: not that a piece less is to come, or a gram more left."""
    planned, other = offer.planned, offer.instead
    gist = (planned.target_mg, _tenths(planned))
    return gist if other is None else (*gist, other.pieces - planned.pieces, other.target_mg)


def _tenths(to_come: ToCome) -> int:
    """Return what is left over in tenths of a piece."""
    return round(10 * to_come.left_mg / to_come.target_mg)

"""Dough that is left and pieces that are still to come -> the target that would use it all."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan import given

if TYPE_CHECKING:
    from weighstation.plan.pieces.room import Room


@dataclass(frozen=True, slots=True)
class Remaining:
    """So many pieces of what is left of the dough.

    Parameters
    ----------
    pieces : int
        Still to be cut.
    target_g : float, grams
        Scaling weight for them, inside the room.
    rest_g : float, grams
        What is left over then; negative where so much is missing.
    """

    pieces: int
    target_g: float
    rest_g: float


@dataclass(frozen=True, slots=True)
class Retarget:
    """An offer; nothing is switched by it.

    Parameters
    ----------
    wanted_g : float, grams
        Dough left / pieces left, in the room or not.
    going_on : Remaining
        The pieces that were planned, with the target held in the room.
    instead : Remaining or None
        One piece more or one less, or as many as it takes; None where the planned ones use all the
        dough, or where no other number comes nearer.
    """

    wanted_g: float
    going_on: Remaining
    instead: Remaining | None

    @property
    def text(self) -> str:
        """The offer in plain words, for the person at the bench."""
        said = f"{_said(self.going_on)}."
        return said if self.instead is None else f"{said} Or {_said(self.instead)}."


def retarget(dough_left_g: float, pieces_left: int, *, room: Room) -> Retarget:
    """Return the scaling weight that would use what is left of the dough, as an offer.

    Parameters
    ----------
    dough_left_g : float, grams
        Dough on hand less what was kept and lost.
    pieces_left : int
        Planned pieces less those that were kept, at least 1.
    room : Room
        The band as it was set for the batch, which is not moved, and the floor.

    Returns
    -------
    Retarget

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    ``T = dough left / pieces left``, held in the band and above the floor; else a piece more or
    less is suggested: common practice, no source. The band stays where it is, so that pieces cut
    early and late are judged alike.

    Examples
    --------
    >>> from weighstation.plan import Room
    >>> found = retarget(25_700, 28, room=Room(909, 9.09, 9.09))
    >>> round(found.going_on.target_g, 1), found.instead
    (917.9, None)
    """
    left_g = given.number(dough_left_g, "The dough left")
    pieces = given.count(pieces_left, "The number of pieces left", least=1)
    going_on = _remaining(pieces, left_g, room)
    return Retarget(left_g / pieces, going_on, _instead(going_on, left_g, room))


def _remaining(pieces: int, left_g: float, room: Room) -> Remaining:
    wanted_g = left_g / pieces if pieces else room.scaling_g
    target_g = room.held(wanted_g)
    is_even = pieces > 0 and room.holds(wanted_g)
    return Remaining(pieces, target_g, 0.0 if is_even else left_g - pieces * target_g)


def _instead(going_on: Remaining, left_g: float, room: Room) -> Remaining | None:
    """Return the nearest number of pieces that leaves less, or that can be made at all."""
    if going_on.rest_g == 0:
        return None
    fewest = math.floor(left_g / room.highest_g)
    numbers = (fewest + 1, fewest) if going_on.rest_g > 0 else (math.floor(left_g / room.lowest_g),)
    others = (_remaining(number, left_g, room) for number in numbers if number != going_on.pieces)
    return next((other for other in others if other.rest_g >= 0), None)


def _said(remaining: Remaining) -> str:
    noun = "piece" if remaining.pieces == 1 else "pieces"
    said = f"{remaining.pieces} {noun} still to come"
    if remaining.pieces:
        said += f" at {given.plain(remaining.target_g)} g"
    if not remaining.rest_g:
        return f"{said}, nothing left over"
    word = "left over" if remaining.rest_g > 0 else "missing"
    return f"{said}, {given.plain(abs(remaining.rest_g))} g {word}"

"""Dough on hand and a scaling weight -> how many pieces, at which weight, and what is left."""

from __future__ import annotations

import math
from dataclasses import dataclass

from weighstation.errors import SpecificationError
from weighstation.plan import given
from weighstation.plan.pieces.room import Room


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to divide a dough: pieces times scaling weight, and what is left over.

    Parameters
    ----------
    pieces : int
    scaling_g : float, grams
        The target that uses all the dough, where it lies in the band; else the one asked for.
    rest_g : float, grams
        What is left over.
    spread_g : float, grams
        What a piece would weigh if all the dough went into these pieces, in the band or not.
    """

    pieces: int
    scaling_g: float
    rest_g: float
    spread_g: float

    @property
    def uses_all(self) -> bool:
        """Nothing is left over."""
        return self.rest_g == 0


@dataclass(frozen=True, slots=True)
class Short:
    """One piece more than the dough makes.

    Parameters
    ----------
    pieces : int
    spread_g : float, grams
        What a piece would weigh: below the band.
    short_g : float, grams
        So much more dough would make them, at the lightest that is allowed.
    """

    pieces: int
    spread_g: float
    short_g: float


@dataclass(frozen=True, slots=True)
class Split:
    """The counts on either side of the dough on hand.

    Parameters
    ----------
    choices : (1,) or (2,) tuple of Choice
        Those that can be done, fewer pieces first.
    short : Short or None
        The count above, where the dough does not make it.
    asked_g : float, grams
        The scaling weight that was asked for.
    """

    choices: tuple[Choice, ...]
    short: Short | None
    asked_g: float

    @property
    def best(self) -> Choice:
        """The choice that leaves the least; of two that leave nothing, the one moved the least."""
        return min(self.choices, key=lambda one: (one.rest_g, abs(one.scaling_g - self.asked_g)))


def split(
    dough_g: float, scaling_g: float, *, under_g: float, over_g: float, floor_g: float = 0.0
) -> Split:
    """Return the counts around the dough on hand, and the targets that use all of it.

    Parameters
    ----------
    dough_g : float, grams
        On the bench.
    scaling_g : float, grams
        As asked for.
    under_g, over_g : float, grams
        How far the target may be moved; both limits are allowed.
    floor_g : float, grams
        Lowest lawful scaling weight, which is the least aim through the loss of this oven; no
        choice is below it.

    Returns
    -------
    Split

    Raises
    ------
    SpecificationError
        If a number makes no sense, or the dough does not make one piece.

    Notes
    -----
    Both whole numbers next to dough / scaling weight, each with the target dough / pieces: common
    practice, no source. A target at an end of the band leaves the knife no room on that side.

    Examples
    --------
    >>> found = split(44_180, 909, under_g=9.09, over_g=9.09)
    >>> [(each.pieces, round(each.scaling_g, 1), round(each.rest_g)) for each in found.choices]
    [(48, 909.0, 548), (49, 901.6, 0)]
    """
    room = Room(scaling_g, under_g, over_g, floor_g)
    dough = given.number(dough_g, "The dough on hand", positive=True)
    counts = _around(dough, room)
    choices = tuple(
        _choice(pieces, dough, room) for pieces in counts if _is_made(pieces, dough, room)
    )
    if not choices:
        raise SpecificationError(
            f"{given.plain(dough)} g of dough make no piece between {given.plain(room.lowest_g)}"
            f" and {given.plain(room.highest_g)} g.",
            hint="Weigh the dough again, or choose smaller goods.",
        )
    return Split(choices, _short(counts[-1], dough, room), room.scaling_g)


def _around(dough_g: float, room: Room) -> tuple[int, ...]:
    """Return the whole numbers on either side of dough / scaling weight, or the one that it is."""
    nearest = round(dough_g / room.scaling_g)
    if nearest and room.is_set(dough_g / nearest):
        return (nearest,)
    fewer = math.floor(dough_g / room.scaling_g)
    return (fewer, fewer + 1)


def _is_made(pieces: int, dough_g: float, room: Room) -> bool:
    return pieces > 0 and (pieces * room.scaling_g <= dough_g or room.holds(dough_g / pieces))


def _choice(pieces: int, dough_g: float, room: Room) -> Choice:
    spread_g = dough_g / pieces
    if room.holds(spread_g):
        return Choice(pieces, room.held(spread_g), 0.0, spread_g)
    return Choice(pieces, room.scaling_g, dough_g - pieces * room.scaling_g, spread_g)


def _short(pieces: int, dough_g: float, room: Room) -> Short | None:
    """Return what a count lacks, or None where it can be made."""
    if _is_made(pieces, dough_g, room):
        return None
    return Short(pieces, dough_g / pieces, pieces * room.lowest_g - dough_g)

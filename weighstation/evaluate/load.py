"""One load on the pan, rest by rest, and the one piece of it that counts.

A second piece laid beside the first makes a pair. When one of the two is taken off again, what
stays is either the piece that lay there before, or the other one; the piece's own facts must not
contain the weight of the pair.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.evaluate.verdict import is_two_at_once

if TYPE_CHECKING:
    from weighstation.events import PanLeft, Weighing
    from weighstation.specification import Limits


@dataclass(frozen=True, slots=True)
class Rest:
    """How the load lay between two touches.

    Parameters
    ----------
    touch : int
    t_s : float, seconds
        When it was first weighed.
    net_mg : int, milligrams
        As it was last weighed.
    """

    touch: int
    t_s: float
    net_mg: int


@dataclass(frozen=True, slots=True)
class Stay:
    """The piece that the load is now taken to be.

    Parameters
    ----------
    first_mg, last_mg : int, milligrams
        As this piece first lay alone, and as it last lay alone; the pair's, if it never did.
    touches : int
        Adds and trims; laying another piece beside it, or taking that one off, is neither.
    bits : int
        How many of them made it heavier.
    alone : bool
        False while it is a pair.
    known : bool
        It has lain alone at some time.
    came_s : float, seconds
        When it came, onto the empty pan or beside an earlier piece.
    beside_s : float, seconds
        When another piece was last laid beside it; if none ever was, when it came.
    left_s : float, seconds, or None
        When it was taken off from beside another; None while it lies there.
    departed : tuple of Stay
        Pieces that lay there before and were taken off while the next one stayed.
    """

    first_mg: int
    last_mg: int
    touches: int
    bits: int
    alone: bool
    known: bool
    came_s: float
    beside_s: float
    left_s: float | None = None
    departed: tuple[Stay, ...] = ()


@dataclass(frozen=True, slots=True)
class Load:
    """What has been seen of one visit.

    Parameters
    ----------
    visit : int
    arrived_s : float, seconds
        When it was first weighed.
    rests : tuple of Rest
        One for each touch seen.
    """

    visit: int
    arrived_s: float
    rests: tuple[Rest, ...]


def arrived(first: Weighing) -> Load:
    """Return a load that has been weighed once.

    Parameters
    ----------
    first : Weighing

    Returns
    -------
    Load
    """
    return Load(first.visit, first.t_s, (Rest(first.touch, first.t_s, first.net_mg),))


def weighed(load: Load, now: Weighing) -> Load:
    """Return the load with one weighing more.

    Parameters
    ----------
    load : Load
    now : Weighing
        Of the same visit; touches after its own turn out to have been none and are forgotten.

    Returns
    -------
    Load
    """
    earlier = tuple(rest for rest in load.rests if rest.touch < now.touch)
    same_s = (rest.t_s for rest in load.rests if rest.touch == now.touch)
    rest = Rest(now.touch, next(same_s, now.t_s), now.net_mg)
    return replace(load, rests=(*earlier, rest))


def left(load: Load | None, gone: PanLeft) -> Load:
    """Return the load as its leaving shows it, which is better known than any weighing.

    Parameters
    ----------
    load : Load or None
        None if it was never weighed before it left.
    gone : PanLeft

    Returns
    -------
    Load
        Touches that the leaving does not confirm are forgotten.
    """
    first = Rest(0, gone.placed_s, gone.first_mg)
    seen = load.rests if load else ()
    final_s = next((rest.t_s for rest in seen if rest.touch == gone.touches), gone.t_s)
    final = Rest(gone.touches, final_s, gone.final_mg)
    between = (rest for rest in seen if 0 < rest.touch < gone.touches)
    arrived_s = load.arrived_s if load else gone.placed_s
    return Load(gone.visit, arrived_s, (first, *between, final))


def stay_of(load: Load, limits: Limits, *, division_mg: int) -> Stay:
    """Return the piece that a load is taken to be.

    Parameters
    ----------
    load : Load
    limits : Limits
    division_mg : int, milligrams

    Returns
    -------
    Stay
    """
    stay = _begun(load.rests[0], limits, load.rests[0].t_s)
    for before, now in pairwise(load.rests):
        stay = _stepped(stay, (before, now), limits, division_mg)
    return stay


def _begun(rest: Rest, limits: Limits, came_s: float) -> Stay:
    alone = not is_two_at_once(rest.net_mg, limits)
    return Stay(
        first_mg=rest.net_mg,
        last_mg=rest.net_mg,
        touches=0,
        bits=0,
        alone=alone,
        known=alone,
        came_s=came_s,
        beside_s=came_s,
    )


def _stepped(stay: Stay, step: tuple[Rest, Rest], limits: Limits, division_mg: int) -> Stay:
    before, now = step
    if is_two_at_once(now.net_mg, limits):
        return replace(stay, alone=False, beside_s=now.t_s if stay.alone else stay.beside_s)
    if stay.alone:
        return _corrected(stay, before, now)
    if not stay.known:
        return _begun(now, limits, stay.came_s)
    if _is_the_same(stay, step, division_mg):
        return replace(stay, alone=True, last_mg=now.net_mg)
    gone = replace(stay, left_s=now.t_s, departed=())
    return replace(_begun(now, limits, stay.beside_s), departed=(*stay.departed, gone))


def _corrected(stay: Stay, before: Rest, now: Rest) -> Stay:
    touches = now.touch - before.touch
    is_bit = touches > 0 and now.net_mg > stay.last_mg
    return replace(
        stay, last_mg=now.net_mg, touches=stay.touches + touches, bits=stay.bits + is_bit
    )


def _is_the_same(stay: Stay, step: tuple[Rest, Rest], division_mg: int) -> bool:
    """Say whether the piece left of a pair is the one that lay there before, when in doubt yes."""
    pair, now = step
    if_it_stayed_mg = abs(now.net_mg - stay.last_mg)
    if_it_left_mg = abs(pair.net_mg - now.net_mg - stay.last_mg)
    return if_it_stayed_mg <= if_it_left_mg + 2 * division_mg

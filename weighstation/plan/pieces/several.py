"""Several products from one dough -> how many of each, at which weight, and what is left.

The search is our own and short (`weighstation.plan.pieces.counts`). A solver of integer programs
would be a package more on a bench that has none, takes longer to import than this takes to answer,
and decides by a tolerance of its own where nothing is left; here milligrams are integers, ties are
broken by a rule that can be read, and the answer can be held against brute force.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import given
from weighstation.plan.pieces.counts import Found, Kind, least_left
from weighstation.quantities import exact_grams, grams, mg_from_grams

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.plan.pieces.room import Room

STEPS = 10
"""How far weights are moved is counted in tenths of their room; house figure."""
_MG_PER_G = 1000


@dataclass(frozen=True, slots=True)
class Wanted:
    """One product that is to be cut from the dough.

    Parameters
    ----------
    name : str
    room : Room
        Scaling weight, band, and the floor that no piece may be planned below.
    least : int
        How many are ordered.
    most : int or None
        How many can be used; None is as many as the dough makes.

    Raises
    ------
    SpecificationError
        If a number makes no sense.
    """

    name: str
    room: Room
    least: int = 0
    most: int | None = None

    def __post_init__(self) -> None:
        """Refuse numbers that cannot be met."""
        least = given.count(self.least, f"The order of '{self.name}'")
        object.__setattr__(self, "least", least)
        if self.most is not None:
            most = given.count(self.most, f"The most of '{self.name}'", least=least)
            object.__setattr__(self, "most", most)


@dataclass(frozen=True, slots=True)
class Portion:
    """What one product gets of the dough.

    Parameters
    ----------
    name : str
    pieces : int
    extra : int
        How many of them nobody ordered.
    scaling_g : float, grams
        The target to cut at.
    moved_g : float, grams
        By how much that is more than the scaling weight asked for; sign kept.
    """

    name: str
    pieces: int
    extra: int
    scaling_g: float
    moved_g: float


@dataclass(frozen=True, slots=True)
class Shares:
    """A dough shared out.

    Parameters
    ----------
    portions : (n,) tuple of Portion
        In the order of cutting: the largest first, the smallest last.
    dough_g : float, grams
        To the milligram.
    rest_g : float, grams
        What is left over.
    is_proven : bool
        The search went to its end; if not, another plan may leave less.
    """

    portions: tuple[Portion, ...]
    dough_g: float
    rest_g: float
    is_proven: bool


@dataclass(frozen=True, slots=True)
class _Cut:
    """A product in milligrams."""

    wanted: Wanted
    set_mg: int
    low_mg: int
    high_mg: int


def share_out(dough_g: float, wanted: Iterable[Wanted]) -> Shares:
    """Return how many pieces of each product leave the least of a dough.

    Parameters
    ----------
    dough_g : float, grams
        On the bench.
    wanted : iterable of Wanted

    Returns
    -------
    Shares

    Raises
    ------
    SpecificationError
        If a number makes no sense, or the dough does not make what is ordered.

    Notes
    -----
    Every order is met. Of all numbers that do so: (1) those that leave the least dough, each weight
    moved inside its room as far as that takes; (2) of these, those that move the weights by the
    fewest tenths of their room; (3) of these, those with the fewest beyond the order of the largest
    product, then of the next, so that what nobody ordered becomes the smallest goods. All weights
    are then moved by the same part of their rooms. That the largest is cut first and the smallest
    last, so that the remainder makes rolls, is common practice, no source.

    Examples
    --------
    >>> from weighstation.plan import Room
    >>> loaf = Wanted("Loaf", Room(909, 9, 9), least=20)
    >>> roll = Wanted("Roll", Room(60, 2, 2), least=30)
    >>> found = share_out(20_400, [roll, loaf])
    >>> [(each.name, each.pieces, round(each.scaling_g, 2)) for each in found.portions]
    [('Loaf', 20, 909.0), ('Roll', 37, 60.0)]
    >>> found.rest_g
    0.0
    """
    cuts = _cuts(wanted)
    dough_mg = mg_from_grams(given.number(dough_g, "The dough on hand", positive=True))
    _refuse_too_little(cuts, dough_mg)
    extra, left, is_proven = _nearest(cuts, dough_mg)
    pieces = [cut.wanted.least + more for cut, more in zip(cuts, extra, strict=True)]
    part = _part(cuts, pieces, dough_mg)
    portions = tuple(_portion(cut, more, part) for cut, more in zip(cuts, extra, strict=True))
    return Shares(portions, grams(dough_mg), grams(left // STEPS), is_proven)


def _cuts(wanted: Iterable[Wanted]) -> list[_Cut]:
    listed = list(wanted)
    names = {each.name for each in listed}
    if not listed or len(names) < len(listed):
        raise SpecificationError(
            "A dough is shared out to products, each named once.", hint="Name each once."
        )
    return sorted(map(_cut, listed), key=lambda cut: -cut.set_mg)


def _cut(wanted: Wanted) -> _Cut:
    """Return a product in milligrams; the floor is rounded up."""
    room = wanted.room
    target_mg = mg_from_grams(room.scaling_g)
    floor_mg = -int(-exact_grams(room.floor_g) * _MG_PER_G // 1)
    low_mg = max(target_mg - mg_from_grams(room.under_g), floor_mg, 1)
    set_mg = max(target_mg, low_mg)
    return _Cut(wanted, set_mg, low_mg, max(set_mg, target_mg + mg_from_grams(room.over_g)))


def _refuse_too_little(cuts: Sequence[_Cut], dough_mg: int) -> None:
    needed_mg = sum(cut.wanted.least * cut.low_mg for cut in cuts)
    if needed_mg > dough_mg:
        raise SpecificationError(
            f"The orders take at least {given.plain(grams(needed_mg))} g of dough, and there are"
            f" {given.plain(grams(dough_mg))} g.",
            hint="Make more dough, or fewer pieces.",
        )


def _nearest(cuts: Sequence[_Cut], dough_mg: int) -> tuple[tuple[int, ...], int, bool]:
    """Return the numbers beyond the orders that leave the least, with weights moved the least."""
    whole = _search(cuts, dough_mg, STEPS, below=STEPS * dough_mg + 1)
    numbers, is_proven = whole.numbers or (), whole.is_proven
    is_fixed = bool(whole.left) or all(cut.low_mg == cut.high_mg for cut in cuts)
    low, high = STEPS if is_fixed else 1, STEPS
    while low < high:
        middle = (low + high) // 2
        nearer = _search(cuts, dough_mg, middle, below=1)
        is_proven &= nearer.is_proven
        if nearer.numbers is None:
            low = middle + 1
        else:
            numbers, high = nearer.numbers, middle
    return numbers, whole.left, is_proven


def _search(cuts: Sequence[_Cut], dough_mg: int, step: int, *, below: int) -> Found:
    """Search with so many tenths of every room, in tenths of a milligram."""
    light = heavy = STEPS * dough_mg
    kinds = []
    for cut in cuts:
        low = STEPS * cut.set_mg - step * (cut.set_mg - cut.low_mg)
        high = STEPS * cut.set_mg + step * (cut.high_mg - cut.set_mg)
        light -= cut.wanted.least * low
        heavy -= cut.wanted.least * high
        kinds.append((low, high, cut.wanted))
    return least_left(
        tuple(Kind(low, high, _extra(one, light, low)) for low, high, one in kinds),
        light=light,
        heavy=heavy,
        below=below,
    )


def _extra(wanted: Wanted, light: int, low: int) -> int:
    """Return how many pieces beyond the order there may be."""
    fitting = max(0, light) // low
    return fitting if wanted.most is None else min(fitting, wanted.most - wanted.least)


def _part(cuts: Sequence[_Cut], pieces: Sequence[int], dough_mg: int) -> float:
    """Return the part of their rooms by which all weights are moved, from -1 to 1."""
    pairs = list(zip(pieces, cuts, strict=True))
    out_mg = dough_mg - sum(number * cut.set_mg for number, cut in pairs)
    down_mg = sum(number * (cut.set_mg - cut.low_mg) for number, cut in pairs)
    up_mg = sum(number * (cut.high_mg - cut.set_mg) for number, cut in pairs)
    room_mg = up_mg if out_mg > 0 else down_mg
    return max(-1.0, min(1.0, out_mg / room_mg)) if room_mg else 0.0


def _portion(cut: _Cut, extra: int, part: float) -> Portion:
    room_mg = cut.high_mg - cut.set_mg if part > 0 else cut.set_mg - cut.low_mg
    scaling_g = (cut.set_mg + part * room_mg) / _MG_PER_G
    wanted = cut.wanted
    moved_g = scaling_g - wanted.room.scaling_g
    return Portion(wanted.name, wanted.least + extra, extra, scaling_g, moved_g)

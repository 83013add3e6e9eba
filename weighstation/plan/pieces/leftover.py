"""Dough that is left over -> what can be done with it, what it cost, and what to mind."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import given

if TYPE_CHECKING:
    from weighstation.plan.pieces.split import Choice

HELD_SHARE = 0.10
"""So much of the flour of the next mix may be old dough without a thought."""
MOST_HELD_SHARE = 0.20
"""Above this the next mix is another dough."""
G_PER_KG = 1000


class Use(StrEnum):
    """What becomes of dough that is left over."""

    SPREAD = "spread over the pieces"
    SMALLER = "smaller goods"
    HELD = "held back for the next mix"
    TEST = "test piece"


@dataclass(frozen=True, slots=True)
class LeftoverUse:
    """One thing to do with what is left over.

    Parameters
    ----------
    use : Use
    grams : float, grams
        How much of it is taken.
    pieces : int
        How many pieces it goes into; 0 where it goes into none.
    left_g : float, grams
        What is still left then.
    money : float or None
        What the dough in it cost, in the currency of the price: given away, sold, kept, or spent.
        None where nobody said what dough costs.
    caution : str
        What to mind.
    """

    use: Use
    grams: float
    pieces: int
    left_g: float
    money: float | None
    caution: str


def uses_of_leftover(
    choice: Choice,
    *,
    cost_per_kg: float | None = None,
    over_g: float = 0.0,
    smaller_g: float | None = None,
    next_flour_g: float | None = None,
    held_share: float = HELD_SHARE,
) -> tuple[LeftoverUse, ...]:
    """Return what can be done with what a choice leaves over, each with its price.

    Parameters
    ----------
    choice : Choice
        Of `split`.
    cost_per_kg : float or None
        Price of a kilogram of dough.
    over_g : float, grams
        How far above its scaling weight a piece may be: what can be spread.
    smaller_g : float or None, grams
        Scaling weight of smaller goods of the same dough, if there are any.
    next_flour_g : float or None, grams
        Flour of the next mix of the same recipe, if there is one.
    held_share : float
        Old dough as a fraction of that flour, at most 0.2.

    Returns
    -------
    tuple of LeftoverUse
        Those that take anything; empty where nothing is left.

    Raises
    ------
    SpecificationError
        If a number makes no sense, or too much is to be held back.

    Notes
    -----
    The four ways, and 10 to 20 % of the flour for old dough: common practice, no source.
    """
    price = None if cost_per_kg is None else given.number(cost_per_kg, "The price of dough")
    room_g = given.number(over_g, "'over'")
    share = given.fraction(held_share, "What is held back")
    if share > MOST_HELD_SHARE:
        raise SpecificationError(
            f"Old dough is at most 20 % of the flour of the next mix, not {100 * share:g} %.",
            hint="Hold back less.",
        )
    found = [_spread(choice, room_g)]
    if smaller_g is not None:
        found.append(_smaller(choice, given.number(smaller_g, "A smaller piece", positive=True)))
    if next_flour_g is not None:
        flour_g = given.number(next_flour_g, "The flour of the next mix")
        found.append(_held(choice, share * flour_g, share))
    found.append(_test_piece(choice))
    return tuple(_priced(each, choice, price) for each in found if each.grams > 0)


@dataclass(frozen=True, slots=True)
class _Taken:
    use: Use
    grams: float
    pieces: int
    caution: str


def _priced(taken: _Taken, choice: Choice, price: float | None) -> LeftoverUse:
    return LeftoverUse(
        taken.use,
        taken.grams,
        taken.pieces,
        max(0.0, choice.rest_g - taken.grams),
        None if price is None else taken.grams / G_PER_KG * price,
        taken.caution,
    )


def _spread(choice: Choice, room_g: float) -> _Taken:
    grams = min(choice.rest_g, choice.pieces * room_g)
    return _Taken(
        Use.SPREAD,
        grams,
        choice.pieces,
        f"{given.plain(grams / choice.pieces)} g more in each piece are given away, and leave the"
        " knife so much less of the band.",
    )


def _smaller(choice: Choice, smaller_g: float) -> _Taken:
    pieces = int(round(choice.rest_g, 6) // smaller_g)
    return _Taken(
        Use.SMALLER,
        pieces * smaller_g,
        pieces,
        "Small goods prove and bake sooner and lose more: their own time, their own loss, and their"
        " own name and weight on the label.",
    )


def _held(choice: Choice, most_g: float, share: float) -> _Taken:
    return _Taken(
        Use.HELD,
        min(choice.rest_g, most_g),
        0,
        "Only into the same recipe with the same allergens, at most"
        f" {100 * share:g} % of its flour; covered, cold, and labelled with recipe, allergens and"
        " time.",
    )


def _test_piece(choice: Choice) -> _Taken:
    return _Taken(
        Use.TEST,
        min(choice.rest_g, choice.scaling_g),
        1,
        "Marked, and not for sale; smaller than a loaf it bakes sooner, and says nothing of the"
        " loss of the batch.",
    )

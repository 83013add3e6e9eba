"""Places of an oven and its cycle -> how long each load waits, and when it should be divided."""

from __future__ import annotations

import math
from dataclasses import dataclass

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words, is_count, is_number

TOLERABLE_SHARE = 0.20
"""Share of the final proof that pieces of one dough may differ by: 15 to 20 %, common practice, no
source."""

USUAL_KG_PER_M2 = (15.0, 20.0)
"""Hearth loaves on a deck; common practice, no source."""

OVEN_CAUTIONS = (
    "Deck, tins and steam burn: dry gloves, long sleeves, and stand aside as the door opens.",
    "Put the timer where the oven hand sees it; a bell is not heard over a mixer.",
    "Keep to the maker's manual and the rules of your place.",
    "Gas, wiring and flues are work for those who are licensed for it.",
)
"""What is to be said wherever work at an oven is planned."""


@dataclass(frozen=True, slots=True)
class Oven:
    """What an oven holds, and how often.

    Parameters
    ----------
    places : int
        Pieces of this product in one load.
    cycle_min : float, minutes
        From one load in to the next one in: loading, baking, unloading, and heat coming back.

    Raises
    ------
    SpecificationError
        If a number makes no sense.
    """

    places: int
    cycle_min: float

    def __post_init__(self) -> None:
        """Refuse an oven that holds or bakes nothing."""
        if not is_count(self.places, least=1):
            raise SpecificationError(
                f"An oven holds at least 1 piece, not {in_words(self.places)}.",
                hint="Count its places.",
            )
        if not (is_number(self.cycle_min) and self.cycle_min > 0):
            raise SpecificationError(
                f"A cycle takes more than 0 min, not {in_words(self.cycle_min)}.",
                hint="Give the minutes from one load in to the next one in.",
            )


@dataclass(frozen=True, slots=True)
class OvenLoad:
    """One load of a dough that is divided without a stop.

    Parameters
    ----------
    number : int
        From 1.
    first, last : int
        Numbers of its pieces, in the order in which they were cut.
    wait_min : float, minutes
        How long its first piece is ready before the oven is free.
    share : float
        The same as a share of the final proof.
    divide_min : float, minutes
        When to begin to divide it, after the first cut of the dough, so that nothing waits.
    """

    number: int
    first: int
    last: int
    wait_min: float
    share: float
    divide_min: float

    @property
    def is_tolerable(self) -> bool:
        """Whether the wait is within a fifth of the proof."""
        return self.share <= TOLERABLE_SHARE

    @property
    def text(self) -> str:
        """One plain sentence."""
        name = f"Load {self.number}, pieces {self.first} to {self.last},"
        if self.wait_min <= 0:
            return f"{name} does not wait for the oven."
        share = f"{100 * self.share:.0f} % of its proof"
        waits = f"{name} waits {self.wait_min:.0f} min for the oven, {share}"
        if self.is_tolerable:
            return f"{waits}."
        return (
            f"{waits}: divide it {self.divide_min:.0f} min after the first, or keep it in the cold"
            " so long."
        )


def oven_loads(
    pieces: int, *, oven: Oven, proof_min: float, cut_every_s: float = 0.0
) -> tuple[OvenLoad, ...]:
    """Return the loads of a dough, how long each waits, and when it should be divided.

    Parameters
    ----------
    pieces : int
        Of the dough, at least 1.
    oven : Oven
    proof_min : float, minutes
        Final proof, positive.
    cut_every_s : float, seconds
        From one cut to the next; 0 where the dough is divided all at once.

    Returns
    -------
    (n,) tuple of OvenLoad

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    Everything between cut and oven takes each piece as long as the others, so loads are ready as
    they were cut, first in, first out, and load k goes in no sooner than one cycle after load
    k - 1. Own arithmetic.

    Examples
    --------
    >>> for load in oven_loads(48, oven=Oven(24, 40), proof_min=60):
    ...     print(load.text)
    Load 1, pieces 1 to 24, does not wait for the oven.
    Load 2, pieces 25 to 48, waits 40 min for the oven, 67 % of its proof: divide it 40 min after \
the first, or keep it in the cold so long.
    """
    if not is_count(pieces, least=1):
        raise SpecificationError(
            f"A dough makes at least 1 piece, not {in_words(pieces)}.",
            hint="Give the number of pieces.",
        )
    if not (is_number(proof_min, cut_every_s) and proof_min > 0 <= cut_every_s):
        raise SpecificationError(
            "A proof takes more than 0 min, and a cut 0 s or more.", hint="Give both as numbers."
        )
    load_min = oven.places * cut_every_s / 60
    apart_min = max(oven.cycle_min, load_min)
    return tuple(
        OvenLoad(
            number=k + 1,
            first=k * oven.places + 1,
            last=min(pieces, (k + 1) * oven.places),
            wait_min=k * (apart_min - load_min),
            share=k * (apart_min - load_min) / proof_min,
            divide_min=k * apart_min,
        )
        for k in range(math.ceil(pieces / oven.places))
    )


@dataclass(frozen=True, slots=True)
class DeckLoad:
    """How much dough lies on a deck.

    Parameters
    ----------
    kg_per_m2 : float, kilograms per square metre
    """

    kg_per_m2: float

    @property
    def text(self) -> str:
        """One plain sentence."""
        low, high = USUAL_KG_PER_M2
        said = f"{self.kg_per_m2:.1f} kg on a square metre of deck"
        if self.kg_per_m2 < low:
            return f"{said} is less than {low:g}: it bakes faster and darker, so note the load."
        if self.kg_per_m2 > high:
            return f"{said} is more than {high:g}: leave 2 to 4 cm between hearth loaves."
        return f"{said} is usual for hearth loaves."


def deck_load(pieces: int, *, scaling_g: float, area_m2: float) -> DeckLoad:
    """Return how much dough lies on a deck.

    Parameters
    ----------
    pieces : int
        On the deck; 0 or more.
    scaling_g : float, grams
        Weight of one, positive.
    area_m2 : float, square metres
        Positive.

    Returns
    -------
    DeckLoad

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    Pieces times weight over area. That 15 to 20 kg are usual, and that a deck that is half empty
    bakes faster and darker, is common practice, no source.

    Examples
    --------
    >>> deck_load(24, scaling_g=909, area_m2=1.2).text
    '18.2 kg on a square metre of deck is usual for hearth loaves.'
    """
    if not (is_count(pieces) and is_number(scaling_g, area_m2) and min(scaling_g, area_m2) > 0):
        raise SpecificationError(
            "A deck has an area of more than 0 square metres, and a piece weighs more than 0 g.",
            hint="Give the area of the deck that the pieces lie on, in square metres.",
        )
    return DeckLoad(pieces * scaling_g / 1000 / area_m2)

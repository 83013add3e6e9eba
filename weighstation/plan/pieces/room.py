"""How far a scaling weight may be moved: inside its band, and never below what is lawful."""

from __future__ import annotations

from dataclasses import dataclass

from weighstation.errors import SpecificationError
from weighstation.plan import given

_PLACES = 6
"""Weights are compared to the microgram: what a sum of doubles leaves beyond it is noise."""


@dataclass(frozen=True, slots=True)
class Room:
    """A scaling weight and its room; both ends belong to it.

    Parameters
    ----------
    scaling_g : float, grams
        Positive.
    under_g, over_g : float, grams
        The band about it; not negative.
    floor_g : float, grams
        Lowest lawful scaling weight, which is the least aim through the loss of this oven; 0 where
        there is none.

    Raises
    ------
    SpecificationError
        If a number makes no sense, the band reaches zero, or the scaling weight itself is below
        the floor.
    """

    scaling_g: float
    under_g: float
    over_g: float
    floor_g: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no piece can meet."""
        scaling_g = given.number(self.scaling_g, "A scaling weight", positive=True)
        under_g = given.number(self.under_g, "'under'")
        floor_g = given.number(self.floor_g, "A floor")
        written = given.plain(scaling_g)
        if under_g >= scaling_g:
            raise SpecificationError(
                f"'under' is {given.plain(under_g)} g of a scaling weight of {written} g.",
                hint="Give a band that a piece can lie in.",
            )
        if round(scaling_g, _PLACES) < round(floor_g, _PLACES):
            raise SpecificationError(
                f"A scaling weight of {written} g is below the floor, {given.plain(floor_g)} g.",
                hint="Raise the scaling weight.",
            )
        object.__setattr__(self, "scaling_g", scaling_g)
        object.__setattr__(self, "under_g", under_g)
        object.__setattr__(self, "over_g", given.number(self.over_g, "'over'"))
        object.__setattr__(self, "floor_g", floor_g)

    @property
    def lowest_g(self) -> float:
        """The lightest that the scaling weight may be made."""
        return max(self.scaling_g - self.under_g, self.floor_g)

    @property
    def highest_g(self) -> float:
        """The heaviest that it may be made."""
        return self.scaling_g + self.over_g

    def holds(self, target_g: float) -> bool:
        """Tell whether a target lies in the room.

        Parameters
        ----------
        target_g : float, grams

        Returns
        -------
        bool
        """
        low, high = round(self.lowest_g, _PLACES), round(self.highest_g, _PLACES)
        return low <= round(target_g, _PLACES) <= high

    def held(self, target_g: float) -> float:
        """Return the target, or the end of the room that is nearest to it.

        Parameters
        ----------
        target_g : float, grams

        Returns
        -------
        float, grams
        """
        return min(max(target_g, self.lowest_g), self.highest_g)

    def is_set(self, target_g: float) -> bool:
        """Tell whether a target is the scaling weight itself.

        Parameters
        ----------
        target_g : float, grams

        Returns
        -------
        bool
        """
        return round(target_g, _PLACES) == round(self.scaling_g, _PLACES)

"""What a scale is held against: its class, a limit of the house, or its division alone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology.accuracy import Plate, checked_mass
from weighstation.quantities import exact_grams

if TYPE_CHECKING:
    from decimal import Decimal

ZERO_SHARE = Fraction(1, 4)
"""An empty pan may be off zero by a quarter of an interval: OIML R 76-1:2006, 4.5.2 (memory)."""

LEAST_DIVISIONS = 20
"""Without a plate a load is at least so many divisions, as Min of class III is."""


class Basis(Enum):
    """Where the limits of a check come from."""

    PLATE = "plate"
    HOUSE = "house"
    DIVISION = "division"


@dataclass(frozen=True, slots=True)
class ScaleLimits:
    """By how much a scale may be wrong in a check.

    Parameters
    ----------
    division_g : Decimal, grams
        Scale interval d, positive.
    plate : Plate or None
        Class, e and Max from its plate: then its permissible errors are the limits.
    house_g : Decimal, grams, or None
        Without a plate, one limit for all loads that the house has set itself.
    in_service : bool
        With a plate: twice what is permitted at a first verification.

    Raises
    ------
    SpecificationError
        If the division or the limit of the house is not positive, or both limits are given.

    Notes
    -----
    With neither, one division is the limit: zero and load are both rounded, each by half a
    division at most, so a scale without any error shows no more than that. House figure, with
    these grounds; it is a check of the bench and not one in the sense of a standard.
    """

    division_g: Decimal
    plate: Plate | None = None
    house_g: Decimal | None = None
    in_service: bool = True

    def __post_init__(self) -> None:
        """Refuse limits that mean nothing."""
        checked_mass(self.division_g, "A division", positive=True)
        if self.house_g is not None:
            checked_mass(self.house_g, "A limit", positive=True)
            if self.plate is not None:
                raise SpecificationError("Give the plate of the scale or a limit, not both.")

    @property
    def basis(self) -> Basis:
        """Where they come from."""
        if self.plate is not None:
            return Basis.PLATE
        return Basis.DIVISION if self.house_g is None else Basis.HOUSE

    def at(self, load_g: Fraction) -> Fraction:
        """Return by how much the scale may be wrong at a load.

        Parameters
        ----------
        load_g : Fraction, grams

        Returns
        -------
        Fraction, grams

        Raises
        ------
        SpecificationError
            If the load is more than Max.
        """
        if self.plate is None:
            return exact_grams(self.division_g if self.house_g is None else self.house_g)
        greatest = exact_grams(self.plate.max_g)
        if load_g > greatest:
            raise SpecificationError(
                f"A load of {float(load_g):g} g is more than the scale's Max of"
                f" {float(greatest):g} g: take less."
            )
        permitted = self.plate.permissible_error_g(float(load_g), in_service=self.in_service)
        return exact_grams(permitted)

    @property
    def least_load_g(self) -> Fraction:
        """The least load in grams that tells anything: Min of the plate, else 20 divisions."""
        if self.plate is not None:
            return exact_grams(self.plate.least_load_g)
        return LEAST_DIVISIONS * exact_grams(self.division_g)

    @property
    def zero_g(self) -> Fraction:
        """By how much an empty pan may be off zero, in grams."""
        return ZERO_SHARE * exact_grams(self.plate.e_g if self.plate else self.division_g)

    @property
    def text(self) -> str:
        """What the scale is held against, in one plain sentence."""
        if self.plate is not None:
            state = "in service" if self.in_service else "at verification"
            return (
                f"Held against class {self.plate.accuracy_class.value}, e = {self.plate.e_g} g,"
                f" Max {self.plate.max_g} g, {state}; this is no legal verification."
            )
        if self.house_g is not None:
            return f"Held against the house's own limit of {self.house_g} g; no legal check."
        return (
            f"Held against one division of {self.division_g} g only, because class and e are not"
            " known; no legal check."
        )

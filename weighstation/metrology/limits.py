"""What a scale is held against: its class, a limit of the house, or its division alone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology.accuracy import AccuracyClass, Plate, checked_mass
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
        If the division or the limit of the house is not positive, both limits are given, or the
        division cannot be that of a scale with this plate.

    Notes
    -----
    No scale counts more coarsely than e, and one of class III or IIII counts in e: OIML R
    76-1:2006, 3.1.2, 3.4.1 and 3.4.2 (from memory). A plate read wrongly is often found so.

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
        division = checked_mass(self.division_g, "A division", positive=True)
        if self.house_g is not None:
            checked_mass(self.house_g, "A limit", positive=True)
            if self.plate is not None:
                raise SpecificationError("Give the plate of the scale or a limit, not both.")
        if self.plate is not None:
            _refuse_other_division(division, self.plate)

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
                f"A load of {plain_grams(load_g)} g is more than the scale's Max of"
                f" {plain_grams(greatest)} g: take less."
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
                f"Held against class {self.plate.accuracy_class.value},"
                f" e = {plain_grams(self.plate.e_g)} g, Max {plain_grams(self.plate.max_g)} g,"
                f" {state}; this is no legal verification."
            )
        if self.house_g is not None:
            limit = plain_grams(self.house_g)
            return f"Held against the house's own limit of {limit} g; no legal check."
        return (
            f"Held against one division of {plain_grams(self.division_g)} g only, because class and"
            " e are not known; no legal check."
        )


def _refuse_other_division(division: Fraction, plate: Plate) -> None:
    e = exact_grams(plate.e_g)
    may_be_finer = plate.accuracy_class in (AccuracyClass.SPECIAL, AccuracyClass.HIGH)
    if division > e or (division < e and not may_be_finer):
        raise SpecificationError(
            f"The scale counts in {plain_grams(division)} g, and one of class"
            f" {plate.accuracy_class.value} with e = {plain_grams(e)} g does not.",
            hint="Read class and e from its plate again.",
        )


def plain_grams(mass_g: Fraction | Decimal) -> str:
    """Return a mass in grams without noughts that say nothing.

    Parameters
    ----------
    mass_g : Fraction or Decimal, grams

    Returns
    -------
    str, grams

    Examples
    --------
    >>> from decimal import Decimal
    >>> plain_grams(Decimal("3000.0")), plain_grams(Fraction(1, 3))
    ('3000', '0.3333333333')
    """
    return f"{float(mass_g):.10g}"

"""What is settled about a scale's lines beforehand: learned once, confirmed by a person, kept."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from weighstation.acquire.checksum import Checksum
from weighstation.acquire.marks import StableMark
from weighstation.errors import SpecificationError
from weighstation.quantities import MG_PER_G, Unit, mg_from_grams

if TYPE_CHECKING:
    from collections.abc import Mapping

Plain = dict[str, str | int | float | bool]
"""Keys and values that JSON and TOML both have."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """What the decoder need not find out; all of it may be left open.

    Parameters
    ----------
    unit : Unit or None
        Of numbers that name none.
    decimal_sign : str or None
        What the one separator of numbers means where lines leave it open: ``.`` or ``,`` for
        decimals, empty for thousands.
    implied_decimals : int
        Last digits of a number without a decimal sign that are decimals.
    stable_mark : StableMark or None
    division_mg : int, milligrams, or None
    checksum : Checksum or None
    weight_number : int or None
        Which number of a line is the weight, from 0; None to go by its unit and looks.
    """

    unit: Unit | None = None
    decimal_sign: str | None = None
    implied_decimals: int = 0
    stable_mark: StableMark | None = None
    division_mg: int | None = None
    checksum: Checksum | None = None
    weight_number: int | None = None

    def plain(self) -> Plain:
        """Return what is settled under the names that a file has for it.

        Returns
        -------
        dict
            Nothing of what is open.
        """
        kept: Plain = {}
        if self.unit is not None:
            kept["unit"] = self.unit.value
        if self.decimal_sign is not None:
            kept["decimal_sign"] = self.decimal_sign
        if self.implied_decimals:
            kept["implied_decimals"] = self.implied_decimals
        if self.division_mg is not None:
            kept["division_g"] = self.division_mg / MG_PER_G
        if self.weight_number is not None:
            kept["weight_number"] = self.weight_number
        if self.stable_mark is not None:
            kept |= {"stable_mark": self.stable_mark.mark}
            kept |= {"stable_when": "present" if self.stable_mark.present else "absent"}
        if self.checksum is not None:
            kept["checksum"] = self.checksum.text()
        return kept

    @classmethod
    def of_plain(cls, kept: Mapping[str, object]) -> Recipe:
        """Return the recipe that `plain` wrote; other keys are passed over.

        Parameters
        ----------
        kept : mapping

        Returns
        -------
        Recipe

        Raises
        ------
        SpecificationError
            If a value is not one that `plain` writes.
        """
        try:
            return _read(kept)
        except (ValueError, TypeError, ArithmeticError) as exc:
            raise SpecificationError(
                f"The profile of the scale cannot be read: {exc}.",
                hint="Let the station learn this scale anew: weighstation learn.",
            ) from exc


KEYS = frozenset(field.name for field in fields(Recipe)) - {"division_mg"} | {
    "division_g",
    "stable_when",
}
"""Names that `Recipe.plain` may write."""
OPEN = Recipe()


def _read(kept: Mapping[str, object]) -> Recipe:
    unit, sign, division_g = (kept.get(key) for key in ("unit", "decimal_sign", "division_g"))
    mark, checksum, number = (kept.get(key) for key in ("stable_mark", "checksum", "weight_number"))
    if sign not in (None, "", ".", ","):
        raise ValueError(f"'{sign}' is no decimal sign")
    division_mg = None if division_g is None else mg_from_grams(str(division_g))
    if division_mg is not None and division_mg < 1:
        raise ValueError(f"{division_g} g is no division")
    return Recipe(
        unit=None if unit is None else Unit(unit),
        decimal_sign=None if sign is None else str(sign),
        implied_decimals=_whole(kept.get("implied_decimals", 0)),
        stable_mark=None if mark is None else StableMark(str(mark), _is_present(kept)),
        division_mg=division_mg,
        checksum=None if checksum is None else Checksum.of_text(str(checksum)),
        weight_number=None if number is None else _whole(number),
    )


def _is_present(kept: Mapping[str, object]) -> bool:
    return kept.get("stable_when", "present") != "absent"


def _whole(value: object) -> int:
    if type(value) is not int or not 0 <= value < 10:
        raise ValueError(f"{value} is no whole number below ten")
    return value

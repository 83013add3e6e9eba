"""What is settled about a scale's lines beforehand: learned once, confirmed by a person, kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weighstation.acquire.checksum import Checksum
from weighstation.acquire.marks import StableMark
from weighstation.errors import SpecificationError
from weighstation.quantities import MG_PER_G, Unit, mg_from_grams

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

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
        read, faults = {}, []
        for key, (name, reader) in _READERS.items():
            try:
                read[name] = reader(kept) if key in kept else getattr(OPEN, name)
            except (ValueError, TypeError, ArithmeticError):
                faults.append(f"{key} = {kept[key]!r}")
        if faults:
            raise SpecificationError(
                f"The profile of {kept.get('identity', 'the scale')} has what cannot be meant:"
                f" {', '.join(faults)}.",
                hint="Let the station learn this scale anew: weighstation learn.",
            )
        return cls(**read)


OPEN = Recipe()


def _unit(kept: Mapping[str, object]) -> Unit:
    return Unit(kept["unit"])


def _sign(kept: Mapping[str, object]) -> str:
    sign = kept["decimal_sign"]
    if sign not in ("", ".", ","):
        raise ValueError
    return str(sign)


def _division_mg(kept: Mapping[str, object]) -> int:
    division_mg = mg_from_grams(str(kept["division_g"]))
    if division_mg < 1:
        raise ValueError
    return division_mg


def _mark(kept: Mapping[str, object]) -> StableMark:
    when = kept.get("stable_when", "present")
    mark = kept["stable_mark"]
    if not isinstance(mark, str) or mark[:1] not in ("<", ">") or when not in _WHEN:
        raise ValueError
    return StableMark(mark, present=when == "present")


def _whole(key: str) -> Callable[[Mapping[str, object]], int]:
    def read(kept: Mapping[str, object]) -> int:
        value = kept[key]
        if type(value) is not int or not 0 <= value < 10:
            raise ValueError
        return value

    return read


_WHEN = ("present", "absent")
_READERS: dict[str, tuple[str, Callable[[Mapping[str, object]], Any]]] = {
    "unit": ("unit", _unit),
    "decimal_sign": ("decimal_sign", _sign),
    "implied_decimals": ("implied_decimals", _whole("implied_decimals")),
    "stable_mark": ("stable_mark", _mark),
    "division_g": ("division_mg", _division_mg),
    "checksum": ("checksum", lambda kept: Checksum.of_text(str(kept["checksum"]))),
    "weight_number": ("weight_number", _whole("weight_number")),
}
"""By their key in a file: which part of a recipe it is, and what reads it."""

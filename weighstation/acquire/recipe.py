"""What is settled about a scale's lines beforehand: learned once, confirmed by a person, kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.acquire.checksum import Checksum
    from weighstation.acquire.marks import StableMark
    from weighstation.quantities import Unit


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


OPEN = Recipe()

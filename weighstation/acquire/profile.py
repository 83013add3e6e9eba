"""What the decoder tells about its port, beside the readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.quantities import Unit


@dataclass(frozen=True, slots=True)
class Counts:
    """What the lines of a port were.

    Parameters
    ----------
    frames : int
        All lines that were given out as readings.
    unreadable, overload, underload : int
        Those without a weight, by kind.
    """

    frames: int
    unreadable: int
    overload: int
    underload: int


@dataclass(frozen=True, slots=True)
class ScaleProfile:
    """What has been learned about a scale from its lines.

    Parameters
    ----------
    unit : Unit
        The unit of the last weight.
    decimals : int
        Decimals printed in that unit.
    decimal_sign : str
        ``.``, ``,`` or empty where numbers are whole.
    shape : str
        The line in words.
    stable_mark : str or None
        Which mark says that the weight is stable; None where there is none or it is not yet known.
    division_mg : int, milligrams
    """

    unit: Unit
    decimals: int
    decimal_sign: str
    shape: str
    stable_mark: str | None
    division_mg: int

"""An indication freed of its rounding, by small weights added until it changes over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.metrology.accuracy import checked_mass

if TYPE_CHECKING:
    from decimal import Decimal
    from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Changeover:
    """What a scale indicated, and what had to be added until it showed the next value.

    Parameters
    ----------
    load_g : float, Decimal or str, grams
    indicated_g : float, Decimal or str, grams
    added_g : float, Decimal or str, grams
        In small weights, of a tenth of an interval each.
    """

    load_g: float | Decimal | str
    indicated_g: float | Decimal | str
    added_g: float | Decimal | str


def unrounded(changeover: Changeover, *, e_g: float | Decimal | str) -> float:
    """Return the indication before it was rounded.

    Parameters
    ----------
    changeover : Changeover
    e_g : float, Decimal or str, grams
        Verification interval, here equal to the division; positive.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number means nothing.

    Notes
    -----
    ``P = I + e / 2 - added``: OIML R 76-1:2006, A.4.4.3 (from memory).

    Examples
    --------
    >>> unrounded(Changeover(1000, 1000, 1.5), e_g=5)
    1001.0
    """
    return float(_unrounded(changeover, e_g))


def true_error(
    changeover: Changeover, *, e_g: float | Decimal | str, zero: Changeover | None = None
) -> float:
    """Return by how much the scale is wrong at a load, rounding taken off.

    Parameters
    ----------
    changeover : Changeover
    e_g : float, Decimal or str, grams
        Verification interval, here equal to the division; positive.
    zero : Changeover or None
        The same at or near zero; its error is taken off.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number means nothing.

    Notes
    -----
    ``E = P - L``, and ``Ec = E - E0`` with the error at zero: OIML R 76-1:2006, A.4.4.3 (from
    memory).

    Examples
    --------
    >>> true_error(Changeover(1000, 1000, 1.5), e_g=5, zero=Changeover(0, 0, 2))
    0.5
    """
    return float(_error(changeover, e_g) - (0 if zero is None else _error(zero, e_g)))


def _error(changeover: Changeover, e_g: float | Decimal | str) -> Fraction:
    return _unrounded(changeover, e_g) - checked_mass(changeover.load_g, "A load")


def _unrounded(changeover: Changeover, e_g: float | Decimal | str) -> Fraction:
    e = checked_mass(e_g, "A verification interval", positive=True)
    added = checked_mass(changeover.added_g, "What was added")
    return checked_mass(changeover.indicated_g, "An indication") + e / 2 - added

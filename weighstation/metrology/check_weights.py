"""Check weights: what a weight weighs, how sure that is, and whether it can judge a scale."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology.accuracy import checked_mass
from weighstation.quantities import exact_grams, in_words

if TYPE_CHECKING:
    from decimal import Decimal

SHARE_OF_LIMIT = Fraction(1, 3)
"""A weight may be wrong by a third of what the scale may: OIML R 76-1:2006, 3.7.1 (from memory)."""


NEAR_NOMINAL = Fraction(1, 10)
"""A certified value farther off than that is a slip of the pen; house figure."""


class WeightClass(Enum):
    """The class of a weight, as its certificate says."""

    F2 = "F2"
    M1 = "M1"
    M2 = "M2"
    M3 = "M3"


_LIMITS_MG: dict[int, tuple[str, str, str, str]] = {
    # Grams: F2, M1, M2, M3 in milligrams; 10 kg and 20 kg from memory alone.
    1: ("0.3", "1.0", "3.0", "10"),
    2: ("0.4", "1.2", "4.0", "12"),
    5: ("0.5", "1.6", "5.0", "16"),
    10: ("0.6", "2.0", "6.0", "20"),
    20: ("0.8", "2.5", "8.0", "25"),
    50: ("1.0", "3.0", "10", "30"),
    100: ("1.6", "5.0", "16", "50"),
    200: ("3.0", "10", "30", "100"),
    500: ("8.0", "25", "80", "250"),
    1000: ("16", "50", "160", "500"),
    2000: ("30", "100", "300", "1000"),
    5000: ("80", "250", "800", "2500"),
    10_000: ("160", "500", "1600", "5000"),
    20_000: ("300", "1000", "3000", "10000"),
}


def weight_class(name: WeightClass | str) -> WeightClass:
    """Return the class of that name.

    Parameters
    ----------
    name : WeightClass or str
        ``F2``, ``M1``, ``M2`` or ``M3``, in any case.

    Returns
    -------
    WeightClass

    Raises
    ------
    SpecificationError
        If it is none of these.
    """
    if isinstance(name, WeightClass):
        return name
    try:
        return WeightClass(str(name).strip().upper())
    except ValueError as exc:
        raise SpecificationError(
            f"There is no weight class {in_words(name)} here: write F2, M1, M2 or M3, or give the"
            " certified value and its uncertainty instead."
        ) from exc


def weight_limit(nominal_g: float | Decimal | str, *, weight_class: WeightClass | str) -> float:
    """Return by how much a weight of a class may be wrong, either way.

    Parameters
    ----------
    nominal_g : float, Decimal or str, grams
        What is written on it: 1, 2 or 5 with noughts, from 1 g to 20 kg.
    weight_class : WeightClass or str

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If there is no such class, or the table has no such weight.

    Notes
    -----
    OIML R 111-1:2004, table 1 (a copy of the rows from 1 g to 5 kg was seen; 10 kg and 20 kg from
    memory).

    Examples
    --------
    >>> weight_limit(1000, weight_class="M1")
    0.05
    """
    return float(_limit(checked_mass(nominal_g, "A weight", positive=True), weight_class))


_class = weight_class


def _limit(nominal: Fraction, weight_class: WeightClass | str) -> Fraction:
    cls = _class(weight_class)
    row = _LIMITS_MG.get(int(nominal)) if nominal.denominator == 1 else None
    if row is None:
        raise SpecificationError(
            f"No weight of {float(nominal):g} g is in the table of classes: give its certified"
            " value and uncertainty instead."
        )
    return Fraction(row[list(WeightClass).index(cls)]) / 1000


@dataclass(frozen=True, slots=True)
class CheckWeight:
    """One weight that scales are checked with.

    Parameters
    ----------
    name : str
        Who it is, as on its box and its certificate.
    nominal_g : Decimal, grams
    weight_class : WeightClass or None
    certified_g : Decimal, grams, or None
        What the certificate says it weighs; without it, what is written on it.
    uncertainty_g : Decimal, grams, or None
        Expanded uncertainty of the certified value.
    certified_on, due_on : str
        Date of the certificate, and when it is to be certified anew, ISO 8601; may be empty.

    Raises
    ------
    SpecificationError
        If it has neither a class nor a certified value with its uncertainty, a mass means
        nothing, or the certified value is far from what is written on the weight.
    """

    name: str
    nominal_g: Decimal
    weight_class: WeightClass | None = None
    certified_g: Decimal | None = None
    uncertainty_g: Decimal | None = None
    certified_on: str = ""
    due_on: str = ""

    def __post_init__(self) -> None:
        """Refuse a weight that nobody vouches for."""
        nominal = checked_mass(self.nominal_g, "A weight", positive=True)
        if (self.certified_g is None) != (self.uncertainty_g is None):
            raise SpecificationError(
                f"The weight '{self.name}' needs a certified value and its uncertainty, or neither."
            )
        if self.certified_g is not None and self.uncertainty_g is not None:
            certified = checked_mass(self.certified_g, "A certified value", positive=True)
            checked_mass(self.uncertainty_g, "An uncertainty")
            if abs(certified - nominal) > nominal * NEAR_NOMINAL:
                raise SpecificationError(
                    f"The weight '{self.name}' has {self.certified_g} g certified of"
                    f" {self.nominal_g} g: see whether a point is in the wrong place."
                )
        elif self.weight_class is None:
            raise SpecificationError(
                f"The weight '{self.name}' needs a class, or a certified value and its uncertainty."
            )
        else:
            _limit(nominal, self.weight_class)

    @property
    def mass_g(self) -> Fraction:
        """What it weighs in grams, as far as is known."""
        return exact_grams(self.nominal_g if self.certified_g is None else self.certified_g)

    @property
    def error_g(self) -> Fraction:
        """By how much that may be wrong, in grams."""
        if self.uncertainty_g is not None:
            return exact_grams(self.uncertainty_g)
        assert self.weight_class is not None
        return _limit(exact_grams(self.nominal_g), self.weight_class)

    def is_due(self, today: str) -> bool:
        """Tell whether its certificate has run out.

        Parameters
        ----------
        today : str
            ISO 8601 date.

        Returns
        -------
        bool
        """
        return bool(self.due_on) and self.due_on < today


def weight_suits(error_g: float | Fraction, *, limit_g: float | Fraction) -> bool:
    """Tell whether a weight is sure enough to judge a scale.

    Parameters
    ----------
    error_g : float or Fraction, grams
        By how much the weight may be wrong.
    limit_g : float or Fraction, grams
        By how much the scale may be wrong at this load.

    Returns
    -------
    bool
        True up to a third, the third included.

    Raises
    ------
    SpecificationError
        If a number means nothing.

    Notes
    -----
    OIML R 76-1:2006, 3.7.1 (from memory).

    Examples
    --------
    >>> weight_suits(0.05, limit_g=1.0), weight_suits(0.5, limit_g=1.0)
    (True, False)
    """
    error, limit = checked_mass(error_g, "An error"), checked_mass(limit_g, "A limit")
    return error <= limit * SHARE_OF_LIMIT

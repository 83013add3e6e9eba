"""Accuracy classes of scales: what a scale of a class may be, and by how much it may be wrong."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantities import exact_grams, finite, in_words

if TYPE_CHECKING:
    from decimal import Decimal

IN_SERVICE = 2
"""Permissible errors of a scale in service are twice those of its first verification."""


class AccuracyClass(Enum):
    """The class on a scale's plate, there in an oval."""

    SPECIAL = "I"
    HIGH = "II"
    MEDIUM = "III"
    ORDINARY = "IIII"


@dataclass(frozen=True, slots=True)
class _Range:
    """What one class allows from one verification interval on.

    Parameters
    ----------
    from_e_g : Fraction, grams
    least_load_e, least_n : int
        In verification intervals.
    most_n : int or None
    """

    from_e_g: Fraction
    least_load_e: int
    least_n: int
    most_n: int | None


_RANGES = {
    AccuracyClass.SPECIAL: (_Range(Fraction(1, 1000), 100, 50_000, None),),
    AccuracyClass.HIGH: (
        _Range(Fraction(1, 1000), 20, 100, 100_000),
        _Range(Fraction(1, 10), 50, 5_000, 100_000),
    ),
    AccuracyClass.MEDIUM: (
        _Range(Fraction(1, 10), 20, 100, 10_000),
        _Range(Fraction(5), 20, 500, 10_000),
    ),
    AccuracyClass.ORDINARY: (_Range(Fraction(5), 10, 100, 1_000),),
}
_STEPS: dict[AccuracyClass, tuple[int, int, int | None]] = {
    # Up to these loads, in e, 0.5 e, 1 e and 1.5 e are permitted.
    AccuracyClass.SPECIAL: (50_000, 200_000, None),
    AccuracyClass.HIGH: (5_000, 20_000, 100_000),
    AccuracyClass.MEDIUM: (500, 2_000, 10_000),
    AccuracyClass.ORDINARY: (50, 200, 1_000),
}


def accuracy_class(name: AccuracyClass | str) -> AccuracyClass:
    """Return the class of that name.

    Parameters
    ----------
    name : AccuracyClass or str
        ``I``, ``II``, ``III`` or ``IIII``, in any case.

    Returns
    -------
    AccuracyClass

    Raises
    ------
    SpecificationError
        If there is none.
    """
    if isinstance(name, AccuracyClass):
        return name
    try:
        return AccuracyClass(str(name).strip().upper())
    except ValueError as exc:
        raise SpecificationError(
            f"There is no accuracy class {in_words(name)}: write I, II, III or IIII, as on the"
            " plate."
        ) from exc


def permissible_error(
    load_g: float | Decimal | str,
    *,
    e_g: float | Decimal | str,
    accuracy_class: AccuracyClass | str,
    in_service: bool = False,
) -> float:
    """Return by how much a scale may be wrong at a load, either way.

    Parameters
    ----------
    load_g : float, Decimal or str, grams
        Net, not negative.
    e_g : float, Decimal or str, grams
        Verification interval from the plate, positive.
    accuracy_class : AccuracyClass or str
        From the plate: ``I``, ``II``, ``III`` or ``IIII``.
    in_service : bool
        For a scale in use, which may be wrong by twice as much as one that is verified.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number or the class means nothing, or the load is more than the class reaches.

    Notes
    -----
    OIML R 76-1:2006, table 6 and 3.5.2; Directive 2014/31/EU, Annex I; as read in UK SI 1995/1907,
    Schedule 2, 4. The load is compared with the steps as an exact decimal, and a load on a step
    belongs below it. The permissible error holds for an indication freed of its rounding, see
    `weighstation.metrology.indication.unrounded`.

    Examples
    --------
    >>> permissible_error(500, e_g=1, accuracy_class="III")
    0.5
    >>> permissible_error(501, e_g=1, accuracy_class="III", in_service=True)
    2.0
    """
    if not isinstance(in_service, bool):
        raise SpecificationError(f"'in_service' is true or false, not {in_words(in_service)}.")
    load = checked_mass(load_g, "A load")
    e = checked_mass(e_g, "A verification interval", positive=True)
    half_e = _half_intervals(load / e, _class(accuracy_class))
    return float(half_e * e / 2 * (IN_SERVICE if in_service else 1))


_class = accuracy_class


def _half_intervals(load_e: Fraction, cls: AccuracyClass) -> int:
    """Return 1, 2 or 3 for 0.5 e, 1 e or 1.5 e."""
    for half, upto in enumerate(_STEPS[cls], start=1):
        if upto is None or load_e <= upto:
            return half
    raise SpecificationError(
        f"A scale of class {cls.value} has at most {_STEPS[cls][-1]} verification intervals, and"
        f" this load is {math.ceil(load_e)}: see whether class and e are those of the plate."
    )


def checked_mass(
    mass_g: float | Decimal | Fraction | str, what: str, *, positive: bool = False
) -> Fraction:
    """Return a mass as an exact fraction of grams, or refuse it in one sentence.

    Parameters
    ----------
    mass_g : float, Decimal, Fraction or str, grams
    what : str
        What it is, as the beginning of that sentence.
    positive : bool
        Refuse zero too.

    Returns
    -------
    Fraction, grams

    Raises
    ------
    SpecificationError
        If it is no finite number, negative, or zero where that is refused.
    """
    try:
        mass = mass_g if isinstance(mass_g, Fraction) else exact_grams(mass_g)
    except (ArithmeticError, ValueError) as exc:
        raise SpecificationError(
            f"{what} is a finite number of grams, not {in_words(mass_g)}."
        ) from exc
    if finite(mass) is None:
        raise SpecificationError(f"{what} is a finite number of grams, not so large a one.")
    if mass < 0 or (positive and mass == 0):
        wanted = "more than 0 g" if positive else "0 g or more"
        raise SpecificationError(f"{what} is {wanted}, not {in_words(mass_g)} g.")
    return mass


def checked_number(number: float, what: str, *, least: float = -math.inf) -> float:
    """Return a finite number, or refuse what is none in one sentence.

    Parameters
    ----------
    number : float
    what : str
        What it is, as the beginning of that sentence.
    least : float

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If it is no number, not finite, or less than that.
    """
    found = finite(number)
    if found is None or found < least:
        from_least = "" if least == -math.inf else f" from {least:g} up"
        raise SpecificationError(f"{what} is a finite number{from_least}, not {in_words(number)}.")
    return found


@dataclass(frozen=True, slots=True)
class Plate:
    """What the plate of a scale says.

    Parameters
    ----------
    accuracy_class : AccuracyClass
    e_g : Decimal, grams
        Verification interval.
    max_g : Decimal, grams
        Greatest load.

    Raises
    ------
    SpecificationError
        If a mass is not positive, or no scale of that class can be so; with every fault.
    """

    accuracy_class: AccuracyClass
    e_g: Decimal
    max_g: Decimal

    def __post_init__(self) -> None:
        """Refuse a plate that no scale can bear."""
        if not isinstance(self.accuracy_class, AccuracyClass):
            raise SpecificationError(
                f"The class of a plate is an AccuracyClass, not {in_words(self.accuracy_class)}."
            )
        e = checked_mass(self.e_g, "A verification interval", positive=True)
        greatest = checked_mass(self.max_g, "Max", positive=True)
        faults = _plate_faults(self.accuracy_class, e, greatest)
        if faults:
            raise SpecificationError(
                "No scale can have this plate: " + "; ".join(faults) + ".",
                hint="Read class, e and Max from the plate again.",
                faults=faults,
            )

    @property
    def least_load_g(self) -> float:
        """Below this load in grams, Min, a weighing may be off by too great a share."""
        e = exact_grams(self.e_g)
        allowed = _range(self.accuracy_class, e)
        assert allowed is not None
        return float(allowed.least_load_e * e)

    def permissible_error_g(self, load_g: float, *, in_service: bool = True) -> float:
        """Return by how much it may be wrong at a load, in grams.

        Parameters
        ----------
        load_g : float, grams
        in_service : bool

        Returns
        -------
        float, grams
        """
        return permissible_error(
            load_g, e_g=self.e_g, accuracy_class=self.accuracy_class, in_service=in_service
        )


def least_load(e_g: float, *, accuracy_class: AccuracyClass | str) -> float:
    """Return the least load of a scale, Min on its plate.

    Parameters
    ----------
    e_g : float, grams
        Verification interval from the plate, positive.
    accuracy_class : AccuracyClass or str

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If no scale of that class has such an interval.

    Notes
    -----
    OIML R 76-1:2006, table 3; read in UK SI 1995/1907, Schedule 2, table 1. That copy prints 500 e
    for class II from 0.1 g on, where OIML and the directive have 50 e (seen in a secondary copy).

    Examples
    --------
    >>> least_load(1, accuracy_class="III"), least_load(5, accuracy_class="IIII")
    (20.0, 50.0)
    """
    cls = _class(accuracy_class)
    e = checked_mass(e_g, "A verification interval", positive=True)
    allowed = _range(cls, e)
    if allowed is None:
        raise SpecificationError(_too_fine(cls))
    return float(allowed.least_load_e * e)


def _range(cls: AccuracyClass, e: Fraction) -> _Range | None:
    fitting = [allowed for allowed in _RANGES[cls] if e >= allowed.from_e_g]
    return fitting[-1] if fitting else None


def _too_fine(cls: AccuracyClass) -> str:
    least = float(_RANGES[cls][0].from_e_g)
    return f"A scale of class {cls.value} has an e of {least:g} g or more."


def _plate_faults(cls: AccuracyClass, e: Fraction, greatest: Fraction) -> tuple[str, ...]:
    allowed = _range(cls, e)
    faults = []
    if not _is_one_two_five(e):
        faults.append(f"e is 1, 2 or 5, or such a number with noughts, not {float(e):g} g")
    if allowed is None:
        return (*faults, f"class {cls.value} begins at e = {float(_RANGES[cls][0].from_e_g):g} g")
    n = greatest / e
    if n < allowed.least_n:
        faults.append(f"Max is at least {allowed.least_n} e, and this is {float(n):g} e")
    if allowed.most_n is not None and n > allowed.most_n:
        faults.append(f"Max is at most {allowed.most_n} e, and this is {float(n):g} e")
    return tuple(faults)


def _is_one_two_five(e: Fraction) -> bool:
    decade = Fraction(10) ** math.floor(math.log10(e))
    return e / decade in (1, 2, 5, 10)

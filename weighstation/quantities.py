"""Masses as exact integers of milligrams, and the one place where units are converted."""

from __future__ import annotations

import math
from contextlib import suppress
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from numbers import Real

MG_PER_G = 1000
_LONGEST = 40


class Unit(Enum):
    """A unit that a bench scale indicates in; the value is its symbol."""

    GRAM = "g"
    KILOGRAM = "kg"
    OUNCE = "oz"
    POUND = "lb"


MG_PER_UNIT: dict[Unit, Fraction] = {
    # International yard and pound agreement, 1959: 1 lb = 0.45359237 kg exactly, 16 oz to the lb.
    Unit.GRAM: Fraction(1000),
    Unit.KILOGRAM: Fraction(1_000_000),
    Unit.OUNCE: Fraction(45_359_237, 1600),
    Unit.POUND: Fraction(45_359_237, 100),
}


def mg_from_indicated(digits: str | Decimal, unit: Unit) -> int:
    """Return an indicated mass in milligrams, rounded once, half to even.

    Parameters
    ----------
    digits : str or Decimal
        The number as indicated, in ``unit``, with a decimal point.
    unit : Unit
        The unit it is indicated in.

    Returns
    -------
    int, milligrams

    Examples
    --------
    >>> mg_from_indicated("0.651", Unit.KILOGRAM)
    651000
    >>> mg_from_indicated("1", Unit.OUNCE)
    28350
    """
    above, below = Decimal(digits).as_integer_ratio()
    factor = MG_PER_UNIT[unit]
    return _nearest(above * factor.numerator, below * factor.denominator)


def _nearest(above: int, below: int) -> int:
    """Return the integer nearest to a quotient, half to even; ``below`` is positive."""
    whole, left = divmod(above, below)
    return whole + (2 * left + whole % 2 > below)


def mg_from_grams(grams: Decimal | float | str) -> int:
    """Return grams as integer milligrams, rounded half to even on their decimal text.

    Parameters
    ----------
    grams : Decimal, float or str, grams
        A float is taken by its shortest decimal text, so 0.1 means one tenth.

    Returns
    -------
    int, milligrams

    Examples
    --------
    >>> mg_from_grams(740.5)
    740500
    """
    above, below = Decimal(str(grams)).as_integer_ratio()
    return _nearest(above * MG_PER_G, below)


def exact_grams(grams: Decimal | float | str) -> Fraction:
    """Return grams as an exact fraction, rounded to the microgram on their decimal text.

    Parameters
    ----------
    grams : Decimal, float or str, grams
        A finite number. A float is taken by its shortest decimal text; what a sum of floats
        leaves beyond the sixth decimal is noise and goes.

    Returns
    -------
    Fraction, grams

    Examples
    --------
    >>> exact_grams(0.1 + 0.2) == exact_grams("0.3")
    True
    """
    return round(Fraction(Decimal(str(grams))), 6)


def grams(mg: int) -> float:
    """Return milligrams as grams for a file, a screen or a face.

    Parameters
    ----------
    mg : int, milligrams

    Returns
    -------
    float, grams
    """
    return mg / MG_PER_G


def on_division(mg: int, division_mg: int) -> int:
    """Return the multiple of the scale's division nearest to a mass, half to even.

    Parameters
    ----------
    mg : int, milligrams
    division_mg : int, milligrams
        The scale interval d; positive.

    Returns
    -------
    int, milligrams

    Examples
    --------
    >>> on_division(11_600, 1000), on_division(-2500, 5000)
    (12000, 0)
    """
    return _nearest(mg, division_mg) * division_mg


def up_to_division(mg: int, division_mg: int) -> int:
    """Return the least multiple of the scale's division that is not lighter than a mass.

    Parameters
    ----------
    mg : int, milligrams
    division_mg : int, milligrams
        The scale interval d; positive.

    Returns
    -------
    int, milligrams

    Examples
    --------
    >>> up_to_division(735_400, 1000), up_to_division(736_000, 1000)
    (736000, 736000)
    """
    return -(-mg // division_mg) * division_mg


def decimals(division_mg: int) -> int:
    """Return how many decimals of a gram a division needs, at most 3.

    Parameters
    ----------
    division_mg : int, milligrams

    Returns
    -------
    int

    Examples
    --------
    >>> decimals(1000), decimals(500), decimals(20), decimals(5000)
    (0, 1, 2, 0)
    """
    for places in range(3):
        if (division_mg * 10**places) % MG_PER_G == 0:
            return places
    return 3


def grams_text(mg: int, division_mg: int, *, signed: bool = False) -> str:
    """Return a mass in grams with the digits that the division supports.

    Parameters
    ----------
    mg : int, milligrams
    division_mg : int, milligrams
    signed : bool
        Write a plus sign too; zero has no sign.

    Returns
    -------
    str, grams

    Examples
    --------
    >>> grams_text(12_000, 1000, signed=True), grams_text(-7500, 500), grams_text(0, 100)
    ('+12', '-7.5', '0.0')
    """
    places = decimals(division_mg)
    rounded = round(Fraction(mg * 10**places, MG_PER_G))
    sign = "-" if rounded < 0 else "+" if signed and rounded > 0 else ""
    whole, part = divmod(abs(rounded), 10**places)
    return f"{sign}{whole}" + (f".{part:0{places}d}" if places else "")


def finite(number: object) -> float | None:
    """Return a number as a double; None where it is no number, or not finite.

    Parameters
    ----------
    number : object
        Anything that was handed over; a text, a complex number, True and False are no numbers.

    Returns
    -------
    float or None

    Examples
    --------
    >>> finite(Decimal("0.1")), finite("3"), finite(True), finite(float("nan"))
    (0.1, None, None, None)
    """
    if type(number) is float:  # nearly always, and an abstract class is slow to ask
        return number if math.isfinite(number) else None
    if isinstance(number, bool) or not isinstance(number, (Real, Decimal)):
        return None
    with suppress(ValueError, OverflowError):
        found = float(number)
        return found if math.isfinite(found) else None
    return None


def is_number(*given: object) -> bool:
    """Return whether all of these are finite numbers of any kind, as `finite` takes them.

    Parameters
    ----------
    *given : object

    Returns
    -------
    bool
    """
    return all(finite(each) is not None for each in given)


def is_count(given: object, *, least: int = 0) -> bool:
    """Return whether this is a whole number of things, and at least so many.

    Parameters
    ----------
    given : object
        2.0 is no count.
    least : int

    Returns
    -------
    bool
    """
    return is_number(given) and hasattr(given, "__index__") and given >= least  # type: ignore[operator]


def in_words(given: object) -> str:
    """Return what was given, as a sentence can say it on one line.

    Parameters
    ----------
    given : object

    Returns
    -------
    str

    Examples
    --------
    >>> in_words(900.0), in_words(0.123456789), in_words(None), in_words("900")
    ('900', '0.123456789', 'None', "'900'")
    """
    if given is None or isinstance(given, (str, Real, Decimal)):
        with suppress(ValueError):
            said = repr(given) if isinstance(given, str) else _written(given)
            return said if len(said) <= _LONGEST else f"{said[:_LONGEST]}..."
        return "so large a number"
    return f"a value of type {type(given).__name__}"


def _written(given: object) -> str:
    """Return a number as short as it can be without losing a digit."""
    if isinstance(given, float) and float(short := f"{given:g}") == given:
        return short
    return str(given)

"""One number as it was given -> that number, or one plain sentence why it cannot be."""

from __future__ import annotations

import math
from numbers import Complex, Number, Real

from weighstation.errors import SpecificationError

NEAREST = 1e-9
"""How near a confidence may come to 0 and 1; beyond, half of what is left of it is rounding."""


def is_number(*given: object) -> bool:
    """Return whether all of these are finite numbers of any kind, whatever was handed over.

    Parameters
    ----------
    *given : object

    Returns
    -------
    bool
        False for a text, None, a complex number, True and False too.

    Examples
    --------
    >>> from decimal import Decimal
    >>> is_number(3, 0.5, Decimal("0.1")), is_number("3"), is_number(True), is_number(float("nan"))
    (True, False, False, False)
    """
    return all(_is_real(each) and _is_finite(each) for each in given)


def _is_real(given: object) -> bool:
    if type(given) is float:  # nearly always, and an abstract class is slow to ask
        return True
    if isinstance(given, (bool, str)):
        return False
    # a Decimal is a number, and neither real nor complex
    return isinstance(given, Real) or (isinstance(given, Number) and not isinstance(given, Complex))


def _is_finite(given: object) -> bool:
    try:
        return math.isfinite(given)  # type: ignore[arg-type]
    except (OverflowError, ValueError):
        return False


def is_count(given: object, *, least: int = 0) -> bool:
    """Return whether this is a whole number of things, and at least so many.

    Parameters
    ----------
    given : object
    least : int

    Returns
    -------
    bool
    """
    return is_number(given) and hasattr(given, "__index__") and given >= least  # type: ignore[operator]


def shown(given: object) -> str:
    """Return for a sentence what was handed over, short where it is a number.

    Parameters
    ----------
    given : object

    Returns
    -------
    str

    Examples
    --------
    >>> shown(900.0), shown(None), shown("900")
    ('900', 'None', "'900'")
    """
    return f"{given:g}" if is_number(given) else repr(given)


def checked_share(p: float) -> None:
    """Refuse a share that is not between 0 and 1.

    Parameters
    ----------
    p : float

    Raises
    ------
    SpecificationError
        If ``p`` is 0, 1, outside, or not a number.
    """
    if not (is_number(p) and 0 < p < 1):
        raise SpecificationError(f"A share lies between 0 and 1, not at {p}.")


def checked_confidence(p: float) -> None:
    """Refuse a confidence, or a share of all pieces, that nothing can be worked out for.

    Parameters
    ----------
    p : float

    Raises
    ------
    SpecificationError
        If ``p`` is not between 0 and 1, or nearer to one of them than 1e-9.
    """
    checked_share(p)
    if not NEAREST <= p <= 1 - NEAREST:
        raise SpecificationError(
            f"{p} is too near to 0 or 1 to be worked out; stay {NEAREST:g} away from both."
        )


def checked_number(value: float) -> None:
    """Refuse a value that is not a finite number.

    Parameters
    ----------
    value : float

    Raises
    ------
    SpecificationError
        If it is infinite or not a number.
    """
    if not is_number(value):
        raise SpecificationError(f"A finite number is needed here, not {value}.")


def checked_df(df: float) -> None:
    """Refuse degrees of freedom that are none.

    Parameters
    ----------
    df : float

    Raises
    ------
    SpecificationError
        If ``df`` is not a positive finite number.
    """
    if not (is_number(df) and df > 0):
        raise SpecificationError(f"Degrees of freedom are a positive number, not {df}.")


def positive(number: float, name: str) -> float:
    """Return a number that has to be finite and above zero.

    Parameters
    ----------
    number : float
    name : str

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If it is not.
    """
    if not (is_number(number) and number > 0):
        raise SpecificationError(f"{name} must be a number above zero, not {number}.")
    return float(number)

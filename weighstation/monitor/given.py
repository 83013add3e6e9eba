"""One number as it was given -> that number, or one plain sentence why it cannot be."""

from __future__ import annotations

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words, is_number

NEAREST = 1e-9
"""How near a confidence may come to 0 and 1; beyond, half of what is left of it is rounding."""


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
        raise SpecificationError(f"A share lies between 0 and 1, not at {in_words(p)}.")


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
        raise SpecificationError(f"A finite number is needed here, not {in_words(value)}.")


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
        raise SpecificationError(f"Degrees of freedom are a positive number, not {in_words(df)}.")


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
        raise SpecificationError(f"{name} must be a number above zero, not {in_words(number)}.")
    return float(number)

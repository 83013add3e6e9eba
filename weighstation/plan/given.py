"""Numbers as they were given -> numbers that mean something, or one plain sentence."""

from __future__ import annotations

import math
import operator
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words, is_count, is_number

if TYPE_CHECKING:
    from decimal import Decimal

MOST = 1e9
"""No weight in grams, no price and no percentage of a bakery is as large as this."""


def number(given: float | Decimal, what: str, *, positive: bool = False) -> float:
    """Return a number that can stand for a weight or a price.

    Parameters
    ----------
    given : float or Decimal
    what : str
        What it is, as the beginning of a sentence.
    positive : bool
        Refuse zero too.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If it is no number from 0 up, or zero where that is refused.
    """
    wanted = "a number above 0" if positive else "a number from 0 up"
    refused = SpecificationError(f"{what} is {wanted}, not {in_words(given)}.")
    if not is_number(given) or not 0 <= given < MOST or (positive and not given):
        raise refused
    return float(given)


def fraction(given: float | Decimal, what: str) -> float:
    """Return a fraction from 0 up and below 1.

    Parameters
    ----------
    given : float or Decimal
    what : str
        What it is, as the beginning of a sentence.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If it is none.
    """
    found = number(given, what)
    if found >= 1:
        raise SpecificationError(
            f"{what} is a fraction from 0 up and below 1, not {in_words(given)}.",
            hint="Write 12 % as 0.12.",
        )
    return found


def count(given: int, what: str, *, least: int = 0) -> int:
    """Return a whole number of things.

    Parameters
    ----------
    given : int
    what : str
        What it is, as the beginning of a sentence.
    least : int
        The smallest that makes sense.

    Returns
    -------
    int

    Raises
    ------
    SpecificationError
        If it is no whole number, or smaller.
    """
    refused = SpecificationError(
        f"{what} is a whole number from {least} up, not {in_words(given)}."
    )
    if not is_count(given, least=least) or given >= MOST:
        raise refused
    return operator.index(given)


def plain(grams: float) -> str:
    """Return grams for a sentence, with one decimal where there is one.

    Parameters
    ----------
    grams : float, grams

    Returns
    -------
    str

    Examples
    --------
    >>> plain(909.09), plain(43_636.04), plain(-5)
    ('909.1', '43636', '-5')
    """
    rounded = round(grams, 1) or 0.0
    return f"{rounded:.0f}" if math.floor(rounded) == rounded else f"{rounded:.1f}"

"""What was handed in -> exact numbers, or one sentence that says what it should have been."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from weighstation.errors import SpecificationError
from weighstation.quantities import finite, in_words
from weighstation.specification import MOST_G


def exact_g(grams: object, what: str) -> Fraction:
    """Return grams as they are written in decimals, without a double's noise.

    Parameters
    ----------
    grams : object
        A number of any kind; of 32 bits too it is taken as it would be printed.
    what : str
        How the sentence begins if it makes no sense.

    Returns
    -------
    Fraction, grams

    Raises
    ------
    SpecificationError
        If it is not a finite number from 0 up and below a million.
    """
    number = finite(grams)
    if number is None or not 0 <= number < MOST_G:
        raise SpecificationError(
            f"{what} is a number of grams from 0 up and below {MOST_G:,}, not {in_words(grams)}."
        )
    return Fraction(str(grams))


def exact_weights_g(weights_g: object) -> tuple[Fraction, ...]:
    """Return weights as they are written in decimals.

    Parameters
    ----------
    weights_g : object, grams
        An iterable of numbers of grams.

    Returns
    -------
    tuple of Fraction, grams

    Raises
    ------
    SpecificationError
        If it is none, or one of them is no weight.
    """
    if not isinstance(weights_g, Iterable) or isinstance(weights_g, (str, bytes)):
        raise SpecificationError(
            f"The weights are a list of numbers of grams, not {in_words(weights_g)}."
        )
    return tuple(exact_g(each, "A weight") for each in weights_g)


def pieces(count: object, what: str, *, least: int = 1) -> int:
    """Return a number of pieces.

    Parameters
    ----------
    count : object
        A whole number of any kind.
    what : str
        How the sentence begins if it makes no sense.
    least : int

    Returns
    -------
    int

    Raises
    ------
    SpecificationError
        If it is not a whole number, or less than ``least``.
    """
    number = finite(count)
    if number is None or number < least or not number.is_integer():
        noun = "piece" if least == 1 else "pieces"
        raise SpecificationError(
            f"{what} at least {least} {noun}, a whole number, not {in_words(count)}."
        )
    return count if isinstance(count, int) else int(number)

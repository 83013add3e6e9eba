"""What a key of a rule's file may hold, in words and as a test."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

from weighstation.specification.kinds import Kind

MOST = 1_000_000_000
"""No weight in grams and no lot is larger."""
_DECIMAL = re.compile(r"[0-9]{1,10}(?:[.][0-9]{1,10})?")


def whole(least: int = 1, most: int = MOST, *, else_: str = "") -> Kind[int]:
    """Return the kind of a whole number.

    Parameters
    ----------
    least, most : int
    else_ : str
        What else it might be, to end its words with.

    Returns
    -------
    Kind
    """

    def take(given: object) -> int | None:
        is_whole = isinstance(given, int) and not isinstance(given, bool)
        return given if is_whole and isinstance(given, int) and least <= given <= most else None

    up = "up" if most == MOST else f"to {most}"
    return Kind(f"a whole number from {least} {up}{else_}", take)


def number(*, below: Fraction | int = MOST) -> Kind[Fraction]:
    """Return the kind of a number from 0 up, exactly as it is written.

    Parameters
    ----------
    below : Fraction or int

    Returns
    -------
    Kind
    """

    def take(given: object) -> Fraction | None:
        found = _exact(given)
        return found if found is not None and 0 <= found < below else None

    return Kind(f'a number from 0 up and below {float(below):g}, as in 2 or "2.5"', take)


def share(*, least: str = "0") -> Kind[Fraction]:
    """Return the kind of a share of one, below one.

    Parameters
    ----------
    least : str

    Returns
    -------
    Kind
    """

    def take(given: object) -> Fraction | None:
        found = _exact(given)
        return found if found is not None and Fraction(least) <= found < 1 else None

    return Kind(f'a share from {least} up and below 1, as in "0.5"', take)


def _line(given: object) -> str | None:
    is_line = isinstance(given, str) and given.strip() and given.isprintable()
    return given if is_line and isinstance(given, str) else None


def _exact(given: object) -> Fraction | None:
    """Return a number of digits, or None; a float is none, because it is not what was written."""
    if isinstance(given, bool) or not isinstance(given, (int, str)):
        return None
    if isinstance(given, str) and not _DECIMAL.fullmatch(given):
        return None
    return Fraction(given)


LINE = Kind("a line of text", _line)
FLAG = Kind("true or false", lambda given: given if isinstance(given, bool) else None)
DAY = Kind("a day, as in 2026-03-02", lambda given: given if type(given) is date else None)

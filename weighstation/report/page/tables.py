"""What a sheet is made of, and figures as they are written in one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

MOST_NAMED = 10
HEAD_DIGITS = 16
NONE = "\N{EM DASH}"


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A line of a table.

    Parameters
    ----------
    label, said, note : str
        What it is, the figure with its unit, and how it is worked out or what it leaves out.
    """

    label: str
    said: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class SheetTable:
    """A table of a sheet.

    Parameters
    ----------
    title : str
    rows : tuple of SheetRow
    remark : str
        What a person should look into, in one sentence; may be empty.
    """

    title: str
    rows: tuple[SheetRow, ...]
    remark: str = ""


def as_of(line: int, head: str) -> str:
    """Return which line of a journal figures are as of.

    Parameters
    ----------
    line : int
        The last that was read.
    head : str
        Its digest, of which the beginning is shown.

    Returns
    -------
    str

    Examples
    --------
    >>> as_of(44, "9f3e59414c837571aa00")
    'as of line 44, head 9f3e59414c837571'
    """
    return f"as of line {line}, head {head[:HEAD_DIGITS]}"


def utc_text(utc_ms: float) -> str:
    """Return a moment for another program, to the millisecond.

    Parameters
    ----------
    utc_ms : float, milliseconds since 1970

    Returns
    -------
    str
        ISO 8601.

    Examples
    --------
    >>> utc_text(0)
    '1970-01-01T00:00:00.000+00:00'
    """
    return datetime.fromtimestamp(utc_ms / 1000, UTC).isoformat(timespec="milliseconds")


def signed(number: float, places: int = 1) -> str:
    """Return a number with its sign, a true minus; what rounds to nothing has none.

    Parameters
    ----------
    number : float
    places : int
        Decimals.

    Returns
    -------
    str

    Examples
    --------
    >>> signed(6.04), signed(-0.04)
    ('+6.0', '0.0')
    """
    text = f"{number:+.{places}f}"
    return minus(text) if text.strip("+-0.") else text[1:]


def minus(text: str) -> str:
    """Return a number's text with a true minus, and none before a zero.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> minus("-0.00")
    '0.00'
    """
    if not text.strip("-0."):
        return text.removeprefix("-")
    return text.replace("-", "\N{MINUS SIGN}")


def named(names: Iterable[str]) -> str:
    """Return names in a row; past the tenth only how many more there are.

    Parameters
    ----------
    names : iterable of str

    Returns
    -------
    str

    Examples
    --------
    >>> named(["3", "7"]), named(map(str, range(1, 13)))
    ('3, 7', '1, 2, 3, 4, 5, 6, 7, 8, 9, 10 and 2 more')
    """
    every = list(names)
    first, more = every[:MOST_NAMED], len(every) - MOST_NAMED
    return ", ".join(first) + (f" and {more} more" if more > 0 else "")


def counted(number: int, noun: str) -> str:
    """Return a number and its noun.

    Parameters
    ----------
    number : int
    noun : str
        For one.

    Returns
    -------
    str

    Examples
    --------
    >>> counted(1, "piece"), counted(3, "piece")
    ('1 piece', '3 pieces')
    """
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def spans(numbers: Iterable[int]) -> str:
    """Return numbers, those that follow each other as from-to.

    Parameters
    ----------
    numbers : iterable of int
        Ascending.

    Returns
    -------
    str

    Examples
    --------
    >>> spans([3, 4, 5, 9])
    '3-5, 9'
    """
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1] = [found[-1][0], number]
        else:
            found.append([number])
    return ", ".join("-".join(map(str, span)) for span in found)

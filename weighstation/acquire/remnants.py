"""Lines that lost their first bytes and still look like a weight."""

from __future__ import annotations

from weighstation.acquire.fields import read_fields

_NOT_A_WEIGHT = b"0.,-+ abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
_IN_NUMBER = frozenset(b"0123456789.,")


def is_remnant(line: bytes, last: bytes) -> bool:
    """Return whether a line is the one before it less the first digits of its number.

    Zero is none: a pan that was emptied between two lines says the same.

    Parameters
    ----------
    line, last : bytes
        A line and the one before it.

    Returns
    -------
    bool

    Examples
    --------
    >>> is_remnant(b"12.3 g", b"512.3 g"), is_remnant(b"0 g", b"740 g")
    (True, False)
    """
    lost = len(last) - len(line)
    return (
        lost > 0
        and last.endswith(line)
        and last[lost - 1] in _IN_NUMBER
        and line.strip(_NOT_A_WEIGHT) != b""
    )


def may_lack_digits(first: bytes, second: bytes) -> bool:
    """Return whether the very first line may have begun before the port was opened.

    A number with nothing in front of it is believed there only if the next has no more digits.

    Parameters
    ----------
    first, second : bytes

    Returns
    -------
    bool
    """
    here, there = (read_fields(line.decode("latin-1")) for line in (first, second))
    return bool(here and there and here.start == 0 and len(here.run) < len(there.run))

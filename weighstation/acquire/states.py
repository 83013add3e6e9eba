"""A line without a weight -> the state of the scale that it tells."""

from __future__ import annotations

import re

from weighstation.events import Status

# Beside a number only these: "OVER" and "LO" there are how checkweighers judge a good weight.
_OVER_WITH_NUMBER = frozenset(("OL", "O/L", "OVERLOAD", "OVLD", "OVRLD"))
_UNDER_WITH_NUMBER = frozenset(("UL", "U/L", "UNDERLOAD", "UNLD", "UNDLD"))
_OVER = _OVER_WITH_NUMBER | {"OVER", "OVR", "OF", "HI", "HIGH", "OVERFLOW", "OVERRANGE"}
_UNDER = _UNDER_WITH_NUMBER | {"UNDER", "UND", "UF", "LO", "LOW", "UNDERFLOW", "UNDERRANGE"}
_WORD = re.compile(r"[A-Z]+(?:/[A-Z]+)?")
_BAR = re.compile(r"(.)\1{2,}")
_HIGH_BARS = frozenset("^\xafnh\xa8")
_LOW_BARS = frozenset("_vul")
_DASHES = re.compile(r"-(?: ?-)+")
_LONE_SIGN = re.compile(r"(?<![^\s,;])([+-])(?![^\s,;])")
_MINUS_OVER = re.compile(r"-\s*(?:OL|O/L|OF)\b")


def state_of(text: str, *, below_zero: bool) -> Status | None:
    """Return the state that a line without a number tells, or None where it tells none.

    Parameters
    ----------
    text : str
    below_zero : bool
        The last weight was negative; decides what dashes in place of a number mean.

    Returns
    -------
    Status or None
        OVERLOAD or UNDERLOAD.

    Examples
    --------
    >>> state_of("ST,GS,   OL   g", below_zero=False)
    <Status.OVERLOAD: 'overload'>
    """
    upper = text.upper()
    if _MINUS_OVER.search(upper):
        return Status.UNDERLOAD
    words = set(_WORD.findall(upper))
    if words & _OVER:
        return Status.OVERLOAD
    if words & _UNDER:
        return Status.UNDERLOAD
    return _bar_state(text, below_zero=below_zero)


def _bar_state(text: str, *, below_zero: bool) -> Status | None:
    """Return what a row of equal signs, or a sign without its number, stands for."""
    if _DASHES.search(text):
        return Status.UNDERLOAD if below_zero else Status.OVERLOAD
    bars = {match[1].lower() for match in _BAR.finditer(text)}
    if bars & _HIGH_BARS:
        return Status.OVERLOAD
    if bars & _LOW_BARS:
        return Status.UNDERLOAD
    lone = _LONE_SIGN.search(text)
    if lone:
        return Status.OVERLOAD if lone[1] == "+" else Status.UNDERLOAD
    return None


def state_beside_number(marks: tuple[str, ...]) -> Status | None:
    """Return the state that the marks of a line with a number tell, or None.

    Parameters
    ----------
    marks : tuple of str

    Returns
    -------
    Status or None
    """
    upper = {mark.upper() for mark in marks}
    if upper & _OVER_WITH_NUMBER:
        return Status.OVERLOAD
    if upper & _UNDER_WITH_NUMBER:
        return Status.UNDERLOAD
    return None

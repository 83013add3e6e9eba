"""A line without a weight -> the state of the scale that it tells."""

from __future__ import annotations

import re

from weighstation.events import Status

# Beside a number only these: there "OVER" and "LO" speak of the goods, not of the scale.
_OVER_WITH_NUMBER = frozenset(("OL", "O/L", "OVERLOAD", "OVLD", "OVRLD"))
_UNDER_WITH_NUMBER = frozenset(("UL", "U/L", "UNDERLOAD", "UNLD", "UNDLD"))
_OVER = re.compile(r"\b(?:O/?L|OF|HI|HIGH|(?:OVER|OVR|OVLD|OVRLD)[A-Z]*)\b")
_UNDER = re.compile(r"\b(?:U/?L|UF|LO|LOW|(?:UNDER|UND|UNLD|UNDLD)[A-Z]*)\b")
_BAR = re.compile(r"(.)\1{2,}")
_HIGH_BARS = frozenset("^\xafnh\xa8*")
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
    if _MINUS_OVER.search(upper) or _UNDER.search(upper):
        return Status.UNDERLOAD
    if _OVER.search(upper):
        dashed_below = below_zero and "+" not in text and _DASHES.search(text)
        return Status.UNDERLOAD if dashed_below else Status.OVERLOAD
    return _bar_state(text, below_zero=below_zero)


def _bar_state(text: str, *, below_zero: bool) -> Status | None:
    """Return what a row of equal signs, or a sign without its number, stands for."""
    bars = {match[1].lower() for match in _BAR.finditer(text)}
    if bars & _LOW_BARS:
        return Status.UNDERLOAD
    if bars & _HIGH_BARS:
        return Status.OVERLOAD
    if _DASHES.search(text):
        return Status.UNDERLOAD if below_zero and "+" not in text else Status.OVERLOAD
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

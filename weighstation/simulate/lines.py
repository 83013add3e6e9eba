"""The line shapes that a scale may speak, described by structure."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from decimal import Decimal

    from weighstation.quantities import Unit


class Range(Enum):
    """Where the load lies in the range of the scale."""

    WITHIN = "within"
    OVER = "over"
    UNDER = "under"


@dataclass(frozen=True, slots=True)
class Indication:
    """What the scale has to say.

    Parameters
    ----------
    number : Decimal
        In ``unit``, on the division.
    unit : Unit
    steady : bool
        Its own stable mark is up.
    within : Range
    """

    number: Decimal
    unit: Unit
    steady: bool
    within: Range = Range.WITHIN


def _digits(said: Indication, width: int, fill: str = " ") -> str:
    """Return the number without its sign, right aligned."""
    return f"{abs(said.number):{fill}>{width}f}"


def _sign(said: Indication, plus: str = "+") -> str:
    return "-" if said.number < 0 else plus


def _bare(said: Indication) -> str:
    if said.within is not Range.WITHIN:
        return {Range.OVER: "  ------", Range.UNDER: "  ______"}[said.within]
    return f"{said.number:8f}"


def _letter_first(said: Indication) -> str:
    if said.within is not Range.WITHIN:
        letter = {Range.OVER: "H", Range.UNDER: "L"}[said.within]
        return f"{letter}  ------ {said.unit.value}"
    letter = "S" if said.steady else "M"
    return f"{letter} {_sign(said)}{_digits(said, 6, '0')} {said.unit.value}"


def _fields(said: Indication) -> str:
    word = {Range.OVER: "OL", Range.UNDER: "UL", Range.WITHIN: "ST" if said.steady else "US"}
    return f"{word[said.within]},GS,{_sign(said)}{_digits(said, 7, '0')}{said.unit.value:>3}"


def _mark_last(said: Indication) -> str:
    if said.within is not Range.WITHIN:
        return {Range.OVER: "OVER", Range.UNDER: "UNDER"}[said.within]
    return f"{said.number:9f} {said.unit.value} {' ' if said.steady else '?'}"


def _unit_when_steady(said: Indication) -> str:
    if said.within is not Range.WITHIN:
        return {Range.OVER: "+  HHHHHHH", Range.UNDER: "-  LLLLLLL"}[said.within]
    unit = said.unit.value if said.steady else ""
    return f"{_sign(said)}{_digits(said, 9)} {unit:<3}"


def _sign_apart(said: Indication) -> str:
    if said.within is not Range.WITHIN:
        return {Range.OVER: "+ OL", Range.UNDER: "- OL"}[said.within]
    return f"{_sign(said, ' ')} {_digits(said, 7)} {said.unit.value}"


def _flag_last(said: Indication) -> str:
    flag = {Range.OVER: 2, Range.UNDER: 3, Range.WITHIN: 1 if said.steady else 0}
    return f"{_sign(said, '')}{_digits(said, 5, '0')} {said.unit.value};{flag[said.within]}"


def _words(said: Indication) -> str:
    if said.within is not Range.WITHIN:
        return {Range.OVER: "Gross overload", Range.UNDER: "Gross underload"}[said.within]
    word = "stable" if said.steady else "moving"
    return f"Gross {said.number:f} {said.unit.value.upper()} {word}"


class LineShape(Enum):
    """A shape of line; the value says what it looks like."""

    BARE = "a bare number"
    LETTER_FIRST = "a status letter, a signed number padded with zeros, the unit"
    FIELDS = "two status fields and a number, separated by commas"
    MARK_LAST = "a number, the unit, a question mark while moving"
    UNIT_WHEN_STEADY = "a number; the unit is there only when steady"
    SIGN_APART = "a sign, spaces, digits, the unit; no mark"
    FLAG_LAST = "a number, the unit, a semicolon, a digit for the status"
    WORDS = "words round a number"


_WRITERS: dict[LineShape, Callable[[Indication], str]] = {
    LineShape.BARE: _bare,
    LineShape.LETTER_FIRST: _letter_first,
    LineShape.FIELDS: _fields,
    LineShape.MARK_LAST: _mark_last,
    LineShape.UNIT_WHEN_STEADY: _unit_when_steady,
    LineShape.SIGN_APART: _sign_apart,
    LineShape.FLAG_LAST: _flag_last,
    LineShape.WORDS: _words,
}


@dataclass(frozen=True, slots=True)
class Speech:
    """How a scale writes its lines.

    Parameters
    ----------
    shape : LineShape
    comma : bool
        The decimal sign is a comma.
    end : str
        Line terminator: CR, LF or CR LF.
    """

    shape: LineShape = LineShape.LETTER_FIRST
    comma: bool = False
    end: str = "\r\n"

    def line(self, said: Indication) -> bytes:
        """Return the line that says it.

        Parameters
        ----------
        said : Indication

        Returns
        -------
        bytes
        """
        text = _WRITERS[self.shape](said)
        if self.comma:
            text = text.replace(".", ",")
        return (text + self.end).encode("latin-1")

"""The room that a number takes in its line, by which a number that lost digits is known."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.acquire.fields import Fields


class Fill(Enum):
    """How the place of the number is filled."""

    UNKNOWN = "unknown"
    PADDED = "padded"
    TIGHT = "tight"
    LOOSE = "loose"


@dataclass(slots=True)
class NumberPlace:
    """The characters between the mark before the number and the mark after it.

    A padded number always takes the same room, a tight one only what its digits need; either way
    a number that lost some of its characters does not fit, unless a tight one has nothing in
    front of it.

    Parameters
    ----------
    width : int
        Characters, blanks included, that the first number took.
    digits : int
        Characters of that number itself.
    plus : bool
        Positive numbers carry a sign.
    headless : bool
        Numbers below one begin with their decimal sign.
    fill : Fill
    """

    width: int
    digits: int
    plus: bool
    headless: bool
    fill: Fill = Fill.UNKNOWN

    @classmethod
    def of(cls, fields: Fields) -> NumberPlace:
        """Return the place that one number shows."""
        fill = Fill.PADDED if _is_zero_filled(fields.run) else Fill.UNKNOWN
        return cls(
            width=fields.width,
            digits=len(fields.run),
            plus=fields.sign == "+",
            headless=_is_headless(fields.run),
            fill=fill,
        )

    def accepts(self, fields: Fields) -> bool:
        """Return whether a number fits its place, and learn how the place is filled.

        Parameters
        ----------
        fields : Fields

        Returns
        -------
        bool
        """
        if self.fill is Fill.LOOSE:
            return True
        if self.plus and not fields.sign and fields.run.strip("0.,"):
            return False
        if _is_headless(fields.run) and not self.headless:
            return False
        minus = fields.sign == "-" and not self.plus
        grown = fields.width - self.width
        padded = grown == 0 or (minus and grown == 1)
        grown -= len(fields.run) - self.digits
        tight = grown == 0 or (minus and grown == 1)
        if self.fill is Fill.UNKNOWN and len(fields.run) != self.digits:
            self._decide(fields, padded=padded, tight=tight)
        if self.fill is Fill.TIGHT:
            return tight
        return padded or (self.fill is Fill.PADDED and self._overflows(fields))

    def _decide(self, fields: Fields, *, padded: bool, tight: bool) -> None:
        if padded:
            self.fill = Fill.PADDED
        elif tight and not _is_zero_filled(fields.run):
            self.fill = Fill.TIGHT

    def _overflows(self, fields: Fields) -> bool:
        """Return whether a number has outgrown its padded place."""
        blanks = fields.width - len(fields.run) - len(fields.sign)
        return fields.width > self.width and blanks <= 1 and not _is_zero_filled(fields.run)


def _is_zero_filled(run: str) -> bool:
    return run[:1] == "0" and run[1:2].isdigit()


def _is_headless(run: str) -> bool:
    return run[0] in ".,"

"""One table of a rule's file: what is missing, unknown or of another kind is refused by name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from weighstation.errors import SpecificationError

MOST = 1_000_000_000
"""No weight in grams and no lot is larger."""
_DECIMAL = re.compile(r"[0-9]{1,10}(?:[.][0-9]{1,10})?")


class RuleTable:
    """A table of a rule's file.

    Parameters
    ----------
    table : mapping of str to object
    where : str
        What it is called in a message; empty is the top of the file.
    source : str
        What the file is called in a message.
    """

    def __init__(self, table: Mapping[str, object], where: str, source: str) -> None:
        self._table = table
        self._where = where
        self._source = source

    def __contains__(self, key: str) -> bool:
        return key in self._table

    def get(self, key: str) -> object:
        """Return what is there, or None.

        Parameters
        ----------
        key : str

        Returns
        -------
        object
        """
        return self._table.get(key)

    def fault(self, key: str, said: str) -> SpecificationError:
        """Return the error that names file, table and key.

        Parameters
        ----------
        key : str
        said : str
            How the sentence goes on after the key.

        Returns
        -------
        SpecificationError
        """
        of = f" of {self._where}" if self._where else ""
        return SpecificationError(f"In {self._source}, '{key}'{of} {said}.")

    def only(self, *known: str) -> None:
        """Refuse other keys than these.

        Parameters
        ----------
        *known : str

        Raises
        ------
        SpecificationError
            If there is another.
        """
        strange = next((key for key in self._table if key not in known), None)
        if strange is not None:
            raise SpecificationError(
                f"In {self._source}, {strange!r} is not known in {self._where or 'a rule'}.",
                hint=f"It may hold {', '.join(known)}.",
            )

    def text(self, key: str) -> str:
        """Return a line of text.

        Parameters
        ----------
        key : str

        Returns
        -------
        str

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        text = self._there(key)
        if not isinstance(text, str) or not text.strip() or not text.isprintable():
            raise self.fault(key, "must be a line of text")
        return text

    def flag(self, key: str) -> bool:
        """Return true or false; false where nothing is said.

        Parameters
        ----------
        key : str

        Returns
        -------
        bool

        Raises
        ------
        SpecificationError
            If it is something else.
        """
        flag = self._table.get(key, False)
        if not isinstance(flag, bool):
            raise self.fault(key, "must be true or false")
        return flag

    def day(self, key: str) -> date:
        """Return a day.

        Parameters
        ----------
        key : str

        Returns
        -------
        date

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        day = self._there(key)
        if type(day) is not date:
            raise self.fault(key, "must be a day, as in 2026-03-02")
        return day

    def whole(self, key: str, *, least: int = 1, most: int = MOST, else_: str = "") -> int:
        """Return a whole number.

        Parameters
        ----------
        key : str
        least, most : int
        else_ : str
            What else it might be, for the message.

        Returns
        -------
        int

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        number = self._there(key)
        if isinstance(number, bool) or not isinstance(number, int) or not least <= number <= most:
            up = "up" if most == MOST else f"to {most}"
            raise self.fault(key, f"must be a whole number from {least} {up}{else_}")
        return number

    def span(self, first: str, last: str) -> tuple[int, int]:
        """Return two whole numbers of which the second is not less.

        Parameters
        ----------
        first, last : str

        Returns
        -------
        tuple of (int, int)

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        least = self.whole(first)
        return least, self.whole(last, least=least)

    def number(self, key: str, *, below: Fraction | int = MOST) -> Fraction:
        """Return a number from 0 up, exactly as it is written.

        Parameters
        ----------
        key : str
        below : Fraction or int

        Returns
        -------
        Fraction

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        found = _exact(self._there(key))
        if found is None or not 0 <= found < below:
            raise self.fault(
                key, f'must be a number from 0 up and below {float(below):g}, as in 2 or "2.5"'
            )
        return found

    def positive(self, key: str) -> Fraction:
        """Return a number above 0, exactly as it is written.

        Parameters
        ----------
        key : str

        Returns
        -------
        Fraction

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        found = self.number(key)
        if not found:
            raise self.fault(key, "must be more than 0")
        return found

    def share(self, key: str, *, least: str = "0") -> Fraction:
        """Return a share of one, below one.

        Parameters
        ----------
        key : str
        least : str

        Returns
        -------
        Fraction

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        found = _exact(self._there(key))
        if found is None or not Fraction(least) <= found < 1:
            raise self.fault(key, f'must be a share from {least} up and below 1, as in "0.5"')
        return found

    def table(self, key: str) -> RuleTable:
        """Return a table within.

        Parameters
        ----------
        key : str

        Returns
        -------
        RuleTable

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        part = self._there(key)
        if not isinstance(part, Mapping):
            raise self.fault(key, "must be a table")
        return RuleTable(part, self._within(f"[{key}]"), self._source)

    def rows(self, key: str, what: str, *, least: int = 1) -> list[RuleTable]:
        """Return a list of tables within.

        Parameters
        ----------
        key : str
        what : str
            What one of them is called in a message.
        least : int
            0 needs none, and not the key either.

        Returns
        -------
        list of RuleTable

        Raises
        ------
        SpecificationError
            If it is missing or something else.
        """
        rows = self._there(key) if least else self._table.get(key, [])
        if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
            raise self.fault(key, "must be a list of tables")
        if len(rows) < least:
            raise self.fault(key, "is empty")
        return [
            RuleTable(row, f"{what} {place}", self._source)
            for place, row in enumerate(rows, start=1)
        ]

    def _within(self, part: str) -> str:
        return f"{part} of {self._where}" if self._where else part

    def _there(self, key: str) -> object:
        if key not in self._table:
            raise self.fault(key, "is missing")
        return self._table[key]


def _exact(number: object) -> Fraction | None:
    """Return a number of digits, or None; a float is none, because it is not what was written."""
    if isinstance(number, bool) or not isinstance(number, (int, str)):
        return None
    if isinstance(number, str) and not _DECIMAL.fullmatch(number):
        return None
    return Fraction(number)

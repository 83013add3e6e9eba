"""One table of a rule's file: what is missing, unknown or of another kind is refused by name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeVar

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from weighstation.specification.kinds import Kind

T = TypeVar("T")
U = TypeVar("U")


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

    def need(self, key: str, kind: Kind[T]) -> T:
        """Return what a key holds.

        Parameters
        ----------
        key : str
        kind : Kind

        Returns
        -------
        object

        Raises
        ------
        SpecificationError
            If it is missing or does not fit.
        """
        found = kind.take(self._there(key))
        if found is None:
            raise self.fault(key, f"must be {kind.word}")
        return found

    def take(self, key: str, kind: Kind[T], *, usual: U) -> T | U:
        """Return what a key holds, or the usual where it is not there.

        Parameters
        ----------
        key : str
        kind : Kind
        usual : object

        Returns
        -------
        object

        Raises
        ------
        SpecificationError
            If it does not fit.
        """
        return self.need(key, kind) if key in self else usual

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
        within = f"[{key}] of {self._where}" if self._where else f"[{key}]"
        return RuleTable(part, within, self._source)

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
            If there are fewer, or it is something else.
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

    def _there(self, key: str) -> object:
        if key not in self._table:
            raise self.fault(key, "is missing")
        return self._table[key]

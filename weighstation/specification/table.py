"""One table of the products file, taken key by key; everything wrong with it is gathered."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from weighstation.specification.kinds import Kind

T = TypeVar("T")
_NEAR = 0.6
"""How alike two spellings are that may be meant for each other, from 0 to 1."""


class Table:
    """A table as it was given, and its faults.

    Parameters
    ----------
    given : mapping of str to object
    where : str
        What it is called in a fault, such as "product 2 ('Roll')"; empty for the file itself.
    name : str
        Its own key in the table that it is a part of.
    above : Table or None
        The table that it is a part of; its faults are gathered there.
    """

    def __init__(
        self,
        given: Mapping[str, object],
        where: str = "",
        *,
        name: str = "",
        above: Table | None = None,
    ) -> None:
        self._given = given
        self.where = where
        self._name = name
        self._above = above
        self._asked: list[str] = []
        self.faults: list[str] = [] if above is None else above.faults

    def __contains__(self, key: str) -> bool:
        return key in self._given

    def know(self, key: str) -> None:
        """Let a key be known that is not taken from here.

        Parameters
        ----------
        key : str
        """
        self._asked.append(key)

    def take(self, key: str, kind: Kind[T]) -> T | None:
        """Return what a key holds; None where it is not there or does not fit.

        Parameters
        ----------
        key : str
        kind : Kind

        Returns
        -------
        object or None
        """
        self._asked.append(key)
        if key not in self._given:
            return None
        found = kind.take(self._given[key])
        if found is None:
            self.fault(f"{self.called(key)} must be {kind.word}")
        return found

    def need(self, key: str, kind: Kind[T], *, how: str = "") -> T | None:
        """Return what a key holds that must be there; None where it does not fit.

        Parameters
        ----------
        key : str
        kind : Kind
        how : str
            What to do where it is missing.

        Returns
        -------
        object or None
        """
        if key not in self._given:
            self.fault(f"{self.called(key)} is missing" + (f": {how}" if how else ""))
        return self.take(key, kind)

    def part(self, key: str) -> Table | None:
        """Return the table that a key holds; None where there is none.

        Parameters
        ----------
        key : str

        Returns
        -------
        Table or None
        """
        self._asked.append(key)
        if key not in self._given:
            return None
        held = self._given[key]
        if isinstance(held, dict):
            return Table(held, self.where, name=key, above=self)
        self.fault(f"{key} must be a table, written {self._header_of(key)}")
        return None

    def others(self) -> tuple[str, ...]:
        """Return the keys that nobody asked for, and that do not belong to the table above."""
        return tuple(key for key in self._given if key not in self._asked and not self._strays(key))

    def end(self) -> None:
        """Name the keys that nobody asked for, with the known one that is near in spelling."""
        for key in (key for key in self._given if key not in self._asked):
            if self._strays(key):
                header = self._header_of(self._name)
                self.fault(f"'{key}' stands under {header} and belongs above that line")
            else:
                where = "" if self.where or self._name else " at the top of the file"
                self.fault(f"'{self.called(key)}' is not known{where}{near(key, self._asked)}")

    def fault(self, text: str) -> None:
        """Gather a fault.

        Parameters
        ----------
        text : str
            The end of a sentence that begins with where it is.
        """
        self.faults.append(on_one_line(f"{self.where}: {text}" if self.where else text))

    def called(self, key: str) -> str:
        """Return a key as a fault names it, with the part that it stands in.

        Parameters
        ----------
        key : str

        Returns
        -------
        str
        """
        return f"{self._name}.{key}" if self._name else key

    def _header_of(self, part: str) -> str:
        return f"[product.{part}]" if self.where else f"[{part}]"

    def _strays(self, key: str) -> bool:
        return self._above is not None and key in self._above._asked  # noqa: SLF001 - its own kind


def on_one_line(text: str) -> str:
    """Return a text with a space for whatever cannot be printed.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
    """
    return "".join(letter if letter.isprintable() else " " for letter in text)


def near(word: str, known: Iterable[str]) -> str:
    """Return what may have been meant by a word, to end a sentence with; else an empty text.

    Parameters
    ----------
    word : str
    known : iterable of str

    Returns
    -------
    str

    Examples
    --------
    >>> near("scaling_wieght_g", ("name", "scaling_weight_g"))
    " (did you mean 'scaling_weight_g'?)"
    """
    from difflib import get_close_matches  # noqa: PLC0415 - only where something is wrong

    by_case = {each.casefold(): each for each in known}
    found = get_close_matches(word.casefold(), by_case, n=1, cutoff=_NEAR)
    return f" (did you mean '{by_case[found[0]]}'?)" if found else ""

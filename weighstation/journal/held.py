"""What a body of a line holds, taken key by key; what is missing or of another kind is refused."""

from __future__ import annotations

from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING, TypeVar

from weighstation.errors import JournalError

if TYPE_CHECKING:
    from weighstation.journal.entry import Body

Choice = TypeVar("Choice", bound=Enum)


def integer(body: Body, key: str) -> int:
    """Return an integer of a body.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    int

    Raises
    ------
    JournalError
        If there is none.
    """
    value = body.get(key)
    if isinstance(value, bool) or not isinstance(value, int):
        raise JournalError(f"A journal line lacks its number '{key}'.")
    return value


def word(body: Body, key: str) -> str:
    """Return a text of a body.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    str

    Raises
    ------
    JournalError
        If there is none.
    """
    value = body.get(key)
    if not isinstance(value, str):
        raise JournalError(f"A journal line lacks its text '{key}'.")
    return value


def part(body: Body, key: str) -> Body:
    """Return a part of a body.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    Mapping

    Raises
    ------
    JournalError
        If there is none.
    """
    held = body.get(key)
    if not isinstance(held, dict):
        raise JournalError(f"A journal line lacks its part '{key}'.")
    return held


def parts(body: Body, key: str) -> list[Body]:
    """Return the parts in a list of a body.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    list of Mapping

    Raises
    ------
    JournalError
        If there is no such list.
    """
    held = body.get(key)
    if not isinstance(held, list) or not all(isinstance(each, dict) for each in held):
        raise JournalError(f"A journal line lacks its list '{key}'.")
    return [each for each in held if isinstance(each, dict)]


def one_of(choices: type[Choice], body: Body, key: str) -> Choice:
    """Return a word out of a few.

    Parameters
    ----------
    choices : type of Enum
    body : Mapping
    key : str

    Returns
    -------
    Enum

    Raises
    ------
    JournalError
        If there is none, or another.
    """
    try:
        return choices(word(body, key))
    except ValueError as exc:
        raise JournalError(f"A journal line holds a '{key}' that is not known.") from exc


def integer_or_none(body: Body, key: str) -> int | None:
    """Return an integer of a body; None where it has none.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    int or None

    Raises
    ------
    JournalError
        If it is something else.
    """
    return integer(body, key) if key in body else None


def word_or_empty(body: Body, key: str) -> str:
    """Return a text of a body; an empty one where it has none.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    str

    Raises
    ------
    JournalError
        If it is something else.
    """
    return word(body, key) if key in body else ""


def decimal_or_none(body: Body, key: str) -> Decimal | None:
    """Return a number of digits of a body; None where it has none.

    Parameters
    ----------
    body : Mapping
    key : str

    Returns
    -------
    Decimal or None

    Raises
    ------
    JournalError
        If it is something else.
    """
    try:
        return Decimal(word(body, key)) if key in body else None
    except ArithmeticError as exc:
        raise JournalError(f"A journal line holds a '{key}' that is no number.") from exc

"""A touch on the bench page -> what it asks of the bench, by name."""

from __future__ import annotations

import json
from typing import Any, NamedTuple

from weighstation.errors import SpecificationError
from weighstation.station.bench.keys import OF_BOARDS, Control, OfBatch, OfBoard
from weighstation.station.bench.messages import Asked, BoardAsked, StrikeOut

_MOST_NUMBER = 10**6
_OF_BATCH: tuple[OfBatch, ...] = (Control.TURN, Control.PAUSE, Control.DOUGH, Control.END)
_UNNAMED: dict[str, OfBatch] = {control.value: control for control in _OF_BATCH}
_BOARDS: dict[str, OfBoard] = {control.value: control for control in OF_BOARDS}


class Touch(NamedTuple):
    """What was touched.

    Parameters
    ----------
    asked : Asked
    batch : int
        Number of the batch that was shown when it was.
    """

    asked: Asked
    batch: int


def touch_from(body: bytes) -> Touch:
    """Return what a page asks.

    Parameters
    ----------
    body : bytes
        JSON: ``control`` the value of a `Control`, ``batch`` a number, and ``name`` the number of
        the piece or board that the person was shown, where the control means one.

    Returns
    -------
    Touch

    Raises
    ------
    SpecificationError
        If it is anything else.
    """
    try:
        said = json.loads(body)
    except (ValueError, RecursionError):
        raise _not_asked() from None
    if not isinstance(said, dict):
        raise _not_asked()
    return Touch(_asked(said.get("control"), said), number_in(said, "batch"))


def _asked(control: object, said: dict[str, Any]) -> Asked:
    if not isinstance(control, str):
        raise _not_asked()
    if control in _UNNAMED:
        return _UNNAMED[control]
    if control in _BOARDS:
        return BoardAsked(_BOARDS[control], number_in(said, "name"))
    if control == Control.VOID.value:
        return StrikeOut(number_in(said, "name"))
    raise _not_asked()


def number_in(said: dict[str, Any], key: str) -> int:
    """Return a number from 1 that a page has sent.

    Parameters
    ----------
    said : dict
    key : str

    Returns
    -------
    int

    Raises
    ------
    SpecificationError
        If there is none.
    """
    number = said.get(key)
    if type(number) is not int or not 0 < number < _MOST_NUMBER:
        raise _not_asked()
    return number


def _not_asked() -> SpecificationError:
    return SpecificationError(
        "The bench cannot tell what was touched.", hint="Load the page again."
    )

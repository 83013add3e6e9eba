"""What is said about boards -> bodies of lines, and back.

Which piece lies on which board is in no line: it follows from the places of a board and the order
in which pieces count, so that no two lines can contradict each other.
"""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

from weighstation.errors import JournalError
from weighstation.journal.held import word

if TYPE_CHECKING:
    from weighstation.journal.entry import Body


class BoardStage(Enum):
    """How far a board was moved; the value is the word on the record."""

    AT_BENCH = "at_bench"
    IN_OVEN = "in_oven"
    OUT = "out_of_oven"


def board_opened(board: int, places: int, *, run: str) -> Body:
    """Return the body for the board that the next piece goes on.

    Parameters
    ----------
    board : int
        Its number.
    places : int
        Pieces that go on it, and on those that follow by themselves once it is full.
    run : str

    Returns
    -------
    Mapping
    """
    return {"run": run, "board": board, "places": places}


def board_closed(board: int, *, run: str = "") -> Body:
    """Return the body for a board that is closed before it is full.

    Parameters
    ----------
    board : int
    run : str
        In which it was said; empty where nothing was being divided.

    Returns
    -------
    Mapping
    """
    return {"board": board, **_said_in(run)}


def board_moved(board: int, stage: BoardStage, *, run: str = "", at_ms: int | None = None) -> Body:
    """Return the body for a board that has come one stage further.

    Parameters
    ----------
    board : int
    stage : BoardStage
    run : str
        In which it was said; empty where nothing was being divided.
    at_ms : int, milliseconds, or None
        On the run's own clock, like ``placed_ms`` of a piece; None where there is no run, and the
        line's own time holds.

    Returns
    -------
    Mapping
    """
    when = {} if at_ms is None else {"at_ms": at_ms}
    return {"board": board, "stage": stage.value, **_said_in(run), **when}


def _said_in(run: str) -> dict[str, str]:
    return {"run": run} if run else {}


def read_stage(body: Body) -> BoardStage:
    """Return how far a board was moved.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    BoardStage

    Raises
    ------
    JournalError
        If it is not said, or not known.
    """
    try:
        return BoardStage(word(body, "stage"))
    except ValueError as exc:
        raise JournalError("A journal line holds a 'stage' that is not known.") from exc

"""Boards -> the words for them, the same on the panel and in plain lines."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.plan.boards.board import Stage
from weighstation.plan.boards.rest import Rested
from weighstation.station.bench.keys import Control

if TYPE_CHECKING:
    from weighstation.plan.boards.board import Board
    from weighstation.plan.boards.rest import BoardRest
    from weighstation.station.bench.keys import OfBoard

NO_BOARDS = "No boards are kept: say in products.toml how many board_places a board has."
NOTHING_MEANT: dict[OfBoard, str] = {
    Control.CLOSE: "No piece lies on the board that is filling.",
    Control.BENCH: "No board waits to be shaped.",
    Control.OVEN_IN: "No board waits for the oven.",
    Control.OVEN_OUT: "No board is in the oven.",
}
"""What is said where a key means no board; nothing changes."""

REST_SIGNS = {
    Rested.TOO_SHORT: ("\N{MIDDLE DOT}", "WAIT"),
    Rested.READY: ("\N{BLACK RIGHT-POINTING POINTER}", "READY"),
    Rested.TOO_LONG: ("!", "LATE"),
}
"""A sign and a word for each state of a rest; colour only repeats them."""

KEY_LETTERS: dict[OfBoard, str] = {
    Control.CLOSE: "C",
    Control.BENCH: "S",
    Control.OVEN_IN: "I",
    Control.OVEN_OUT: "O",
}
_DOES: dict[OfBoard, str] = {
    Control.CLOSE: "closes board {}",
    Control.BENCH: "takes board {} to the bench",
    Control.OVEN_IN: "puts board {} into the oven",
    Control.OVEN_OUT: "has board {} out of the oven",
}
_STAGES = {
    Stage.FILLING: "has room again",
    Stage.CLOSED: "is closed",
    Stage.AT_BENCH: "is at the bench",
    Stage.IN_OVEN: "is in the oven",
    Stage.OUT: "is out of the oven, and hot",
}


def minutes(seconds: float) -> str:
    """Return whole minutes, begun ones left out.

    Parameters
    ----------
    seconds : float, seconds

    Returns
    -------
    str

    Examples
    --------
    >>> minutes(719.9)
    '11 min'
    """
    return f"{int(max(seconds, 0.0) // 60)} min"


def left_text(rest: BoardRest) -> str:
    """Return how long it is until a rest is enough, or too long, or by how much it is.

    Parameters
    ----------
    rest : BoardRest

    Returns
    -------
    str
        In whole minutes, on the careful side.
    """
    match rest.rested:
        case Rested.TOO_SHORT:
            return f"ready in {math.ceil(rest.until_s / 60)} min"
        case Rested.READY:
            return f"{minutes(rest.left_s)} left"
        case Rested.TOO_LONG:
            return f"{math.ceil(-rest.left_s / 60)} min too long"


def rest_text(rest: BoardRest, *, more: int = 0) -> str:
    """Return a rest with its sign and its word, which stand in the same columns for all three.

    Parameters
    ----------
    rest : BoardRest
        Of a board that waits.
    more : int
        Boards that wait behind it.

    Returns
    -------
    str
    """
    sign, word = REST_SIGNS[rest.rested]
    behind = f"; {more} more wait" if more else ""
    said = f"rested {minutes(rest.rest_s)}, {left_text(rest)}"
    return f"{sign} {word:<5}  board {rest.board}, {said}{behind}"


def moved_text(board: Board, rest: BoardRest | None) -> str:
    """Return where a board is now.

    Parameters
    ----------
    board : Board
    rest : BoardRest or None
        Of its oldest piece.

    Returns
    -------
    str
        One plain sentence.
    """
    said = f"Board {board.number} {_STAGES[board.stage]}"
    if board.stage is Stage.CLOSED:
        count = len(board.pieces)
        return f"{said} with {'1 piece' if count == 1 else f'{count} pieces'}."
    if board.stage is not Stage.AT_BENCH or rest is None:
        return f"{said}."
    rested = f"it rested {minutes(rest.rest_s)}"
    match rest.rested:
        case Rested.TOO_SHORT:
            return f"{said}: {rested}, {math.ceil(rest.until_s / 60)} min too short."
        case Rested.READY:
            return f"{said}: {rested}."
        case Rested.TOO_LONG:
            return f"{said}: {rested}, {left_text(rest)}."


def armed_board_text(control: OfBoard, number: int, board: Board | None) -> str:
    """Return what a second press of a key for boards will do.

    Parameters
    ----------
    control : OfBoard
    number : int
        Of the board.
    board : Board or None
        Where it is held.

    Returns
    -------
    str
    """
    count = len(board.pieces) if board else 0
    carries = f" ({'1 piece' if count == 1 else f'{count} pieces'})" if count else ""
    does = _DOES[control].format(number)
    return f"{KEY_LETTERS[control]} again {does}{carries}; another: type its number"

"""What a line of the journal makes new of boards, for whoever tells it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from weighstation.plan.boards.board import Board, OnBoard


@dataclass(frozen=True, slots=True)
class Laid:
    """A piece lies on a board.

    Parameters
    ----------
    board : int
        Its number.
    piece : OnBoard
    """

    board: int
    piece: OnBoard


@dataclass(frozen=True, slots=True)
class Moved:
    """A board has come to another stage.

    Parameters
    ----------
    board : Board
        As it is now.
    stage : str
        What its stage is called for programs.
    """

    board: Board
    stage: str


BoardNews: TypeAlias = Laid | Moved

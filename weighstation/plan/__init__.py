"""Times, pieces, temperatures -> what is next on the bench and in the oven, and when.

Pure functions and small immutable values: no file, no clock asked, nothing printed. Figures that
have no source are defaults, and their docstrings call them common practice or a house figure.
"""

from weighstation.plan.board import Board, OnBoard, Stage
from weighstation.plan.board_facts import (
    BoardClosed,
    BoardFact,
    BoardOpened,
    BoardToBench,
    OvenIn,
    OvenOut,
    PieceBoarded,
    PieceVoided,
)
from weighstation.plan.boards import Boards

__all__ = [
    "Board",
    "BoardClosed",
    "BoardFact",
    "BoardOpened",
    "BoardToBench",
    "Boards",
    "OnBoard",
    "OvenIn",
    "OvenOut",
    "PieceBoarded",
    "PieceVoided",
    "Stage",
]

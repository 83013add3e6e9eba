"""Times, pieces, temperatures -> what is next on the bench and in the oven, and when.

Pure functions and small immutable values: no file, no clock asked, nothing printed. Figures that
have no source are defaults, and their docstrings call them common practice or a house figure.
"""

from weighstation.plan.bake import BakeTime, EvenBake, Uneven, bake_time, even_bake
from weighstation.plan.board import Board, OnBoard, Stage
from weighstation.plan.board_changes import facts_of_change
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
from weighstation.plan.board_record import BoardRecord, window_of
from weighstation.plan.boards import Boards
from weighstation.plan.clock import DoughClock, Fit, Outlook
from weighstation.plan.fermentation import Law, mean_rate, rate
from weighstation.plan.flow import Flow, Keeping, ShapingAhead, shaping_ahead
from weighstation.plan.oven import (
    OVEN_CAUTIONS,
    DeckLoad,
    Oven,
    OvenLoad,
    deck_load,
    oven_loads,
)
from weighstation.plan.pace import Pace, TimeLimit, largest_dough, pace, time_limit
from weighstation.plan.proof import (
    ProofNeeded,
    Ready,
    TemperatureLog,
    core_caution,
    equivalent_minutes,
    ready_times,
)
from weighstation.plan.remedies import Remedy, Suggestion, before_mixing, while_cutting
from weighstation.plan.rest import (
    BoardRest,
    Rested,
    RestWindow,
    cover_caution,
    next_board,
    rest_of,
    rests,
)

__all__ = [
    "OVEN_CAUTIONS",
    "BakeTime",
    "Board",
    "BoardClosed",
    "BoardFact",
    "BoardOpened",
    "BoardRecord",
    "BoardRest",
    "BoardToBench",
    "Boards",
    "DeckLoad",
    "DoughClock",
    "EvenBake",
    "Fit",
    "Flow",
    "Keeping",
    "Law",
    "OnBoard",
    "Outlook",
    "Oven",
    "OvenIn",
    "OvenLoad",
    "OvenOut",
    "Pace",
    "PieceBoarded",
    "PieceVoided",
    "ProofNeeded",
    "Ready",
    "Remedy",
    "RestWindow",
    "Rested",
    "ShapingAhead",
    "Stage",
    "Suggestion",
    "TemperatureLog",
    "TimeLimit",
    "Uneven",
    "bake_time",
    "before_mixing",
    "core_caution",
    "cover_caution",
    "deck_load",
    "equivalent_minutes",
    "even_bake",
    "facts_of_change",
    "largest_dough",
    "mean_rate",
    "next_board",
    "oven_loads",
    "pace",
    "rate",
    "ready_times",
    "rest_of",
    "rests",
    "shaping_ahead",
    "time_limit",
    "while_cutting",
    "window_of",
]

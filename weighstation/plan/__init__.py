"""Orders, dough on hand, losses -> scaling weight, pieces, what is left over.

Times, pieces, temperatures -> what is next on the bench and in the oven, and when.

Pure functions and small immutable values: no file, no clock asked, nothing printed. Every result is
an offer to the person at the bench; none of them changes a target by itself. Figures that have no
source are defaults, and their docstrings call them common practice or a house figure.
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
from weighstation.plan.boards import Boards
from weighstation.plan.clock import DoughClock, Fit, Outlook
from weighstation.plan.fermentation import Law, mean_rate, rate
from weighstation.plan.flour import BenchFlour, Dusting, bench_flour, picked_up_g
from weighstation.plan.flow import Flow, Keeping, ShapingAhead, shaping_ahead
from weighstation.plan.formula import Formula, cost_per_kg, formula
from weighstation.plan.leftover import LeftoverUse, Use, uses_of_leftover
from weighstation.plan.losses import (
    Loss,
    Losses,
    ScalingWeight,
    scaling_weight,
    weight_after,
    weight_before,
)
from weighstation.plan.order import Ordered, OrderedDough, dough_for_orders
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
from weighstation.plan.retarget import Remaining, Retarget, retarget
from weighstation.plan.room import Room
from weighstation.plan.several import Portion, Shares, Wanted, share_out
from weighstation.plan.split import Choice, Short, Split, split

__all__ = [
    "OVEN_CAUTIONS",
    "BakeTime",
    "BenchFlour",
    "Board",
    "BoardClosed",
    "BoardFact",
    "BoardOpened",
    "BoardRest",
    "BoardToBench",
    "Boards",
    "Choice",
    "DeckLoad",
    "DoughClock",
    "Dusting",
    "EvenBake",
    "Fit",
    "Flow",
    "Formula",
    "Keeping",
    "Law",
    "LeftoverUse",
    "Loss",
    "Losses",
    "OnBoard",
    "Ordered",
    "OrderedDough",
    "Outlook",
    "Oven",
    "OvenIn",
    "OvenLoad",
    "OvenOut",
    "Pace",
    "PieceBoarded",
    "PieceVoided",
    "Portion",
    "ProofNeeded",
    "Ready",
    "Remaining",
    "Remedy",
    "RestWindow",
    "Rested",
    "Retarget",
    "Room",
    "ScalingWeight",
    "ShapingAhead",
    "Shares",
    "Short",
    "Split",
    "Stage",
    "Suggestion",
    "TemperatureLog",
    "TimeLimit",
    "Uneven",
    "Use",
    "Wanted",
    "bake_time",
    "before_mixing",
    "bench_flour",
    "core_caution",
    "cost_per_kg",
    "cover_caution",
    "deck_load",
    "dough_for_orders",
    "equivalent_minutes",
    "even_bake",
    "facts_of_change",
    "formula",
    "largest_dough",
    "mean_rate",
    "next_board",
    "oven_loads",
    "pace",
    "picked_up_g",
    "rate",
    "ready_times",
    "rest_of",
    "rests",
    "retarget",
    "scaling_weight",
    "shaping_ahead",
    "share_out",
    "split",
    "time_limit",
    "uses_of_leftover",
    "weight_after",
    "weight_before",
    "while_cutting",
]

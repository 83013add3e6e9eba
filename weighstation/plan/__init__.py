"""Orders, dough on hand, losses -> scaling weight, pieces, what is left over.

Times, pieces, temperatures -> what is next on the bench and in the oven, and when.

Pure functions and small immutable values: no file, no clock asked, nothing printed. Every result is
an offer to the person at the bench; none of them changes a target by itself. Figures that have no
source are defaults, and their docstrings call them common practice or a house figure.
"""

from weighstation.plan.apart import Apart, loaves_apart
from weighstation.plan.bake import BakeTime, EvenBake, Uneven, bake_time, even_bake
from weighstation.plan.baked_spread import (
    BakedSplit,
    Lever,
    baked_sd_g,
    split_of_pairs,
    split_of_samples,
)
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
from weighstation.plan.changeover import travels
from weighstation.plan.clock import DoughClock, Fit, Outlook
from weighstation.plan.fermentation import Law, mean_rate, rate
from weighstation.plan.flour import BenchFlour, Dusting, bench_flour, picked_up_g
from weighstation.plan.flow import Flow, Keeping, ShapingAhead, shaping_ahead
from weighstation.plan.forecast import Forecast
from weighstation.plan.formula import Formula, cost_per_kg, formula
from weighstation.plan.known_loss import BakedBy, KnownLoss, Reach
from weighstation.plan.leftover import LeftoverUse, Use, uses_of_leftover
from weighstation.plan.loss_line import LossLine, loss_line
from weighstation.plan.loss_ratio import BatchMeans, LossRatio, loss_ratio
from weighstation.plan.losses import (
    Loss,
    Losses,
    ScalingWeight,
    scaling_weight,
    weight_after,
    weight_before,
)
from weighstation.plan.one_hour import one_hour_share
from weighstation.plan.order import Ordered, OrderedDough, dough_for_orders
from weighstation.plan.oven import OVEN_CAUTIONS, DeckLoad, Oven, OvenLoad, deck_load, oven_loads
from weighstation.plan.oven_loss import Carry, LeftOut, LossLaw, OvenLoss, oven_loss
from weighstation.plan.pace import Pace, TimeLimit, largest_dough, pace, time_limit
from weighstation.plan.part import Part
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
from weighstation.plan.target import (
    Bound,
    Declared,
    Evenness,
    GramCost,
    ScalingTarget,
    Week,
    gram_cost,
    scaling_target,
)
from weighstation.plan.wander import BatchWander, batch_wander

__all__ = [
    "OVEN_CAUTIONS",
    "Apart",
    "BakeTime",
    "BakedBy",
    "BakedSplit",
    "BatchMeans",
    "BatchWander",
    "BenchFlour",
    "Board",
    "BoardClosed",
    "BoardFact",
    "BoardOpened",
    "BoardRecord",
    "BoardRest",
    "BoardToBench",
    "Boards",
    "Bound",
    "Carry",
    "Choice",
    "DeckLoad",
    "Declared",
    "DoughClock",
    "Dusting",
    "EvenBake",
    "Evenness",
    "Fit",
    "Flow",
    "Forecast",
    "Formula",
    "GramCost",
    "Keeping",
    "KnownLoss",
    "Law",
    "LeftOut",
    "LeftoverUse",
    "Lever",
    "Loss",
    "LossLaw",
    "LossLine",
    "LossRatio",
    "Losses",
    "OnBoard",
    "Ordered",
    "OrderedDough",
    "Outlook",
    "Oven",
    "OvenIn",
    "OvenLoad",
    "OvenLoss",
    "OvenOut",
    "Pace",
    "Part",
    "PieceBoarded",
    "PieceVoided",
    "Portion",
    "ProofNeeded",
    "Reach",
    "Ready",
    "Remaining",
    "Remedy",
    "RestWindow",
    "Rested",
    "Retarget",
    "Room",
    "ScalingTarget",
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
    "Week",
    "bake_time",
    "baked_sd_g",
    "batch_wander",
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
    "gram_cost",
    "largest_dough",
    "loaves_apart",
    "loss_line",
    "loss_ratio",
    "mean_rate",
    "next_board",
    "one_hour_share",
    "oven_loads",
    "oven_loss",
    "pace",
    "picked_up_g",
    "rate",
    "ready_times",
    "rest_of",
    "rests",
    "retarget",
    "scaling_target",
    "scaling_weight",
    "shaping_ahead",
    "share_out",
    "split",
    "split_of_pairs",
    "split_of_samples",
    "time_limit",
    "travels",
    "uses_of_leftover",
    "weight_after",
    "weight_before",
    "while_cutting",
    "window_of",
]

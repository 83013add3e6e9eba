"""Orders, dough on hand, losses -> scaling weight, pieces, what is left over.

Times, pieces, temperatures -> what is next on the bench and in the oven, and when.

Pure functions and small immutable values: no file, no clock asked, nothing printed. Every result is
an offer to the person at the bench; none of them changes a target by itself. Figures that have no
source are defaults, and their docstrings call them common practice or a house figure.

A module is imported when one of its names is first asked for, because a replay plans nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.plan.boards.board import Board, OnBoard, Stage
    from weighstation.plan.boards.board_changes import facts_of_change
    from weighstation.plan.boards.board_facts import (
        BoardClosed,
        BoardFact,
        BoardOpened,
        BoardToBench,
        OvenIn,
        OvenOut,
        PieceBoarded,
        PieceVoided,
    )
    from weighstation.plan.boards.board_record import BoardRecord, window_of
    from weighstation.plan.boards.boards import Boards
    from weighstation.plan.boards.flow import Flow, Keeping, ShapingAhead, shaping_ahead
    from weighstation.plan.boards.rest import (
        BoardRest,
        Rested,
        RestWindow,
        cover_caution,
        next_board,
        rest_of,
        rests,
    )
    from weighstation.plan.clock.clock import DoughClock, Fit, Outlook
    from weighstation.plan.clock.pace import Pace, TimeLimit, largest_dough, pace, time_limit
    from weighstation.plan.clock.remedies import Remedy, Suggestion, before_mixing, while_cutting
    from weighstation.plan.loss.apart import Apart, loaves_apart
    from weighstation.plan.loss.baked_spread import (
        BakedSplit,
        Lever,
        baked_sd_g,
        split_of_pairs,
        split_of_samples,
    )
    from weighstation.plan.loss.batch_spread import BatchSpread, batch_spread
    from weighstation.plan.loss.bench_spread import BenchSpread, bench_spread
    from weighstation.plan.loss.forecast import Forecast
    from weighstation.plan.loss.known_loss import BakedBy, KnownLoss, Reach
    from weighstation.plan.loss.loss_line import LossLine, loss_line
    from weighstation.plan.loss.loss_ratio import BatchMeans, LossRatio, loss_ratio
    from weighstation.plan.loss.one_hour import one_hour_share
    from weighstation.plan.loss.oven_loss import Carry, LeftOut, LossLaw, OvenLoss, oven_loss
    from weighstation.plan.loss.part import Part
    from weighstation.plan.loss.target import (
        Bound,
        Declared,
        Evenness,
        GramCost,
        ScalingTarget,
        Week,
        gram_cost,
        scaling_target,
    )
    from weighstation.plan.loss.wander import BatchWander, batch_wander
    from weighstation.plan.pieces.flour import BenchFlour, Dusting, bench_flour, picked_up_g
    from weighstation.plan.pieces.leftover import LeftoverUse, Use, uses_of_leftover
    from weighstation.plan.pieces.retarget import Remaining, Retarget, retarget
    from weighstation.plan.pieces.room import Room
    from weighstation.plan.pieces.several import Portion, Shares, Wanted, share_out
    from weighstation.plan.pieces.split import Choice, Short, Split, split
    from weighstation.plan.proof.bake import BakeTime, EvenBake, Uneven, bake_time, even_bake
    from weighstation.plan.proof.fermentation import Law, mean_rate, rate
    from weighstation.plan.proof.oven import (
        OVEN_CAUTIONS,
        DeckLoad,
        Oven,
        OvenLoad,
        deck_load,
        oven_loads,
    )
    from weighstation.plan.proof.proof import (
        ProofNeeded,
        Ready,
        TemperatureLog,
        core_caution,
        equivalent_minutes,
        ready_times,
    )
    from weighstation.plan.recipe.changeover import travels
    from weighstation.plan.recipe.formula import Formula, cost_per_kg, formula
    from weighstation.plan.recipe.losses import (
        Loss,
        Losses,
        ScalingWeight,
        scaling_weight,
        weight_after,
        weight_before,
    )
    from weighstation.plan.recipe.order import Ordered, OrderedDough, dough_for_orders
    from weighstation.plan.recipe.stages import Stages, stages_of

__all__ = [
    "OVEN_CAUTIONS",
    "Apart",
    "BakeTime",
    "BakedBy",
    "BakedSplit",
    "BatchMeans",
    "BatchSpread",
    "BatchWander",
    "BenchFlour",
    "BenchSpread",
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
    "Stages",
    "Suggestion",
    "TemperatureLog",
    "TimeLimit",
    "Uneven",
    "Use",
    "Wanted",
    "Week",
    "bake_time",
    "baked_sd_g",
    "batch_spread",
    "batch_wander",
    "before_mixing",
    "bench_flour",
    "bench_spread",
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
    "stages_of",
    "time_limit",
    "travels",
    "uses_of_leftover",
    "weight_after",
    "weight_before",
    "while_cutting",
    "window_of",
]
_MODULES = {
    "loss.batch_spread": ("BatchSpread", "batch_spread"),
    "loss.bench_spread": ("BenchSpread", "bench_spread"),
    "recipe.stages": ("Stages", "stages_of"),
    "boards.board": ("Board", "OnBoard", "Stage"),
    "boards.board_changes": ("facts_of_change",),
    "boards.board_facts": (
        "BoardClosed",
        "BoardFact",
        "BoardOpened",
        "BoardToBench",
        "OvenIn",
        "OvenOut",
        "PieceBoarded",
        "PieceVoided",
    ),
    "boards.board_record": ("BoardRecord", "window_of"),
    "boards.boards": ("Boards",),
    "boards.flow": ("Flow", "Keeping", "ShapingAhead", "shaping_ahead"),
    "boards.rest": (
        "BoardRest",
        "RestWindow",
        "Rested",
        "cover_caution",
        "next_board",
        "rest_of",
        "rests",
    ),
    "clock.clock": ("DoughClock", "Fit", "Outlook"),
    "clock.pace": ("Pace", "TimeLimit", "largest_dough", "pace", "time_limit"),
    "clock.remedies": ("Remedy", "Suggestion", "before_mixing", "while_cutting"),
    "loss.apart": ("Apart", "loaves_apart"),
    "loss.baked_spread": (
        "BakedSplit",
        "Lever",
        "baked_sd_g",
        "split_of_pairs",
        "split_of_samples",
    ),
    "loss.forecast": ("Forecast",),
    "loss.known_loss": ("BakedBy", "KnownLoss", "Reach"),
    "loss.loss_line": ("LossLine", "loss_line"),
    "loss.loss_ratio": ("BatchMeans", "LossRatio", "loss_ratio"),
    "loss.one_hour": ("one_hour_share",),
    "loss.oven_loss": ("Carry", "LeftOut", "LossLaw", "OvenLoss", "oven_loss"),
    "loss.part": ("Part",),
    "loss.target": (
        "Bound",
        "Declared",
        "Evenness",
        "GramCost",
        "ScalingTarget",
        "Week",
        "gram_cost",
        "scaling_target",
    ),
    "loss.wander": ("BatchWander", "batch_wander"),
    "pieces.flour": ("BenchFlour", "Dusting", "bench_flour", "picked_up_g"),
    "pieces.leftover": ("LeftoverUse", "Use", "uses_of_leftover"),
    "pieces.retarget": ("Remaining", "Retarget", "retarget"),
    "pieces.room": ("Room",),
    "pieces.several": ("Portion", "Shares", "Wanted", "share_out"),
    "pieces.split": ("Choice", "Short", "Split", "split"),
    "proof.bake": ("BakeTime", "EvenBake", "Uneven", "bake_time", "even_bake"),
    "proof.fermentation": ("Law", "mean_rate", "rate"),
    "proof.oven": ("DeckLoad", "OVEN_CAUTIONS", "Oven", "OvenLoad", "deck_load", "oven_loads"),
    "proof.proof": (
        "ProofNeeded",
        "Ready",
        "TemperatureLog",
        "core_caution",
        "equivalent_minutes",
        "ready_times",
    ),
    "recipe.changeover": ("travels",),
    "recipe.formula": ("Formula", "cost_per_kg", "formula"),
    "recipe.losses": (
        "Loss",
        "Losses",
        "ScalingWeight",
        "scaling_weight",
        "weight_after",
        "weight_before",
    ),
    "recipe.order": ("Ordered", "OrderedDough", "dough_for_orders"),
}


def __getattr__(name: str) -> object:
    """Return a name of one of the modules, imported now."""
    for module, names in _MODULES.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{module}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

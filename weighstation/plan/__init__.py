"""Orders, dough on hand, losses -> scaling weight, pieces, remainder.

What is worked out before the first cut and while the dough goes down: numbers in, frozen values
out. Every result is an offer to the person at the bench; none of them changes a target by itself.
"""

from weighstation.plan.floor import Floor, FloorBy, lowest_scaling
from weighstation.plan.flour import BenchFlour, Dusting, bench_flour, picked_up_g
from weighstation.plan.formula import Formula, cost_per_kg, formula
from weighstation.plan.losses import (
    Loss,
    Losses,
    ScalingWeight,
    scaling_weight,
    weight_after,
    weight_before,
)
from weighstation.plan.order import Ordered, OrderedDough, dough_for_orders
from weighstation.plan.rest import RestUse, Use, uses_of_rest
from weighstation.plan.retarget import Remaining, Retarget, retarget
from weighstation.plan.room import Room
from weighstation.plan.several import Portion, Shares, Wanted, share_out
from weighstation.plan.split import Choice, Short, Split, split

__all__ = [
    "BenchFlour",
    "Choice",
    "Dusting",
    "Floor",
    "FloorBy",
    "Formula",
    "Loss",
    "Losses",
    "Ordered",
    "OrderedDough",
    "Portion",
    "Remaining",
    "RestUse",
    "Retarget",
    "Room",
    "ScalingWeight",
    "Shares",
    "Short",
    "Split",
    "Use",
    "Wanted",
    "bench_flour",
    "cost_per_kg",
    "dough_for_orders",
    "formula",
    "lowest_scaling",
    "picked_up_g",
    "retarget",
    "scaling_weight",
    "share_out",
    "split",
    "uses_of_rest",
    "weight_after",
    "weight_before",
]

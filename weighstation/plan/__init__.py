"""Orders, dough on hand, losses -> scaling weight, pieces, remainder.

What is worked out before the first cut and while the dough goes down: numbers in, frozen values
out. Every result is an offer to the person at the bench; none of them changes a target by itself.
"""

from weighstation.plan.apart import Apart, loaves_apart
from weighstation.plan.baked_spread import (
    BakedSplit,
    Lever,
    baked_sd_g,
    split_of_pairs,
    split_of_samples,
)
from weighstation.plan.forecast import Forecast
from weighstation.plan.known_loss import BakedBy, KnownLoss, Reach
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
from weighstation.plan.oven_loss import Carry, LeftOut, LossLaw, OvenLoss, oven_loss
from weighstation.plan.part import Part
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
    "Apart",
    "BakedBy",
    "BakedSplit",
    "BatchMeans",
    "BatchWander",
    "Bound",
    "Carry",
    "Declared",
    "Evenness",
    "Forecast",
    "GramCost",
    "KnownLoss",
    "LeftOut",
    "Lever",
    "Loss",
    "LossLaw",
    "LossLine",
    "LossRatio",
    "Losses",
    "OvenLoss",
    "Part",
    "Reach",
    "ScalingTarget",
    "ScalingWeight",
    "Week",
    "baked_sd_g",
    "batch_wander",
    "gram_cost",
    "loaves_apart",
    "loss_line",
    "loss_ratio",
    "one_hour_share",
    "oven_loss",
    "scaling_target",
    "scaling_weight",
    "split_of_pairs",
    "split_of_samples",
    "weight_after",
    "weight_before",
]

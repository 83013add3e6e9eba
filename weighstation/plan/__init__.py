"""Losses, spreads and declared weights -> scaling weights.

Pure functions: what the oven takes is learned from loaves that were weighed raw and baked, and the
scaling weight follows from it. They take plain numbers in grams and return frozen values; nothing
here opens a file or asks for the time.
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
from weighstation.plan.loss_line import LossLine, loss_line
from weighstation.plan.loss_ratio import BatchMeans, LossRatio, loss_of, loss_ratio
from weighstation.plan.one_hour import one_hour_share
from weighstation.plan.oven_loss import Carry, LeftOut, LossLaw, OvenLoss, oven_loss
from weighstation.plan.part import Part
from weighstation.plan.wander import BatchWander, batch_wander

__all__ = [
    "Apart",
    "BakedSplit",
    "BatchMeans",
    "BatchWander",
    "Carry",
    "Forecast",
    "LeftOut",
    "Lever",
    "LossLaw",
    "LossLine",
    "LossRatio",
    "OvenLoss",
    "Part",
    "baked_sd_g",
    "batch_wander",
    "loaves_apart",
    "loss_line",
    "loss_of",
    "loss_ratio",
    "one_hour_share",
    "oven_loss",
    "split_of_pairs",
    "split_of_samples",
]

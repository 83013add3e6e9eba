"""Losses, spreads and declared weights -> scaling weights.

Pure functions: what the oven takes is learned from loaves that were weighed raw and baked, and the
scaling weight follows from it. They take plain numbers in grams and return frozen values; nothing
here opens a file or asks for the time.
"""

from weighstation.plan.apart import Apart, loaves_apart
from weighstation.plan.forecast import Forecast
from weighstation.plan.loss_line import LossLine, loss_line
from weighstation.plan.loss_ratio import BatchMeans, LossRatio, loss_of, loss_ratio
from weighstation.plan.oven_loss import Carry, LeftOut, LossLaw, OvenLoss, oven_loss

__all__ = [
    "Apart",
    "BatchMeans",
    "Carry",
    "Forecast",
    "LeftOut",
    "LossLaw",
    "LossLine",
    "LossRatio",
    "OvenLoss",
    "loaves_apart",
    "loss_line",
    "loss_of",
    "loss_ratio",
    "oven_loss",
]

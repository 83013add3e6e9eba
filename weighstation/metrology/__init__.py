"""Loads and indications of a scale -> whether it is fit, and how sure one weight is.

Check weights, permissible errors, uncertainty and guard band, in formulas that carry their source.
Nothing here verifies a scale in the sense of the law; that is licensed practice.
"""

from __future__ import annotations

from weighstation.metrology.accuracy import (
    AccuracyClass,
    Plate,
    accuracy_class,
    checked_mass,
    least_load,
    permissible_error,
)
from weighstation.metrology.check import (
    Finding,
    Judgement,
    Shown,
    Step,
    Subject,
    check_weight_suits,
    judge,
)
from weighstation.metrology.check_weights import (
    CheckWeight,
    WeightClass,
    weight_class,
    weight_limit,
    weight_suits,
)
from weighstation.metrology.guard import (
    Acceptance,
    acceptance,
    chance_within,
    guard_band,
    worst_false_accept,
)
from weighstation.metrology.indication import Changeover, true_error, unrounded
from weighstation.metrology.limits import Basis, ScaleLimits, plain_grams
from weighstation.metrology.suitability import Misjudged, Scatter, division_suits_law, misjudged
from weighstation.metrology.uncertainty import Uncertainty, piece_uncertainty

__all__ = [
    "Acceptance",
    "AccuracyClass",
    "Basis",
    "Changeover",
    "CheckWeight",
    "Finding",
    "Judgement",
    "Misjudged",
    "Plate",
    "ScaleLimits",
    "Scatter",
    "Shown",
    "Step",
    "Subject",
    "Uncertainty",
    "WeightClass",
    "acceptance",
    "accuracy_class",
    "chance_within",
    "check_weight_suits",
    "checked_mass",
    "division_suits_law",
    "guard_band",
    "judge",
    "least_load",
    "misjudged",
    "permissible_error",
    "piece_uncertainty",
    "plain_grams",
    "true_error",
    "unrounded",
    "weight_class",
    "weight_limit",
    "weight_suits",
    "worst_false_accept",
]

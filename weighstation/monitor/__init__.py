"""Weights -> control charts and signals.

What the run of first cuts says about the dividing, in formulas that carry their source. The
functions take plain numbers in grams and return frozen values; nothing here knows a band or a
journal.
"""

from weighstation.monitor.autocorrelation import Autocorrelation, autocorrelation
from weighstation.monitor.capability import Capability, Within, capability, capability_from
from weighstation.monitor.correction import Correction, Setting, least_correction
from weighstation.monitor.divider import (
    Check,
    Groups,
    chance_missed,
    expected_checks,
    groups_of,
    weighed_together,
)
from weighstation.monitor.drift import Drift, drift
from weighstation.monitor.gauge import GaugeStudy, gauge_by_ranges, gauge_by_variances
from weighstation.monitor.giveaway import expected_over_g, expected_under_g, unit_normal_loss
from weighstation.monitor.individuals import Individuals, individuals
from weighstation.monitor.intervals import (
    Comparison,
    mean_interval,
    mean_test,
    sd_interval,
    sd_test,
)
from weighstation.monitor.normality import Normality, normality
from weighstation.monitor.outliers import Fences, Grubbs, fences, fences_from, grubbs
from weighstation.monitor.percentile import percentile
from weighstation.monitor.resolution import (
    net_rounding_sd_g,
    require_resolution,
    resolution_text,
    rounding_sd_g,
    sheppard_sd_g,
)
from weighstation.monitor.signals import Rule, Signal
from weighstation.monitor.tolerance import Side, ToleranceInterval, tolerance_interval

__all__ = [
    "Autocorrelation",
    "Capability",
    "Check",
    "Comparison",
    "Correction",
    "Drift",
    "Fences",
    "GaugeStudy",
    "Groups",
    "Grubbs",
    "Individuals",
    "Normality",
    "Rule",
    "Setting",
    "Side",
    "Signal",
    "ToleranceInterval",
    "Within",
    "autocorrelation",
    "capability",
    "capability_from",
    "chance_missed",
    "drift",
    "expected_checks",
    "expected_over_g",
    "expected_under_g",
    "fences",
    "fences_from",
    "gauge_by_ranges",
    "gauge_by_variances",
    "groups_of",
    "grubbs",
    "individuals",
    "least_correction",
    "mean_interval",
    "mean_test",
    "net_rounding_sd_g",
    "normality",
    "percentile",
    "require_resolution",
    "resolution_text",
    "rounding_sd_g",
    "sd_interval",
    "sd_test",
    "sheppard_sd_g",
    "tolerance_interval",
    "unit_normal_loss",
    "weighed_together",
]

"""Weights -> control charts and signals.

What the run of first cuts says about the dividing, in formulas that carry their source. The
functions take plain numbers in grams and return frozen values; nothing here knows a band or a
journal.
"""

from weighstation.monitor.autocorrelation import Autocorrelation, autocorrelation
from weighstation.monitor.bench import BenchDetector, BenchSignal
from weighstation.monitor.capability import Capability, Within, capability, capability_from
from weighstation.monitor.constants import ChartConstants, c4, chart_constants
from weighstation.monitor.correction import Correction, Setting, least_correction
from weighstation.monitor.cusum import Cusum, cusum
from weighstation.monitor.divider import (
    Check,
    Groups,
    chance_missed,
    expected_checks,
    groups_of,
    weighed_together,
)
from weighstation.monitor.drift import Drift, drift
from weighstation.monitor.ewma import Ewma, ewma
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
from weighstation.monitor.moments import Moments
from weighstation.monitor.normality import Normality, normality
from weighstation.monitor.online import OnlineCusum, OnlineEwma
from weighstation.monitor.outliers import Fences, Grubbs, fences, fences_from, grubbs
from weighstation.monitor.percentile import percentile
from weighstation.monitor.resolution import (
    net_rounding_sd_g,
    require_resolution,
    resolution_text,
    rounding_sd_g,
    sheppard_sd_g,
)
from weighstation.monitor.run_rules import NELSON, WESTERN_ELECTRIC, known_rule, run_rules
from weighstation.monitor.signals import Rule, Signal, beyond_limits
from weighstation.monitor.subgroups import SpreadChart, Subgroups, xbar_r, xbar_s, xbar_s_of
from weighstation.monitor.tally import Tally
from weighstation.monitor.tolerance import Side, ToleranceInterval, tolerance_interval

__all__ = [
    "NELSON",
    "WESTERN_ELECTRIC",
    "Autocorrelation",
    "BenchDetector",
    "BenchSignal",
    "Capability",
    "ChartConstants",
    "Check",
    "Comparison",
    "Correction",
    "Cusum",
    "Drift",
    "Ewma",
    "Fences",
    "GaugeStudy",
    "Groups",
    "Grubbs",
    "Individuals",
    "Moments",
    "Normality",
    "OnlineCusum",
    "OnlineEwma",
    "Rule",
    "Setting",
    "Side",
    "Signal",
    "SpreadChart",
    "Subgroups",
    "Tally",
    "ToleranceInterval",
    "Within",
    "autocorrelation",
    "beyond_limits",
    "c4",
    "capability",
    "capability_from",
    "chance_missed",
    "chart_constants",
    "cusum",
    "drift",
    "ewma",
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
    "known_rule",
    "least_correction",
    "mean_interval",
    "mean_test",
    "net_rounding_sd_g",
    "normality",
    "percentile",
    "require_resolution",
    "resolution_text",
    "rounding_sd_g",
    "run_rules",
    "sd_interval",
    "sd_test",
    "sheppard_sd_g",
    "tolerance_interval",
    "unit_normal_loss",
    "weighed_together",
    "xbar_r",
    "xbar_s",
    "xbar_s_of",
]

"""Weights -> control charts and signals.

What the run of first cuts says about the dividing, in formulas that carry their source. The
functions take plain numbers in grams and return frozen values; nothing here knows a band or a
journal.
"""

from weighstation.monitor.bench import BenchDetector, BenchSignal
from weighstation.monitor.constants import ChartConstants, c4, chart_constants
from weighstation.monitor.cusum import Cusum, cusum
from weighstation.monitor.ewma import Ewma, ewma
from weighstation.monitor.individuals import Individuals, individuals
from weighstation.monitor.moments import Moments
from weighstation.monitor.online import OnlineCusum, OnlineEwma
from weighstation.monitor.run_rules import NELSON, WESTERN_ELECTRIC, run_rules
from weighstation.monitor.signals import Rule, Signal
from weighstation.monitor.subgroups import SpreadChart, Subgroups, xbar_r, xbar_s, xbar_s_of
from weighstation.monitor.tally import Tally

__all__ = [
    "NELSON",
    "WESTERN_ELECTRIC",
    "BenchDetector",
    "BenchSignal",
    "ChartConstants",
    "Cusum",
    "Ewma",
    "Individuals",
    "Moments",
    "OnlineCusum",
    "OnlineEwma",
    "Rule",
    "Signal",
    "SpreadChart",
    "Subgroups",
    "Tally",
    "c4",
    "chart_constants",
    "cusum",
    "ewma",
    "individuals",
    "run_rules",
    "xbar_r",
    "xbar_s",
    "xbar_s_of",
]

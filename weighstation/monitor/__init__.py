"""Weights -> control charts and signals.

What the run of first cuts says about the dividing, in formulas that carry their source. The
functions take plain numbers in grams and return frozen values; nothing here knows a band or a
journal.
"""

from weighstation.monitor.individuals import Individuals, individuals
from weighstation.monitor.signals import Rule, Signal

__all__ = ["Individuals", "Rule", "Signal", "individuals"]

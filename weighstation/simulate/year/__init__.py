"""A bakery's specification, its causes and a seed -> a year of facts, and the truth behind them.

Nothing here sends bytes: each piece is weighed in one step, so that a year of more than half a
million of them takes seconds. Every cause can be taken out while all random numbers stay.
"""

from __future__ import annotations

from weighstation.simulate.year.bakery import (
    Bakery,
    BakeryPerson,
    BakeryProduct,
    BakeryScale,
    invented_bakery,
)
from weighstation.simulate.year.causes import YearCauses
from weighstation.simulate.year.facts import (
    LoafBaked,
    PieceStruckOut,
    PieceWeighed,
    RunBegan,
    RunClosed,
    ScaleTried,
    WeightTyped,
    YearFact,
)
from weighstation.simulate.year.journal_lines import TYPED, YearLines
from weighstation.simulate.year.truth import Drifted, ScaleOff, Typed, YearTruth
from weighstation.simulate.year.year import Year

__all__ = [
    "TYPED",
    "Bakery",
    "BakeryPerson",
    "BakeryProduct",
    "BakeryScale",
    "Drifted",
    "LoafBaked",
    "PieceStruckOut",
    "PieceWeighed",
    "RunBegan",
    "RunClosed",
    "ScaleOff",
    "ScaleTried",
    "Typed",
    "WeightTyped",
    "Year",
    "YearCauses",
    "YearFact",
    "YearLines",
    "YearTruth",
    "invented_bakery",
]

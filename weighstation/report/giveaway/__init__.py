"""Runs -> the week's give-away, taken apart.

Every part is an integer of milligrams of dough, from the label up to the last gram on the scale;
the parts add up exactly, and no part is called rest.
"""

from weighstation.report.giveaway.basis import Known, label_basis
from weighstation.report.giveaway.groups import By, Group, grouped, hours_of
from weighstation.report.giveaway.parts import (
    BENCH_PARTS,
    LABEL_PARTS,
    Amount,
    Given,
    Part,
    by_dough_age,
    given_away,
)
from weighstation.report.giveaway.ranges import part_interval_mg
from weighstation.report.giveaway.rows import LabelBasis, RunRow
from weighstation.report.giveaway.savings import Saving, savings
from weighstation.report.giveaway.statement import AsOf, Span, Statement, statement

__all__ = [
    "BENCH_PARTS",
    "LABEL_PARTS",
    "Amount",
    "AsOf",
    "By",
    "Given",
    "Group",
    "Known",
    "LabelBasis",
    "Part",
    "RunRow",
    "Saving",
    "Span",
    "Statement",
    "by_dough_age",
    "given_away",
    "grouped",
    "hours_of",
    "label_basis",
    "part_interval_mg",
    "savings",
    "statement",
]

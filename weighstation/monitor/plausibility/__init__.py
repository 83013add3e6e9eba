"""Weights and times on the record -> flags: what an auditor would ask about.

A flag is a question and no verdict: it says in one sentence what chance, a scale or an honest hand
would hardly leave behind, and how rarely. Pure functions over plain sequences; what they take for
honest (hands that correct, limits that sort, doughs that drift, divisions that round) is in each
docstring, and so is what they cannot see.
"""

from __future__ import annotations

from weighstation.monitor.plausibility.clock import clock_disagrees, clock_set_back
from weighstation.monitor.plausibility.equal import equal_in_a_row, equal_neighbours, one_mark
from weighstation.monitor.plausibility.even import even_below_hand, even_beside_former
from weighstation.monitor.plausibility.flag import ALPHA, FEWEST, Flag, FlagKind
from weighstation.monitor.plausibility.hands import finest_hand_mg, least_cut_mg, most_on_marks
from weighstation.monitor.plausibility.inside import just_inside
from weighstation.monitor.plausibility.late import entered_late
from weighstation.monitor.plausibility.neat import round_steps, too_neat
from weighstation.monitor.plausibility.repeats import repeated
from weighstation.monitor.plausibility.week import FormerWeeks, PiecesOfAWeek, flags_of_week

__all__ = [
    "ALPHA",
    "FEWEST",
    "Flag",
    "FlagKind",
    "FormerWeeks",
    "PiecesOfAWeek",
    "clock_disagrees",
    "clock_set_back",
    "entered_late",
    "equal_in_a_row",
    "equal_neighbours",
    "even_below_hand",
    "even_beside_former",
    "finest_hand_mg",
    "flags_of_week",
    "just_inside",
    "least_cut_mg",
    "most_on_marks",
    "one_mark",
    "repeated",
    "round_steps",
    "too_neat",
]

"""Baked lots -> published average-quantity rules, and the least lawful aim.

A rule is a file of data with its source beside it; the functions judge weights by it and return
frozen values. A verdict is arithmetic, never legal proof.
"""

from weighstation.quantity.aim import Aim, Binding, least_aim
from weighstation.quantity.deficiency import tolerable_deficiency
from weighstation.quantity.judgement import Circumstances, LotJudgement, LotVerdict
from weighstation.quantity.lot import judge_lot, mean_factor
from weighstation.quantity.packer import PackersRules, packers_rules
from weighstation.quantity.rule import QuantityRule
from weighstation.quantity.rule_file import published_rule, read_rule

__all__ = [
    "Aim",
    "Binding",
    "Circumstances",
    "LotJudgement",
    "LotVerdict",
    "PackersRules",
    "QuantityRule",
    "judge_lot",
    "least_aim",
    "mean_factor",
    "packers_rules",
    "published_rule",
    "read_rule",
    "tolerable_deficiency",
]

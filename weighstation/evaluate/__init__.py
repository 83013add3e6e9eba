"""``Weighing, PanLeft -> Cue, PieceKept, PieceLifted, LiftedTurned, Voided``.

The stage that knows what was promised. It tells the person what to do with the load on the pan,
numbers the pieces, and settles what became of a piece that was lifted out of band. One door,
``Evaluator.feed``; it asks nobody for the time and touches nothing outside itself.

Baked loaves go through a door of their own, ``LoafCounter.feed``, to LoafShown and LoafWeighed.
"""

from __future__ import annotations

from weighstation.evaluate.balance import Balance, DoughBalance, DoughSum, dough_balance
from weighstation.evaluate.evaluator import Evaluator
from weighstation.evaluate.guess import House
from weighstation.evaluate.lifted import LiftedDecision
from weighstation.evaluate.loaves import LoafCounter
from weighstation.evaluate.marks import Marks
from weighstation.evaluate.verdict import is_two_at_once, judge

__all__ = [
    "Balance",
    "DoughBalance",
    "DoughSum",
    "Evaluator",
    "House",
    "LiftedDecision",
    "LoafCounter",
    "Marks",
    "dough_balance",
    "is_two_at_once",
    "judge",
]

"""A cause taken out of a simulated bakery saves what its part, and what the advice, had said.

Fewer pieces a dough than a bakery divides, and one year; ``tests/benchmarks/simulated_year.py
--causes`` does it at the whole size, and says the numbers.
"""

from __future__ import annotations

import math

import pytest
from cause_weeks import CAUSES, of_size, saved, share_covered

PIECES = 12
STATED = 0.95


@pytest.mark.parametrize("name", CAUSES)
def test_its_interval_holds_what_taking_it_out_saves(name: str) -> None:
    """Of 153 weeks and products; below 95 % by no more than three standard errors of that share.

    Above is no fault: where people differ from each other every week alike, runs differ by more
    than weeks do, and few heavy pieces leave room for what chance hides.
    """
    says, with_it, without = of_size(name, PIECES)
    found = saved(says, with_it, without, seed=1)
    own, usual = share_covered(found)

    least = STATED - 3 * math.sqrt(STATED * (1 - STATED) / len(found))
    assert len(found) == 153
    assert min(own, usual) >= least


def test_what_no_cause_was_taken_out_of_saves_nothing() -> None:
    """The intervals are no wider than to notice: a bias of all hands is nearly always seen."""
    says, with_it, without = of_size("one bias of all hands", PIECES)
    found = saved(says, with_it, with_it, seed=1)
    really = saved(says, with_it, without, seed=1)

    assert all(each.saved_mg == 0 for each in found)
    assert sum(each.saved_mg for each in really) > 0
    assert share_covered(found)[0] < STATED

"""Totals as ordered text."""

from __future__ import annotations

from dataclasses import replace

from weighstation.events import Verdict
from weighstation.journal import RunState, Sums, TallyKey, dump_run

STATE = RunState("r1", 1, "Rye", 740_000, 1000, 0, counts={"run_started": 1, "piece_kept": 3})
LIGHT, RIGHT = TallyKey(0, Verdict.ADD, -9), TallyKey(0, Verdict.KEEP, 1)
ONE, TWO = Sums(1, -9000, 81_000_000), Sums(2, 2000, 2_000_000, 2000)


def test_the_order_of_counting_leaves_no_trace() -> None:
    other = replace(STATE, counts={"piece_kept": 3, "run_started": 1})

    assert list(dump_run(STATE, {LIGHT: ONE, RIGHT: TWO})) == list(
        dump_run(other, {RIGHT: TWO, LIGHT: ONE})
    )


def test_a_cell_that_holds_nothing_is_as_good_as_none() -> None:
    assert list(dump_run(STATE, {RIGHT: TWO})) == list(dump_run(STATE, {LIGHT: Sums(), RIGHT: TWO}))


def test_another_total_is_another_text() -> None:
    assert list(dump_run(STATE, {})) != list(dump_run(replace(STATE, ms=1), {}))

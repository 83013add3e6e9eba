"""Totals as ordered text."""

from __future__ import annotations

from dataclasses import replace

from weighstation.events import Verdict
from weighstation.journal import RunState, TallyKey, dump_run

STATE = RunState("r1", 1, "Rye", 740_000, 1000, counts={"run_started": 1, "piece_kept": 3})
LIGHT, RIGHT = TallyKey(0, Verdict.ADD, -9), TallyKey(0, Verdict.KEEP, 1)


def test_the_order_of_counting_leaves_no_trace() -> None:
    other = replace(STATE, counts={"piece_kept": 3, "run_started": 1})

    assert list(dump_run(STATE, {LIGHT: 1, RIGHT: 2})) == list(
        dump_run(other, {RIGHT: 2, LIGHT: 1})
    )


def test_a_cell_that_holds_nothing_is_as_good_as_none() -> None:
    assert list(dump_run(STATE, {RIGHT: 2})) == list(dump_run(STATE, {LIGHT: 0, RIGHT: 2}))


def test_another_total_is_another_text() -> None:
    assert list(dump_run(STATE, {})) != list(dump_run(replace(STATE, ms=1), {}))

"""Projections as ordered text, to see at a glance whether two are the same."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from weighstation.journal.projection import RunState, TallyKey


def dump_run(state: RunState, tally: Mapping[TallyKey, int]) -> Iterator[str]:
    """Yield one run's totals and its tally, one line each, always in the same order.

    Parameters
    ----------
    state : RunState
    tally : Mapping of TallyKey to int
        Cells that hold nothing are left out.

    Yields
    ------
    str
    """
    fields = asdict(state) | {"counts": dict(sorted(state.counts.items()))}
    yield "run " + " ".join(f"{name}={value!r}" for name, value in fields.items())
    cells = sorted((key.dough_age_h, key.verdict.value, key.step, n) for key, n in tally.items())
    for dough_age_h, verdict, step, n in cells:
        if n:
            yield f"tally run={state.run!r} {dough_age_h=} {verdict=} {step=} {n=}"

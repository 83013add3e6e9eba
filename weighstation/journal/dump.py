"""Projections as ordered text, to see at a glance whether two are the same."""

from __future__ import annotations

from dataclasses import asdict, astuple
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from weighstation.journal.projection import RunState, TallyKey
    from weighstation.journal.sums import Sums


def dump_run(state: RunState, tally: Mapping[TallyKey, Sums]) -> Iterator[str]:
    """Yield one run's totals and its tally, one line each, always in the same order.

    Parameters
    ----------
    state : RunState
    tally : Mapping of TallyKey to Sums
        Cells that hold nothing are left out.

    Yields
    ------
    str
    """
    fields = asdict(state) | {"counts": dict(sorted(state.counts.items()))}
    yield "run " + " ".join(f"{name}={value!r}" for name, value in fields.items())
    cells = sorted(
        (key.dough_age_h, key.verdict.value, key.step, *astuple(sums))
        for key, sums in tally.items()
        if sums
    )
    for dough_age_h, verdict, step, n, sum_d_mg, sum_d2_mg2, sum_over_mg in cells:
        cell = f"tally run={state.run!r} {dough_age_h=} {verdict=} {step=} {n=}"
        yield f"{cell} {sum_d_mg=} {sum_d2_mg2=} {sum_over_mg=}"

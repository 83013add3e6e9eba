"""A person, a dough and a scale -> the pieces of one run."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.evaluate.verdict import judge
from weighstation.journal.facts import PieceFacts

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random

    from weighstation.simulate.year.bakery import BakeryPerson
    from weighstation.specification.limits import Limits

REST_MS, GAP_MS, TOUCH_MS = 1400, 3200, 3300
"""Usual time until the display is read, between two pieces, and for one correction."""

PACE_SPREAD = 0.3
"""Standard deviation of the logarithm of such a time; both are those of the simulated hands."""

HANDLING = 0.1
"""What the finest correction misses by, in parts of the narrower side of the band."""


@dataclass(frozen=True, slots=True)
class Dividing:
    """One run as it will be divided.

    Parameters
    ----------
    person : BakeryPerson
    limits : Limits
    division_mg : int, milligrams
        Of the scale.
    offset_mg : int, milligrams
        What the scale shows too much.
    shift : float, fraction of the scaling weight
        What this dough and this week do to every first cut, the person's bias apart.
    ageing_per_min : float, fraction of the scaling weight per minute
    agreement : float
        Lag-1 autocorrelation of first cuts.
    most_touches : int
    boarded_anyway : float, share of pieces out of band
    heavy_are_boarded : bool
        Whether those above the band are among them.
    """

    person: BakeryPerson
    limits: Limits
    division_mg: int
    offset_mg: int
    shift: float
    ageing_per_min: float
    agreement: float
    most_touches: int
    boarded_anyway: float
    heavy_are_boarded: bool = True


def divide(run: Dividing, *, pieces: int, rng: Random) -> Iterator[tuple[PieceFacts, int]]:
    """Yield the pieces of a run, and what each truly weighs.

    Parameters
    ----------
    run : Dividing
    pieces : int
    rng : Random
        As many numbers are drawn for each piece whatever becomes of it.

    Yields
    ------
    tuple of PieceFacts and int, milligrams
    """
    gauss, uniform, pace = rng.gauss, rng.random, run.person.pace
    fresh = math.sqrt(1 - run.agreement**2)
    placed_ms, error = 0, gauss(0.0, 1.0)
    began_ms = 0
    for number in range(1, pieces + 1):
        error = run.agreement * error + fresh * gauss(0.0, 1.0)
        gap_ms = round(GAP_MS * pace * math.exp(PACE_SPREAD * gauss(0.0, 1.0)))
        rest_ms = round(REST_MS * pace * math.exp(PACE_SPREAD * gauss(0.0, 1.0)))
        misses = [gauss(0.0, 1.0) for _ in range(run.most_touches)]
        leaves_it = uniform() < run.boarded_anyway
        placed_ms += gap_ms
        began_ms = began_ms or placed_ms
        cut_mg = _first_cut_mg(run, error, (placed_ms - began_ms) / 60_000)
        leaves_it = leaves_it and (run.heavy_are_boarded or not _is_heavy(run, cut_mg))
        first_mg, true_mg, touches = _corrected(run, cut_mg, [] if leaves_it else misses)
        final_mg = _shown(run, true_mg)
        ms = rest_ms + round(touches * TOUCH_MS * pace)
        verdict = judge(final_mg, run.limits)
        age_ms = placed_ms - began_ms
        yield (
            PieceFacts(number, first_mg, final_mg, touches, ms, placed_ms, verdict, age_ms),
            true_mg,
        )
        placed_ms += ms


def _first_cut_mg(run: Dividing, error: float, age_min: float) -> int:
    person = run.person
    share = person.bias + run.shift + run.ageing_per_min * age_min + person.spread * error
    return round(run.limits.target_mg * min(1.5, max(0.5, 1 + share)))


def _shown(run: Dividing, true_mg: int) -> int:
    return round((true_mg + run.offset_mg) / run.division_mg) * run.division_mg


def _is_heavy(run: Dividing, true_mg: int) -> bool:
    return _shown(run, true_mg) > run.limits.target_mg + run.limits.over_mg


def _corrected(run: Dividing, cut_mg: int, misses: list[float]) -> tuple[int, int, int]:
    """Return what is shown first, what the piece truly weighs in the end, and the touches."""
    limits = run.limits
    low_mg, high_mg = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    first_mg, true_mg, touches = _shown(run, cut_mg), cut_mg, 0
    for miss in misses:
        shown_mg = _shown(run, true_mg)
        if low_mg <= shown_mg <= high_mg:
            break
        touches += 1
        true_mg += _correction_mg(run, shown_mg, miss)
    return first_mg, true_mg, touches


def _correction_mg(run: Dividing, shown_mg: int, miss: float) -> int:
    """Return what one correction adds: towards the aim, and by how much it misses it."""
    limits = run.limits
    error_mg = shown_mg - limits.target_mg
    inside_mg = limits.over_mg if error_mg > 0 else -limits.under_mg
    wanted_mg = error_mg - run.person.aims_inside * inside_mg
    fine_mg = HANDLING * min(limits.under_mg, limits.over_mg)
    most_mg = 0.5 * abs(wanted_mg)
    missed_mg = miss * (run.person.miss * abs(wanted_mg) + fine_mg)
    return round(min(most_mg, max(-most_mg, missed_mg)) - wanted_mg)

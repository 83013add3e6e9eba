"""Batches -> questions that an auditor would ask of their weights and times."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal import file_of_scale
from weighstation.monitor.plausibility import (
    Flag,
    PiecesOfAWeek,
    clock_disagrees,
    entered_late,
    flags_of_week,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import tzinfo

    from weighstation.journal import PieceFacts, RunStarted
    from weighstation.report.dossier.evidence import BatchEvidence, Evidence
    from weighstation.specification import Limits


@dataclass(frozen=True, slots=True)
class Question:
    """A flag, and where it comes from.

    Parameters
    ----------
    flag : Flag
    of : str
        Which product and week, or which batch.
    lines : str
        From which lines, in words.
    """

    flag: Flag
    of: str
    lines: str


@dataclass(frozen=True, slots=True)
class _Week:
    """One person at one product in a week, with one band on scales of one division."""

    product: str
    person: str
    week: str
    limits: Limits
    division_mg: int


def questions(evidence: Evidence) -> tuple[Question, ...]:
    """Return what is asked of all batches: their weights week by week, their times run by run.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    tuple of Question

    Notes
    -----
    Only what the dossier holds is looked at; weeks before it are not compared with.
    """
    return (
        *_of_weeks(evidence.batches, evidence.scope.zone),
        *(question for batch in evidence.batches for question in _of_times(batch)),
    )


def _of_weeks(batches: Sequence[BatchEvidence], zone: tzinfo) -> Iterator[Question]:
    weeks: dict[_Week, list[BatchEvidence]] = {}
    for batch in batches:
        week = _week(batch, zone)
        if week is not None:
            weeks.setdefault(week, []).append(batch)
    for week, found in weeks.items():
        for flag in flags_of_week(_pieces(week, found)):
            yield Question(flag, f"{week.product}, week {week.week}", _lines(found))


def _week(batch: BatchEvidence, zone: tzinfo) -> _Week | None:
    """Return where a batch belongs; None where no division of a scale is known."""
    promise = batch.promises[-1][1]
    known = [run.division_mg for run in batch.figures.runs if run.division_mg]
    if not known:
        return None
    began = datetime.fromtimestamp(batch.figures.started_utc_ms / 1000, zone).isocalendar()
    return _Week(
        batch.figures.product.name,
        promise.person,
        f"{began.year}-W{began.week:02}",
        batch.figures.product.limits,
        known[-1],
    )


def _pieces(week: _Week, batches: Sequence[BatchEvidence]) -> PiecesOfAWeek:
    runs = [batch.figures.pieces for batch in batches]
    return PiecesOfAWeek(
        limits=week.limits,
        division_mg=week.division_mg,
        kept_mg=[[p.final_mg for p in run if p.verdict is Verdict.KEEP] for run in runs],
        first_mg=[list(batch.figures.first_cuts.values()) for batch in batches],
    )


def _lines(batches: Sequence[BatchEvidence]) -> str:
    return f"{batches[0].first_line} to {batches[-1].last_line}"


def _of_times(batch: BatchEvidence) -> Iterator[Question]:
    """Yield what is asked of the times of a batch, run by run: each has a clock of its own.

    A simulated scale and a recording have a time of their own, and nothing is asked of it.
    """
    for _, promise in batch.promises:
        mine = [p for p in batch.figures.pieces if batch.counted[p.number].run == promise.run]
        written = [batch.counted[piece.number].written_utc_ms for piece in mine]
        if file_of_scale(promise.scale) is not None:
            said = [batch.figures.counted_utc_ms[piece.number] for piece in mine]
            flag = entered_late(said, written)
        elif batch.without_scale:
            flag = None
        else:
            flag = _of_clock(promise, mine, written)
        if flag is not None:
            yield Question(flag, f"batch {batch.run}", batch.lines)


def _of_clock(
    promise: RunStarted, pieces: Sequence[PieceFacts], written_ms: Sequence[int]
) -> Flag | None:
    """Return what is asked of a run whose clock stepped."""
    own_ms = [piece.placed_ms + piece.ms for piece in pieces if piece.ms is not None]
    if promise.clock_utc_ms is None or not own_ms or len(own_ms) < len(pieces):
        return None
    return clock_disagrees(written_ms, own_ms, clock_utc_ms=promise.clock_utc_ms)

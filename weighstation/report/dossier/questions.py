"""Batches -> questions that an auditor would ask of their weights and times."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from weighstation.journal import file_of_scale
from weighstation.monitor.plausibility import (
    Flag,
    PiecesOfAWeek,
    clock_disagrees,
    entered_late,
    flags_of_week,
)
from weighstation.report.dossier.former import MOST_WEEKS, FormerRun, History, in_band_mg
from weighstation.report.dossier.many import week_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

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
    runs : tuple of str
        The batches that it is about.
    """

    flag: Flag
    of: str
    lines: str
    runs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Work:
    """One person at one product, with one band on scales of one division.

    What was typed is asked apart: among what was weighed it hides.
    """

    product: str
    person: str
    limits: Limits
    division_mg: int
    is_typed: bool


@dataclass(slots=True)
class _Weeks:
    """What came of that, week by week: before the dossier, and in it."""

    former: dict[str, list[FormerRun]] = field(default_factory=dict)
    batches: dict[str, list[BatchEvidence]] = field(default_factory=dict)


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
    A week is held against those of the thirteen before it in which the same person divided the
    same product, with the same band and division; those before the dossier are in
    ``evidence.former``.
    """
    return (
        *_of_weeks(evidence),
        *(question for batch in evidence.batches for question in _of_times(batch)),
    )


def _of_weeks(evidence: Evidence) -> Iterator[Question]:
    works = _works(evidence)
    for work, weeks in works.items():
        history = History(weeks.former)
        weighed = works[replace(work, is_typed=False)] if work.is_typed else _Weeks()
        for week in sorted(weeks.batches):
            found = weeks.batches[week]
            pieces = _pieces(work, found)
            before = history.before(week)
            copied = (*before.kept_mg, *_up_to(week, weighed))
            who = f", {work.person}" if evidence.scope.with_people and work.person else ""
            for flag in flags_of_week(pieces, replace(before, kept_mg=copied)):
                runs = tuple(batch.run for batch in found)
                yield Question(flag, f"{work.product}, week {week}{who}", _lines(found), runs)
            history.add(week, pieces.kept_mg, pieces.first_mg)


def _up_to(week: str, weighed: _Weeks) -> Iterator[Sequence[int]]:
    """Yield the kept pieces of weighed runs up to a week, which typed ones may be copied from."""
    names = sorted(name for name in {*weighed.former, *weighed.batches} if name <= week)
    for name in names[-MOST_WEEKS - 1 :]:
        yield from (run.kept_mg for run in weighed.former.get(name, ()))
        yield from (in_band_mg(each.figures.pieces) for each in weighed.batches.get(name, ()))


def _works(evidence: Evidence) -> dict[_Work, _Weeks]:
    zone, works = evidence.scope.zone, defaultdict[_Work, _Weeks](_Weeks)
    for batch in evidence.batches:
        work = _work(batch)
        if work is not None:
            week = week_of(batch.figures.started_utc_ms, zone)
            works[work].batches.setdefault(week, []).append(batch)
    typed = {replace(work, is_typed=False) for work in works if work.is_typed}
    for work in typed:
        works.setdefault(work, _Weeks())
    for run in evidence.former:
        work = _Work(run.product, run.person, run.limits, run.division_mg, run.is_typed)
        if work in works:
            works[work].former.setdefault(week_of(run.began_utc_ms, zone), []).append(run)
    return works


def _work(batch: BatchEvidence) -> _Work | None:
    """Return what a batch is of; None where no division of a scale is known."""
    figures, person = batch.figures, batch.promises[-1][1].person
    known = [run.division_mg for run in figures.runs if run.division_mg]
    if not known:
        return None
    is_typed = file_of_scale(batch.promises[-1][1].scale) is not None
    return _Work(figures.product.name, person, figures.product.limits, known[-1], is_typed)


def _pieces(work: _Work, batches: Sequence[BatchEvidence]) -> PiecesOfAWeek:
    runs = [batch.figures.pieces for batch in batches]
    return PiecesOfAWeek(
        limits=work.limits,
        division_mg=work.division_mg,
        kept_mg=[in_band_mg(run) for run in runs],
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
            yield Question(flag, f"batch {batch.run}", batch.lines, (batch.run,))


def _of_clock(
    promise: RunStarted, pieces: Sequence[PieceFacts], written_ms: Sequence[int]
) -> Flag | None:
    """Return what is asked of a run whose clock stepped."""
    own_ms = [piece.placed_ms + piece.ms for piece in pieces if piece.ms is not None]
    if promise.clock_utc_ms is None or not own_ms or len(own_ms) < len(pieces):
        return None
    return clock_disagrees(written_ms, own_ms, clock_utc_ms=promise.clock_utc_ms)

"""Totals of a run as integers: added, and subtracted again, without any error."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, TypeAlias

from weighstation.errors import SequenceError
from weighstation.events import Verdict
from weighstation.journal.entry import Entry, read_body
from weighstation.journal.held import integer, word
from weighstation.journal.kinds import Kind
from weighstation.journal.piece_lines import Change, change
from weighstation.journal.run_lines import read_run_started
from weighstation.journal.sums import NO_WEIGHTS, Sums
from weighstation.quantities import MG_PER_G, on_division

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from weighstation.journal.entry import Body
    from weighstation.journal.facts import PieceFacts

_MS_PER_H = 3_600_000
AGE_NOT_SAID_H = -1
"""The hour of dough age of pieces of which nobody said it."""
_TWO_AT_ONCE = Verdict.ONE_AT_A_TIME.value


@dataclass(frozen=True, slots=True)
class RunState:
    """What the lines of one run add up to.

    Parameters
    ----------
    run : str
    started_seq : int
        Number of its first line.
    product : str
    target_mg : int, milligrams
    division_mg : int, milligrams
        Of the run's first line; whole grams where that did not know it.
    began_utc_ms : int, milliseconds since 1970
        When its first line was written, or what it tells of began.
    continues : str
        The run that this one goes on with, or empty.
    kept, first : Sums
        Of counted pieces: as they left the bench, and as first cut where that is known.
    touches : int
    ms : int, milliseconds
        Spent on counted pieces; both where they are known.
    out_of_band : int
        Counted pieces that left out of band.
    last_number : int
        The highest piece number that was ever counted.
    open_lifted : tuple of int
        Numbers of pieces lifted and neither counted since nor brought back.
    counts : Mapping of str to int
        Lines by kind.
    ended : str
        Why it ended, or empty while it is open.
    """

    run: str
    started_seq: int
    product: str
    target_mg: int
    division_mg: int
    began_utc_ms: int
    continues: str = ""
    kept: Sums = NO_WEIGHTS
    first: Sums = NO_WEIGHTS
    touches: int = 0
    ms: int = 0
    out_of_band: int = 0
    last_number: int = 0
    open_lifted: tuple[int, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)
    ended: str = ""

    @property
    def is_imported(self) -> bool:
        """Whether its pieces were entered from a file, and weighed by no scale of ours."""
        return Kind.IMPORTED.value in self.counts

    @property
    def kept_mean_mg(self) -> float | None:
        """Mean of counted pieces in milligrams; None of none."""
        mean = self.kept.mean_d_mg
        return None if mean is None else float(self.target_mg + mean)


@dataclass(frozen=True, slots=True)
class TallyKey:
    """A cell of the tally of counted pieces.

    Parameters
    ----------
    dough_age_h : int, hours
        Whole hours; below 0 where nobody said.
    verdict : Verdict
    step : int
        d in divisions.
    """

    dough_age_h: int
    verdict: Verdict
    step: int


TallyChange: TypeAlias = tuple[TallyKey, Sums]
"""A cell, and what is added to it."""


def run_of(entry: Entry) -> str | None:
    """Return the run that a line belongs to, or None.

    Parameters
    ----------
    entry : Entry

    Returns
    -------
    str or None
    """
    run = read_body(entry.body).get("run")
    return run if isinstance(run, str) else None


def apply(state: RunState | None, entry: Entry) -> RunState:
    """Return a run's totals after one more of its lines.

    Parameters
    ----------
    state : RunState or None
        None before its first line.
    entry : Entry
        A line of that run.

    Returns
    -------
    RunState

    Raises
    ------
    SequenceError
        If the line cannot follow: a run started twice, or a line of one never started.
    """
    body = read_body(entry.body)
    return advance(state, entry, body, change(entry.kind, body))[0]


def advance(
    state: RunState | None, entry: Entry, body: Body, happened: Change
) -> tuple[RunState, tuple[TallyChange, ...]]:
    """Return a run's totals after one more of its lines, and what that changes in its tally.

    Parameters
    ----------
    state : RunState or None
        None before its first line.
    entry : Entry
        A line of that run.
    body : Mapping
        What its text holds, read once.
    happened : Change
        Which pieces it counts, and counts no longer.

    Returns
    -------
    RunState
    tuple of (TallyKey, Sums)
        Cells, and what is added to each.

    Raises
    ------
    SequenceError
        As `apply`.
    """
    if (state is None) != (entry.kind is Kind.RUN_STARTED):
        raise SequenceError(f"Line {entry.seq} cannot stand where it is in its run.")
    if state is None:
        return replace(_opened(entry, body), counts={entry.kind.value: 1}), ()
    changed = {
        **_totals(state, happened),
        "open_lifted": _open_lifted(state, entry, body, happened),
    }
    if entry.kind is Kind.RUN_ENDED:
        return replace(state, **changed, ended=word(body, "why")), ()
    counts = {**state.counts, entry.kind.value: state.counts.get(entry.kind.value, 0) + 1}
    return replace(state, **changed, counts=counts), _tally_changes(state, happened)


def _opened(entry: Entry, body: Body) -> RunState:
    started = read_run_started(body)
    return RunState(
        run=started.run,
        started_seq=entry.seq,
        product=started.product.name,
        target_mg=started.product.limits.target_mg,
        division_mg=started.division_mg or MG_PER_G,
        began_utc_ms=entry.t_utc_ms if started.began_utc_ms is None else started.began_utc_ms,
        continues=started.continues,
    )


def _totals(state: RunState, happened: Change) -> dict[str, Any]:
    """Return the totals that move with the pieces; nothing where none does."""
    if not (happened.adds or happened.removes):
        return {}
    kept, first, last_number = state.kept, state.first, state.last_number
    touches, ms, out_of_band = state.touches, state.ms, state.out_of_band
    for piece, sign in _signed(happened):
        kept = kept.counted(piece.final_mg - state.target_mg, sign)
        first = _first_counted(first, state.target_mg, piece, sign)
        touches += sign * (piece.touches or 0)
        ms += sign * (piece.ms or 0)
        out_of_band += sign * (piece.verdict is not Verdict.KEEP)
        last_number = max(last_number, piece.number)
    return {
        "kept": kept,
        "first": first,
        "touches": touches,
        "ms": ms,
        "out_of_band": out_of_band,
        "last_number": last_number,
    }


def _first_counted(first: Sums, target_mg: int, piece: PieceFacts, sign: int) -> Sums:
    if piece.first_mg is None:
        return first
    return first.counted(piece.first_mg - target_mg, sign)


def _signed(happened: Change) -> Iterable[tuple[PieceFacts, int]]:
    yield from ((piece, -1) for piece in happened.removes)
    yield from ((piece, 1) for piece in happened.adds)


def _open_lifted(state: RunState, entry: Entry, body: Body, happened: Change) -> tuple[int, ...]:
    # Two at once are no piece: their number stays free, nothing of it is left open.
    is_lift = entry.kind is Kind.PIECE_LIFTED and word(body, "verdict") != _TWO_AT_ONCE
    lifts = is_lift or entry.kind is Kind.LIFTED_TURNED
    if not (lifts or state.open_lifted):
        return ()
    lifted = {*state.open_lifted, *((integer(body, "number"),) if lifts else ())}
    return tuple(sorted(lifted - {piece.number for piece in happened.adds}))


def _tally_changes(state: RunState, happened: Change) -> tuple[TallyChange, ...]:
    return tuple(
        (_cell(state, piece), NO_WEIGHTS.counted(piece.final_mg - state.target_mg, sign))
        for piece, sign in _signed(happened)
    )


def tally_of(state: RunState, pieces: Iterable[PieceFacts]) -> dict[TallyKey, Sums]:
    """Return the tally of a run from its counted pieces.

    Parameters
    ----------
    state : RunState
    pieces : iterable of PieceFacts

    Returns
    -------
    dict of TallyKey to Sums
    """
    tally: dict[TallyKey, Sums] = {}
    for piece in pieces:
        key = _cell(state, piece)
        tally[key] = tally.get(key, Sums()).counted(piece.final_mg - state.target_mg, 1)
    return tally


def _cell(state: RunState, piece: PieceFacts) -> TallyKey:
    d_mg = on_division(piece.final_mg - state.target_mg, state.division_mg)
    age_ms = piece.dough_age_ms
    age_h = AGE_NOT_SAID_H if age_ms is None else age_ms // _MS_PER_H
    return TallyKey(age_h, piece.verdict, d_mg // state.division_mg)


def together(states: Iterable[RunState]) -> RunState:
    """Return the totals of a batch that was weighed in several runs.

    Parameters
    ----------
    states : iterable of RunState
        Oldest first; all with one scaling weight.

    Returns
    -------
    RunState
        With the newest run's identity.

    Raises
    ------
    SequenceError
        If the scaling weights differ, or there is no run.
    """
    runs = tuple(states)
    if len({state.target_mg for state in runs}) != 1:
        raise SequenceError("Only runs with one scaling weight add up to a batch.")
    kinds = {kind for state in runs for kind in state.counts}
    return replace(
        runs[-1],
        started_seq=runs[0].started_seq,
        began_utc_ms=runs[0].began_utc_ms,
        kept=sum((state.kept for state in runs), Sums()),
        first=sum((state.first for state in runs), Sums()),
        touches=sum(state.touches for state in runs),
        ms=sum(state.ms for state in runs),
        out_of_band=sum(state.out_of_band for state in runs),
        last_number=max(state.last_number for state in runs),
        open_lifted=tuple(sorted({number for state in runs for number in state.open_lifted})),
        counts={kind: sum(state.counts.get(kind, 0) for state in runs) for kind in sorted(kinds)},
    )

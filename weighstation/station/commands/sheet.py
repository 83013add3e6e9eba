"""A store -> the figures of one batch, and its sheet on a stream."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, TextIO

from weighstation.errors import ChainBrokenError, JournalError, SequenceError
from weighstation.journal import (
    Doubts,
    Kind,
    codec,
    lifts_of,
    read_body,
    read_scale_checked,
    run_of,
)
from weighstation.report.figures import BatchFigures, Bench, Dough, ScaleCheck, SettledDoubt
from weighstation.station.commands.chains import chained
from weighstation.station.stores.remake import Remade
from weighstation.station.stores.store import run_chain

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import tzinfo

    from weighstation.journal import Entry, PieceFacts, RunStarted, RunState
    from weighstation.station.stores.store import Store

_OF_NO_RUN = (Kind.SCALE_CHECKED, Kind.NOTED)
_NOTHING = "Nothing is made of it; 'weighstation journal verify' says what is wrong."


def batch_figures(store: Store, run: str) -> BatchFigures:
    """Return the figures of the batch that a run belongs to.

    Parameters
    ----------
    store : Store
    run : str
        Its newest run.

    Returns
    -------
    BatchFigures

    Raises
    ------
    SequenceError
        If there is no such run.
    ChainBrokenError
        If the lines do not follow from each other, or the stored totals from them.
    """
    with store.one_moment():
        runs, promises = batch_runs(store, run)
        names = {f'"run":"{state.run}"' for state in runs}
        chain = [
            entry
            for entry in lines_from(store, runs[0].started_seq)
            if entry.kind in _OF_NO_RUN or any(name in entry.body for name in names)
        ]
        lines = [entry for entry in chain if entry.kind not in _OF_NO_RUN]
        scale_check = _scale_check(store, promises[-1])
        head = store.head()
    pieces, counted_utc_ms = _pieces_of(lines, runs)
    doubts = Doubts()
    for entry in chain:
        doubts.feed(entry)
    started, dough_mg = promises[0], promises[-1].dough_mg
    return BatchFigures(
        product=started.product,
        currency=started.currency,
        started_utc_ms=lines[0].t_utc_ms,
        last_utc_ms=lines[-1].t_utc_ms,
        runs=runs,
        pieces=tuple(sorted(pieces, key=lambda piece: piece.number)),
        as_of_line=head.seq,
        head=head.digest,
        lifts=lifts_of(lines, pieces),
        dough=None if dough_mg is None else Dough(dough_mg),
        benches=tuple(dict.fromkeys(map(_bench, promises))),
        gaps_ms=tuple(
            codec.integer(read_body(entry.body), "ms") for entry in lines if entry.kind is Kind.GAP
        ),
        counted_utc_ms=counted_utc_ms,
        scale_check=scale_check,
        doubtful=tuple(sorted(number for _, number in doubts.pieces.doubtful)),
        settled=_settled(doubts),
        guard=promises[-1].guard,
    )


def _scale_check(store: Store, promise: RunStarted) -> ScaleCheck | None:
    """Return the check that a run began with."""
    last = promise.last_check
    if last is None:
        return None
    entry = next(store.entries(last.line), None)
    if entry is None or entry.kind is not Kind.SCALE_CHECKED:
        return ScaleCheck(last.line, last.t_utc_ms, last.is_fit)
    against = read_scale_checked(read_body(entry.body)).held_against.text
    return ScaleCheck(last.line, last.t_utc_ms, last.is_fit, against)


def _settled(doubts: Doubts) -> tuple[SettledDoubt, ...]:
    """Return which of a batch's pieces were doubtful, and what settled it."""
    found = []
    for line, said in doubts.settlements.items():
        numbers = tuple(sorted(n for (_, n), by in doubts.pieces.settled.items() if by == line))
        found += [SettledDoubt(numbers, line, said)] if numbers else []
    return tuple(found)


def _bench(promise: RunStarted) -> Bench:
    return Bench(promise.scale, promise.division_mg, promise.software)


def batch_runs(store: Store, run: str) -> tuple[tuple[RunState, ...], tuple[RunStarted, ...]]:
    """Return the runs of a batch and what each of them promised, oldest first.

    Parameters
    ----------
    store : Store
    run : str
        Its newest run.

    Returns
    -------
    tuple of RunState
    tuple of RunStarted

    Raises
    ------
    SequenceError
        If there is no such run.
    ChainBrokenError
        If one that it goes on with is not to be found any more, or not to be read.
    """
    newest = store.run(run)
    if newest is None:
        raise SequenceError(f"There is no run '{run}' in the journal.")
    try:
        runs = run_chain(store, run)
        return runs, tuple(store.started(state.run) for state in runs)
    except (SequenceError, JournalError) as exc:
        raise altered(newest.run, newest.started_seq) from exc


def lines_from(store: Store, start: int) -> Iterator[Entry]:
    """Yield the lines from a run's first on, each held against the one before it.

    Parameters
    ----------
    store : Store
    start : int
        Number of the first line wanted.

    Yields
    ------
    Entry

    Raises
    ------
    ChainBrokenError
        If a line does not follow, or the totals of a run that it begins are gone.
    """
    for entry in chained(store, start, hint=_NOTHING):
        if entry.kind is Kind.RUN_STARTED:
            run = run_of(entry)
            if run and store.run(run) is None:
                raise altered(run, entry.seq)
        yield entry


def _pieces_of(
    lines: list[Entry], runs: tuple[RunState, ...]
) -> tuple[list[PieceFacts], dict[int, int]]:
    """Return the pieces that count, and when each was; refuse totals that disagree."""
    remade = Remade()
    pieces: dict[int, PieceFacts] = {}
    counted_utc_ms: dict[int, int] = {}
    for entry in lines:
        remade.feed(entry)
        happened = codec.change(entry.kind, read_body(entry.body))
        for piece in happened.removes:
            pieces.pop(piece.number, None)
        pieces |= {piece.number: piece for piece in happened.adds}
        counted_utc_ms |= dict.fromkeys((piece.number for piece in happened.adds), entry.t_utc_ms)
    for state in runs:
        if state != remade.states.get(state.run):
            raise altered(state.run, state.started_seq)
    return list(pieces.values()), counted_utc_ms


def altered(run: str, seq: int) -> ChainBrokenError:
    """Return the error for a run whose stored totals are not what its lines add up to.

    Parameters
    ----------
    run : str
    seq : int
        Number of its first line.

    Returns
    -------
    ChainBrokenError
    """
    return ChainBrokenError(
        f"The stored totals of run {run} do not follow from its lines.", seq=seq, hint=_NOTHING
    )


def show_sheet(figures: BatchFigures, stream: TextIO, *, zone: tzinfo | None = None) -> None:
    """Print the sheet of a batch.

    Parameters
    ----------
    figures : BatchFigures
    stream : TextIO
        In colour where it is a terminal that has some.
    zone : tzinfo or None
        Whose clock times are told in; None for the machine's own.
    """
    from rich.console import Console  # noqa: PLC0415 - only where a sheet is shown

    from weighstation.report import batch_sheet, print_sheet  # noqa: PLC0415 - the same

    here = zone or datetime.now().astimezone().tzinfo
    sheet = batch_sheet(figures, zone=here) if here else batch_sheet(figures)
    console = Console(file=stream, width=None if stream.isatty() else 80)
    print_sheet(sheet, console)

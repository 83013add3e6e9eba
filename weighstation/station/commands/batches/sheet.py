"""A store -> the figures of one batch, and its sheet on a stream."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TextIO

from weighstation.errors import ChainBrokenError, JournalError, SequenceError
from weighstation.journal import (
    Doubts,
    DoughWeighed,
    Kind,
    codec,
    file_of_scale,
    happened_utc_ms,
    lifts_of,
    read_body,
    read_scale_checked,
    run_of,
)
from weighstation.plan import BoardRecord
from weighstation.plan.boards.board_record import OF_BOARDS
from weighstation.report.sheet.boards import BatchBoard
from weighstation.report.sheet.figures import BatchFigures, Bench, ScaleCheck, SettledDoubt
from weighstation.station.commands.batches.bench_facts import bench_facts, dough_of
from weighstation.station.commands.batches.chains import chained
from weighstation.station.commands.batches.happenings import happenings_of
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.pages import console_on
from weighstation.station.stores.remake import Remade
from weighstation.station.stores.store import run_chain

if TYPE_CHECKING:
    from collections.abc import Container, Iterator, Mapping, Sequence
    from datetime import tzinfo

    from weighstation.journal import Body, Entry, Head, PieceFacts, RunStarted, RunState
    from weighstation.station.stores.store import Store

_OF_NO_RUN = (Kind.SCALE_CHECKED, Kind.NOTED)
_NOTHING = "Nothing is made of it; 'weighstation journal verify' says what is wrong."


@dataclass(frozen=True, slots=True)
class BatchLines:
    """What was read of one batch.

    Parameters
    ----------
    runs : tuple of RunState
        Oldest first, as they are stored.
    promises : tuple of RunStarted
    chain : sequence of Entry
        Lines of its runs, notes and checks, in order.
    doubts : Doubts
        Fed with all lines since its first.
    head : Head
        The last line of the journal.
    scale_check : ScaleCheck or None
    boards : tuple of BatchBoard
    """

    runs: tuple[RunState, ...]
    promises: tuple[RunStarted, ...]
    chain: Sequence[Entry]
    doubts: Doubts
    head: Head
    scale_check: ScaleCheck | None = None
    boards: tuple[BatchBoard, ...] = ()


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
        boards = _BoardLines(frozenset(state.run for state in runs))
        chain = [
            entry
            for entry in boards.watched(lines_from(store, runs[0].started_seq))
            if entry.kind in _OF_NO_RUN or any(name in entry.body for name in names)
        ]
        check, head = scale_check(store, promises[-1]), store.head()
    doubts = Doubts()
    for entry in chain:
        doubts.feed(entry)
    return figures_of(
        BatchLines(runs, promises, chain, doubts, head, scale_check=check, boards=boards.found())
    )


def figures_of(read: BatchLines) -> BatchFigures:
    """Return the figures of a batch whose lines were read.

    Parameters
    ----------
    read : BatchLines

    Returns
    -------
    BatchFigures

    Raises
    ------
    ChainBrokenError
        If the stored totals do not follow from the lines.
    """
    runs, promises, doubts = read.runs, read.promises, read.doubts
    lines = [entry for entry in read.chain if entry.kind not in _OF_NO_RUN]
    pieces, counted_utc_ms = _pieces_of(lines, runs)
    started, facts = promises[0], tuple(bench_facts(lines))
    dough = dough_of(
        promises[-1].dough_mg,
        (fact for fact in facts if isinstance(fact, DoughWeighed)),
        max((piece.number for piece in pieces), default=0),
    )
    names = {state.run for state in runs}
    return BatchFigures(
        product=started.product,
        currency=started.currency,
        started_utc_ms=min(run.began_utc_ms for run in runs),
        last_utc_ms=_last_utc_ms(lines),
        runs=runs,
        pieces=_in_order(pieces, counted_utc_ms, is_entered=runs[-1].is_imported),
        as_of_line=read.head.seq,
        head=read.head.digest,
        lifts=lifts_of(lines, pieces),
        dough=dough,
        benches=tuple(dict.fromkeys(map(_bench, promises))),
        gaps_ms=tuple(
            codec.integer(read_body(entry.body), "ms") for entry in lines if entry.kind is Kind.GAP
        ),
        counted_utc_ms=counted_utc_ms,
        scale_check=read.scale_check,
        doubtful=tuple(sorted(n for run, n in doubts.pieces.doubtful if run in names)),
        settled=_settled(doubts, names),
        guard=promises[-1].guard,
        boards=read.boards,
        mixed_utc_ms=promises[-1].mixed_utc_ms,
        first_cut_utc_ms=_first_cut_ms(lines, promises),
        entered_utc_ms=tuple(
            entry.t_utc_ms
            for entry in lines
            if entry.kind is Kind.RUN_STARTED and _is_entered(entry)
        ),
        batch=promises[-1].batch,
        happenings=happenings_of(
            read.chain,
            (line for (run, _), line in doubts.pieces.failed_line.items() if run in names),
        ),
        bench_facts=facts,
    )


def _in_order(
    pieces: list[PieceFacts], when_ms: Mapping[int, int], *, is_entered: bool
) -> tuple[PieceFacts, ...]:
    """Return pieces by number; those of files by their time, because a later file may fill in."""

    def place(piece: PieceFacts) -> tuple[int, int]:
        return (when_ms[piece.number] if is_entered else 0, piece.number)

    return tuple(sorted(pieces, key=place))


def _is_entered(started: Entry) -> bool:
    return file_of_scale(codec.word(read_body(started.body), "scale")) is not None


def _last_utc_ms(lines: list[Entry]) -> int:
    """Return when the last thing happened that lines tell of, whenever they were written."""
    at_ms = [happened_utc_ms(entry) for entry in lines if entry.kind is Kind.IMPORTED]
    return max(at_ms) if at_ms else lines[-1].t_utc_ms


def _first_cut_ms(lines: list[Entry], promises: tuple[RunStarted, ...]) -> int | None:
    """Return when a dough was first cut, by the clock of the run that did it."""
    first = next((e for e in lines if e.kind in (Kind.PIECE_KEPT, Kind.PIECE_LIFTED)), None)
    if first is None:
        return None
    body = read_body(first.body)
    clock_ms = {promise.run: promise.clock_utc_ms for promise in promises}[codec.word(body, "run")]
    return None if clock_ms is None else clock_ms + codec.integer(body, "placed_ms")


class _BoardLines:
    """Follows the boards of some runs, from their first line until boards count anew."""

    def __init__(self, runs: frozenset[str]) -> None:
        self._runs = runs
        self._record = BoardRecord()
        self._is_over = False

    def watched(self, lines: Iterator[Entry]) -> Iterator[Entry]:
        """Pass lines on, and lay their pieces on boards."""
        for entry in lines:
            if entry.kind in OF_BOARDS and not self._is_over:
                self._feed(entry, read_body(entry.body))
            yield entry

    def _feed(self, entry: Entry, body: Body) -> None:
        self._is_over = entry.kind is Kind.BOARD_OPENED and body["board"] == 1 and self._has_any
        if not self._is_over:
            self._record = self._record.after(entry.kind, body, entry.t_utc_ms)

    @property
    def _has_any(self) -> bool:
        return bool(self._record.boards and self._record.boards.boards)

    def found(self) -> tuple[BatchBoard, ...]:
        """Return the boards that carry a piece of these runs."""
        boards = self._record.boards.boards if self._record.boards else ()
        return tuple(
            BatchBoard(board, self._record.window_of(board))
            for board in boards
            if any(piece.run in self._runs for piece in board.pieces)
        )


def scale_check(store: Store, promise: RunStarted) -> ScaleCheck | None:
    """Return the check that a run began with.

    Parameters
    ----------
    store : Store
    promise : RunStarted

    Returns
    -------
    ScaleCheck or None

    Raises
    ------
    JournalError
        If its line cannot be read.
    """
    last = promise.last_check
    if last is None:
        return None
    entry = next(store.entries(last.line), None)
    if entry is None or entry.kind is not Kind.SCALE_CHECKED:
        return ScaleCheck(last.line, last.t_utc_ms, last.is_fit)
    against = read_scale_checked(read_body(entry.body)).held_against.text
    return ScaleCheck(last.line, last.t_utc_ms, last.is_fit, against)


def _settled(doubts: Doubts, names: Container[str]) -> tuple[SettledDoubt, ...]:
    """Return which of a batch's pieces were doubtful, and what settled it."""
    found = []
    settled = {what: by for what, by in doubts.pieces.settled.items() if what[0] in names}
    for line, said in doubts.settlements.items():
        numbers = tuple(sorted(number for (_, number), by in settled.items() if by == line))
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
        when_ms = happened_utc_ms(entry)
        counted_utc_ms |= dict.fromkeys((piece.number for piece in happened.adds), when_ms)
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
    from weighstation.report import batch_sheet  # noqa: PLC0415 - only where a sheet is shown
    from weighstation.report.sheet.text import print_sheet  # noqa: PLC0415 - see above

    sheet = batch_sheet(figures, zone=zone or HERE)
    print_sheet(sheet, console_on(stream))

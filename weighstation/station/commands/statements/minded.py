"""Runs of a span -> what is to be minded of their weights; no piece but each first is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import Doubts, codec, file_of_scale, read_body
from weighstation.report.page.tables import counted, named
from weighstation.report.sheet.figures import is_stand_in
from weighstation.station.commands.baking.among import checks_about

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.journal import Entry
    from weighstation.report.giveaway import RunRow
    from weighstation.station.stores import Store


def minded(store: Store, rows: Sequence[RunRow]) -> tuple[str, ...]:
    """Return what is to be minded of the weights of some runs.

    Parameters
    ----------
    store : Store
        Held still by the caller.
    rows : sequence of RunRow

    Returns
    -------
    tuple of str
        Plain sentences: of pieces that no scale here weighed, or that a simulation or a recording
        made up, and of pieces on a scale that a check found unfit.

    Raises
    ------
    JournalError
        If the store cannot be read.

    Notes
    -----
    A run is doubtful as a whole or not at all, by its first piece: a check opens a new run.
    """
    with_pieces = [row for row in rows if row.state.kept.n]
    entered = [row for row in with_pieces if row.state.is_imported]
    weighed = [row for row in with_pieces if not row.state.is_imported]
    return (*_entered(store, entered), *_simulated(store, weighed), *_doubtful(store, weighed))


def _entered(store: Store, rows: Sequence[RunRow]) -> Iterator[str]:
    if rows:
        scales = (store.started(row.state.run).scale for row in rows)
        files = sorted({file_of_scale(scale) or scale for scale in scales})
        yield f"{_pieces(rows)} entered from {named(files)}, and weighed by no scale here."


def _simulated(store: Store, rows: Sequence[RunRow]) -> Iterator[str]:
    found = [row for row in rows if is_stand_in(store.started(row.state.run).scale)]
    if found:
        yield (
            f"{_pieces(found)} weighed by no scale here: a simulation or a recording stood in for"
            " it."
        )


def _doubtful(store: Store, rows: Sequence[RunRow]) -> Iterator[str]:
    lines = sorted((line for row in rows for line in _first_lines(store, row)), key=_seq)
    doubts = Doubts()
    for entry in sorted((*lines, *checks_about(store, lines)), key=_seq):
        doubts.feed(entry)
    pieces = doubts.pieces
    failed_of = {run: pieces.failed_line[run, number] for run, number in pieces.doubtful}
    scale_of = {pieces.failed_line[what]: pieces.scale_of[what] for what in pieces.doubtful}
    for failed, scale in sorted(scale_of.items()):
        found = [row for row in rows if failed_of.get(row.state.run) == failed]
        yield (
            f"{_pieces(found)} weighed on the scale '{scale}' after its last good check, and line"
            f" {failed} found it unfit: these weights are doubtful. 'weighstation dossier' lists"
            " them."
        )


def _pieces(rows: Sequence[RunRow]) -> str:
    pieces = sum(row.state.kept.n for row in rows)
    were = "was" if pieces == 1 else "were"
    return f"{counted(pieces, 'piece')} in {counted(len(rows), 'run')} {were}"


def _first_lines(store: Store, row: RunRow) -> Iterator[Entry]:
    """Yield what a run promised, and the line that counts its first piece."""
    for place, entry in enumerate(store.run_lines(row.state.run)):
        is_counting = bool(codec.change(entry.kind, read_body(entry.body)).adds)
        if place == 0 or is_counting:
            yield entry
        if is_counting:
            return


def _seq(entry: Entry) -> int:
    return entry.seq

"""A store -> the figures of one batch, and its sheet on a stream."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, TextIO

from weighstation.errors import ChainBrokenError
from weighstation.journal import codec, lifts_of, read_body
from weighstation.report.figures import BatchFigures, Dough
from weighstation.station.stores.remake import Remade
from weighstation.station.stores.store import run_chain

if TYPE_CHECKING:
    from datetime import tzinfo

    from weighstation.journal import Entry, PieceFacts, RunState
    from weighstation.station.stores.store import Store


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
        If the stored totals do not follow from the lines.
    """
    runs = run_chain(store, run)
    started = store.started(runs[0].run)
    names = {f'"run":"{state.run}"' for state in runs}
    lines = [
        entry
        for entry in store.entries(runs[0].started_seq)
        if any(name in entry.body for name in names)
    ]
    pieces = _pieces_of(lines, runs)
    dough_mg = store.started(run).dough_mg
    head = store.head()
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
    )


def _pieces_of(lines: list[Entry], runs: tuple[RunState, ...]) -> list[PieceFacts]:
    """Return the pieces that count, worked out from the lines; refuse totals that disagree."""
    remade = Remade()
    pieces: dict[int, PieceFacts] = {}
    for entry in lines:
        remade.feed(entry)
        happened = codec.change(entry.kind, read_body(entry.body))
        for piece in happened.removes:
            pieces.pop(piece.number, None)
        pieces |= {piece.number: piece for piece in happened.adds}
    for state in runs:
        if state != remade.states.get(state.run):
            raise ChainBrokenError(
                f"The stored totals of run {state.run} do not follow from its lines.",
                seq=state.started_seq,
                hint="No sheet is made of them; 'weighstation journal verify' says what is wrong.",
            )
    return list(pieces.values())


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

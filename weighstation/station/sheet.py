"""A store -> the figures of one batch, and its sheet on a stream."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, TextIO

from weighstation.journal import lifts_of
from weighstation.report.figures import BatchFigures, Dough
from weighstation.station.stores.store import run_chain

if TYPE_CHECKING:
    from datetime import tzinfo

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
    """
    runs = run_chain(store, run)
    started = store.started(runs[0].run)
    names = {f'"run":"{state.run}"' for state in runs}
    lines = [
        entry
        for entry in store.entries(runs[0].started_seq)
        if any(name in entry.body for name in names)
    ]
    pieces = [piece for state in runs for piece in store.pieces(state.run)]
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

"""The ``journal`` commands that read and write lines: shown, noted and struck out at the desk."""

from __future__ import annotations

import sys
import time
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError, SpecificationError
from weighstation.journal import Kind, Line, codec, read_body, run_of
from weighstation.station.bench.wording import promised
from weighstation.station.commands.batches.chains import seen_broken
from weighstation.station.commands.batches.sheet import altered, batch_figures, show_sheet
from weighstation.station.commands.journals.opening import reading, writing
from weighstation.station.commands.journals.texts import entry_json, entry_text
from weighstation.station.commands.terminal.options import refuse_no_text
from weighstation.station.commands.terminal.pages import show_record

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.journal import RunState
    from weighstation.report import BatchFigures
    from weighstation.station.stores import SqliteStore

IS_WRITTEN = "Your line is written all the same; 'weighstation journal verify' says what is wrong."
_NOT_STRUCK_OUT = (
    "The piece is not struck out: 'weighstation journal verify' says what is wrong, and"
    " 'weighstation journal note LINE TEXT' can say what you know."
)


def show(home: Path | None, *, last: int, as_json: bool) -> int:
    """Print the last lines of the journal.

    Parameters
    ----------
    home : Path or None
    last : int
        How many.
    as_json : bool
        One JSON object a line, body and digest included.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    with closing(reading(home)) as store:
        first = max(1, store.head().seq - last + 1)
        for entry in store.entries(first):
            sys.stdout.write((entry_json(entry) if as_json else entry_text(entry)) + "\n")
    return 0


def sheet(
    home: Path | None, *, run: str, rest: tuple[int | None, int | None], as_json: bool
) -> int:
    """Print the sheet of a batch.

    Parameters
    ----------
    home : Path or None
    run : str
        Its newest run; empty for the newest of all.
    rest : (2,) tuple of int, milligrams, or None
        Dough that was left over, and dough that was lost; None where nobody said.
    as_json : bool

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If there is no such run, or it is not known how much dough there was to be left or lost,
        or there was less.
    JournalError
        If the journal cannot be read.
    """
    with closing(reading(home)) as store:
        figures = batch_figures(store, _run(store, run).run)
    figures = _with_rest(figures, *rest)
    if as_json:
        from weighstation.report import batch_record  # noqa: PLC0415 - only here

        show_record(batch_record(figures))
    else:
        show_sheet(figures, sys.stdout)
    return 0


def void(home: Path | None, number: int, *, run: str, reason: str) -> int:
    """Strike out a counted piece by a new line; the line that counted it stays.

    Parameters
    ----------
    home : Path or None
    number : int
        Of the piece.
    run : str
        Its run; empty for the newest.
    reason : str

    Returns
    -------
    int
        Exit code: 1 where the piece is struck out, and the last line does not hold.

    Raises
    ------
    SpecificationError
        If there is no such run, the piece does not count in it, or the reason is empty.
    ChainBrokenError
        If a line that the piece stands in does not hold: nothing is struck out.
    JournalError
        If the journal cannot be written.
    """
    refuse_no_text(reason, "The reason")
    if not reason.strip():
        raise SpecificationError(
            "The reason is empty.", hint="Say why the piece is struck out, or leave --reason out."
        )
    with closing(writing(home)) as store:
        state = _run(store, run)
        pieces = {piece.number: piece for piece in store.pieces(state.run)}
        if number not in pieces:
            raise _does_not_count(store, state, number)
        fault = seen_broken(store, _lines_of(store, state, number), hint=_NOT_STRUCK_OUT)
        if fault is not None:
            raise fault
        fault = seen_broken(store, [store.head().seq], hint=IS_WRITTEN)
        body = codec.struck_out(state.run, pieces[number], reason.strip())
        entry = store.append(Line(Kind.VOIDED, body, _now_ms()))
    sys.stdout.write(f"Line {entry.seq}: piece {number} of run {state.run} is struck out.\n")
    return warned(fault)


def _lines_of(store: SqliteStore, state: RunState, number: int) -> list[int]:
    """Return the numbers of the lines that count a piece, or count it no longer."""
    found = []
    for entry in store.entries(state.started_seq):
        if run_of(entry) == state.run:
            change = codec.change(entry.kind, read_body(entry.body))
            if number in {piece.number for piece in (*change.adds, *change.removes)}:
                found.append(entry.seq)
    return found


def warned(fault: ChainBrokenError | None) -> int:
    """Say why a line does not hold, if one does not; return the exit code.

    Parameters
    ----------
    fault : ChainBrokenError or None

    Returns
    -------
    int
    """
    if fault is None:
        return 0
    sys.stderr.write(f"{fault.sentence}\n")
    return fault.exit_code


def _does_not_count(store: SqliteStore, state: RunState, number: int) -> SpecificationError:
    struck_out_by = None
    for entry in store.entries(state.started_seq):
        if entry.kind is Kind.VOIDED:
            body = read_body(entry.body)
            if (body.get("run"), body.get("number")) == (state.run, number):
                struck_out_by = entry.seq
    if struck_out_by:
        return SpecificationError(
            f"Piece {number} of run {state.run} is struck out already, by line {struck_out_by}.",
            hint=f"'weighstation journal note {struck_out_by} TEXT' says more about it.",
        )
    return SpecificationError(
        f"Piece {number} does not count in run {state.run}.",
        hint="'weighstation journal show' lists the lines.",
    )


def _with_rest(figures: BatchFigures, left_mg: int | None, loss_mg: int | None) -> BatchFigures:
    """Return the figures with what was left and lost of the dough."""
    if left_mg is None and loss_mg is None:
        return figures
    if figures.dough is None:
        raise SpecificationError(
            "Nobody said how much dough this batch began with, so --left and --loss say nothing.",
            hint="Give --dough GRAMS when dividing begins.",
        )
    left_mg = figures.dough.left_mg if left_mg is None else left_mg
    out_mg, dough_mg = (left_mg or 0) + (loss_mg or 0), figures.dough.on_hand_mg
    if out_mg > dough_mg:
        raise SpecificationError(
            f"--left and --loss make {promised(out_mg)} g, and the whole dough was"
            f" {promised(dough_mg)} g.",
            hint="Weigh what was left and lost again, and give it in grams.",
        )
    return replace(figures, dough=replace(figures.dough, left_mg=left_mg, loss_mg=loss_mg))


def _run(store: SqliteStore, run: str) -> RunState:
    state = store.run(run) if run else store.last_run()
    if state is None and not run:
        first = next((e for e in store.entries() if e.kind is Kind.RUN_STARTED), None)
        if first is not None:
            raise altered(run_of(first) or "", first.seq)
    if state is None:
        raise SpecificationError(
            f"There is no run '{run}' in the journal." if run else "Nothing was divided yet.",
            hint="'weighstation journal show' lists the lines.",
        )
    return state


def _now_ms() -> int:
    return time.time_ns() // 1_000_000

"""The ``journal`` commands: lines shown, proved, noted and struck out at the desk."""

from __future__ import annotations

import json
import secrets
import sys
import time
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError, SpecificationError
from weighstation.events import Piece, Voided
from weighstation.journal import Kind, Line, codec, first_set_back, read_body, run_of
from weighstation.station.commands.entry_texts import entry_json, entry_text
from weighstation.station.commands.home import Home
from weighstation.station.commands.sheet import altered, batch_figures, show_sheet
from weighstation.station.stores import open_for_reading, open_for_writing

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.journal import Body, Head, PieceFacts, RunState
    from weighstation.report import BatchFigures
    from weighstation.station.stores import SqliteStore


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
    with closing(_reading(home)) as store:
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
        If there is no such run, or it is not known how much dough there was to be left or lost.
    JournalError
        If the journal cannot be read.
    """
    with closing(_reading(home)) as store:
        figures = batch_figures(store, _run(store, run).run)
    figures = _with_rest(figures, *rest)
    if as_json:
        from weighstation.report import batch_record  # noqa: PLC0415 - only here

        sys.stdout.write(json.dumps(batch_record(figures)) + "\n")
    else:
        show_sheet(figures, sys.stdout)
    return 0


def verify(home: Path | None, *, as_json: bool, line: int | None = None, head: str = "") -> int:
    """Read every line again, recompute digests and totals, and say whether they hold.

    Parameters
    ----------
    home : Path or None
    as_json : bool
    line : int or None
        Number of a line whose digest was printed, as on a sheet.
    head : str
        The digest that was printed, or its beginning.

    Returns
    -------
    int
        Exit code: 1 when they do not.

    Raises
    ------
    ChainBrokenError
        Naming the first line that does not hold (as a value where JSON is asked for).
    JournalError
        If the journal cannot be read.
    """
    try:
        last, set_back = _proved(home, line, head)
    except ChainBrokenError as exc:
        if not as_json:
            raise
        said = {"holds": False, "line": exc.seq, "fault": exc.sentence}
        sys.stdout.write(json.dumps(said) + "\n")
        return exc.exit_code
    if as_json:
        holds = {"holds": True, "lines": last.seq, "head": last.digest, "set_back": set_back}
        sys.stdout.write(json.dumps(holds) + "\n")
        return 0
    sys.stdout.write(f"The journal holds: {_lines(last.seq)}, head {last.digest}.\n")
    if set_back:
        sys.stdout.write(
            f"Line {set_back} is dated before line {set_back - 1}: the station's clock was set"
            " back.\n"
        )
    return 0


def _proved(home: Path | None, line: int | None, head: str) -> tuple[Head, int | None]:
    """Return the last line of a journal that holds, and the first one after a clock set back."""
    path = Home.find(home).journal_path
    if path.is_file() and not path.stat().st_size:
        raise ChainBrokenError(
            f"The journal {path} is empty: there is no line in it.",
            seq=1,
            hint="If it held lines, keep it as it is and go back to a copy that holds.",
        )
    with closing(_reading(home)) as store:
        last = store.verify()
        _refuse_other_digest(store, line, head)
        set_back = first_set_back(store.entries())
    return last, set_back.seq if set_back else None


def _refuse_other_digest(store: SqliteStore, line: int | None, head: str) -> None:
    if line is None:
        return
    entry = next(store.entries(line), None)
    if entry is None or not entry.digest.startswith(head.lower()):
        missing = "is not in the journal" if entry is None else "has another digest"
        raise ChainBrokenError(
            f"Line {line} {missing}: this is not the journal that the sheet was printed from.",
            seq=line,
            hint="Keep the file as it is and go back to a copy that holds.",
        )


def rebuild(home: Path | None, *, as_json: bool, anyway: bool = False) -> int:
    """Drop the totals and make them again from the lines.

    Parameters
    ----------
    home : Path or None
    as_json : bool
    anyway : bool
        Even where lines are missing at the end.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    ChainBrokenError
        If lines are missing at the end.
    JournalError
        If the journal cannot be read or written.
    """
    with closing(_writing(home)) as store:
        store.rebuild(anyway=anyway)
        seq = store.head().seq
    if as_json:
        sys.stdout.write(json.dumps({"rebuilt_from_lines": seq}) + "\n")
    else:
        sys.stdout.write(f"The totals are made again from {_lines(seq)}.\n")
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
        Exit code.

    Raises
    ------
    SpecificationError
        If there is no such run, the piece does not count in it, or the reason is empty.
    JournalError
        If the journal cannot be written.
    """
    if not reason.strip():
        raise SpecificationError(
            "The reason is empty.", hint="Say why the piece is struck out, or leave --reason out."
        )
    with closing(_writing(home)) as store:
        state = _run(store, run)
        pieces = {piece.number: piece for piece in store.pieces(state.run)}
        if number not in pieces:
            raise _does_not_count(store, state, number)
        body = _voided(state, pieces[number], reason.strip())
        entry = store.append(Line(Kind.VOIDED, body, _now_ms()))
    sys.stdout.write(f"Line {entry.seq}: piece {number} of run {state.run} is struck out.\n")
    return 0


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


def note(home: Path | None, about: int, text: str) -> int:
    """Note something about an earlier line by a new one.

    Parameters
    ----------
    home : Path or None
    about : int
        Number of that line.
    text : str

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If there is no such line, or the note is empty.
    JournalError
        If the journal cannot be written.
    """
    if not text.strip():
        raise SpecificationError("The note is empty.", hint="Write what there is to say.")
    with closing(_writing(home)) as store:
        if not 1 <= about <= store.head().seq:
            raise SpecificationError(
                f"There is no line {about}.", hint=f"The journal has {_lines(store.head().seq)}."
            )
        entry = store.append(Line(Kind.NOTED, codec.noted(about, text.strip()), _now_ms()))
    sys.stdout.write(f"Line {entry.seq} notes that about line {about}.\n")
    return 0


def _with_rest(figures: BatchFigures, left_mg: int | None, loss_mg: int | None) -> BatchFigures:
    """Return the figures with what was left and lost of the dough."""
    if left_mg is None and loss_mg is None:
        return figures
    if figures.dough is None:
        raise SpecificationError(
            "Nobody said how much dough this batch began with, so --left and --loss say nothing.",
            hint="Give --dough GRAMS when dividing begins.",
        )
    return replace(figures, dough=replace(figures.dough, left_mg=left_mg, loss_mg=loss_mg))


def _voided(state: RunState, facts: PieceFacts, reason: str) -> Body:
    """Return the body that strikes out a piece exactly as it was counted."""
    piece = Piece(
        number=facts.number,
        t_s=(facts.placed_ms + facts.ms) / 1000,
        placed_s=facts.placed_ms / 1000,
        first_mg=facts.first_mg,
        final_mg=facts.final_mg,
        touches=facts.touches,
        verdict=facts.verdict,
    )
    dough_t_s = (facts.placed_ms - facts.dough_age_ms) / 1000
    return codec.voided(state.run, Voided(piece.t_s, piece, reason), dough_t_s=dough_t_s)


def _reading(home: Path | None) -> SqliteStore:
    return open_for_reading(Home.find(home).journal_path)


def _writing(home: Path | None) -> SqliteStore:
    path = Home.find(home).journal_path
    _reading(home).close()  # a desk command never makes a journal
    return open_for_writing(path, journal_id=secrets.token_hex(16), station="desk")


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


def _lines(count: int) -> str:
    return "1 line" if count == 1 else f"{count} lines"

"""A fact -> the next line, its digest and what it changes; the same for every store."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SequenceError
from weighstation.journal.chain import sealed
from weighstation.journal.entry import Body, Entry, Head, Line, body_text, read_body
from weighstation.journal.kinds import COUNTING, Kind
from weighstation.journal.piece_lines import Change, change
from weighstation.journal.projection import RunState, TallyChange, advance

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.journal.facts import PieceFacts


@dataclass(frozen=True, slots=True)
class Step:
    """What one more line brings.

    Parameters
    ----------
    entry : Entry
    state : RunState or None
        Its run after it; None for a line of no run.
    tally : tuple of (TallyKey, Sums)
        Cells and what is added to them.
    """

    entry: Entry
    state: RunState | None
    tally: tuple[TallyChange, ...]


def follow(
    head: Head,
    station: str,
    line: Line,
    state: RunState | None,
    counted: Callable[[int], PieceFacts | None],
) -> Step:
    """Return the next line and what it changes.

    Parameters
    ----------
    head : Head
        The line before.
    station : str
    line : Line
    state : RunState or None
        The run that the line belongs to, as far as it is known.
    counted : callable
        Looks up a piece of that run by its number; None if it does not count.

    Returns
    -------
    Step

    Raises
    ------
    SequenceError
        If the line cannot follow: a run that is not open, a piece counted twice, or one taken
        off that does not count as it is said to.
    JournalError
        If the body holds anything but integers and text.
    """
    _refuse_out_of_place(line, state)
    text = body_text(_sealed(line, state))
    body = read_body(text)  # what follows from a line follows from what will be stored
    happened = change(line.kind, body)
    if state is not None:
        _refuse_miscounted(state, happened, counted)
    entry = sealed(head, station, line, text)
    if state is None and line.kind is not Kind.RUN_STARTED:
        return Step(entry, None, ())
    return Step(entry, *advance(state, entry, body, happened))


def _refuse_out_of_place(line: Line, state: RunState | None) -> None:
    is_open = state is not None and not state.ended
    if line.kind is Kind.RUN_STARTED and state is not None:
        raise SequenceError("A run with this identity has been started before.")
    if (line.kind in COUNTING or line.kind is Kind.RUN_ENDED) and not is_open:
        raise SequenceError(f"A line '{line.kind.value}' needs a run that is open.")
    if line.kind is Kind.VOIDED and state is None:
        raise SequenceError("A piece can be struck out only in a run that was started.")


def _refuse_miscounted(
    state: RunState, happened: Change, counted: Callable[[int], PieceFacts | None]
) -> None:
    gone = set()
    for piece in happened.removes:
        if counted(piece.number) != piece:
            raise SequenceError(f"Piece {piece.number} does not count as it is said to.")
        gone.add(piece.number)
    for piece in happened.adds:
        is_new = piece.number > state.last_number or piece.number in gone
        if not is_new and counted(piece.number) is not None:
            raise SequenceError(f"Piece {piece.number} has been counted already.")


def _sealed(line: Line, state: RunState | None) -> Body:
    """Return the body; a run's last line says how many lines of each kind it had."""
    if line.kind is not Kind.RUN_ENDED or state is None:
        return line.body
    return {**line.body, "counts": dict(state.counts), "unresolved": len(state.open_lifted)}

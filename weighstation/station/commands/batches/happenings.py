"""Lines of a batch -> what a person should look into, with what was noted about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import Kind, asks_for_reaction, codec, read_body, read_reaction
from weighstation.report.sheet.happenings import Happening, NotedReaction

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from weighstation.journal import Body, Entry

_NAMES = {
    Kind.SIGNAL: "Signal",
    Kind.VOIDED: "Struck out",
    Kind.GAP: "Gap",
    Kind.SCALE_CHECKED: "Failed check",
}


def happenings_of(chain: Iterable[Entry], failed_lines: Iterable[int]) -> tuple[Happening, ...]:
    """Return what happened in a batch.

    Parameters
    ----------
    chain : iterable of Entry
        Lines of its runs, notes and checks, in order.
    failed_lines : iterable of int
        Numbers of failed checks that made pieces of it doubtful.

    Returns
    -------
    tuple of Happening
        All signals; of the rest, which the sheet tells elsewhere, what something is noted about.

    Raises
    ------
    JournalError
        If a line holds something that is not of its kind.
    """
    failed, found = set(failed_lines), {}
    noted: dict[int, list[NotedReaction]] = {}
    for entry in chain:
        said = read_reaction(read_body(entry.body)) if entry.kind is Kind.NOTED else None
        if said is not None:
            noted.setdefault(said.about, []).append(NotedReaction(entry.seq, said))
        elif entry.kind in _NAMES and asks_for_reaction(entry):
            found[entry.seq] = entry
    return tuple(
        Happening(line, _NAMES[entry.kind], _text(entry), tuple(noted.get(line, ())))
        for line, entry in found.items()
        if entry.kind is Kind.SIGNAL
        or (line in noted and (entry.kind is not Kind.SCALE_CHECKED or line in failed))
    )


def _text(entry: Entry) -> str:
    return _TEXTS[entry.kind](read_body(entry.body))


def _voided(body: Body) -> str:
    return f"Piece {codec.integer(body, 'number')} was struck out: {codec.word(body, 'reason')}."


def _gap(body: Body) -> str:
    return f"{codec.integer(body, 'ms') / 1000:.1f} s: {codec.word(body, 'why')}."


_TEXTS: dict[Kind, Callable[[Body], str]] = {
    Kind.SIGNAL: lambda body: codec.word(body, "text"),
    Kind.VOIDED: _voided,
    Kind.GAP: _gap,
    Kind.SCALE_CHECKED: lambda body: codec.word(body, "text"),
}

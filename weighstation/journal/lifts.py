"""Lines of a batch -> what its lifted pieces were taken for, where no person said so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from weighstation.events import Verdict
from weighstation.journal.entry import read_body
from weighstation.journal.held import integer, word
from weighstation.journal.kinds import Kind
from weighstation.journal.piece_lines import read_piece

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.journal.entry import Entry
    from weighstation.journal.facts import PieceFacts


class StruckOut(NamedTuple):
    """A piece that is struck out.

    Parameters
    ----------
    number : int
    reason : str
    """

    number: int
    reason: str


@dataclass(frozen=True, slots=True)
class Lifts:
    """What the station took lifted pieces for by itself, and what it did not count.

    Parameters
    ----------
    came_back, boarded : tuple of int
        Numbers of counted pieces that were taken for come back and for boarded; those of which a
        person said it by the key are left out.
    struck_out : tuple of StruckOut
        Pieces that are struck out, by number.
    two_at_once : int
        How often several pieces left together; they have no number and do not count.
    """

    came_back: tuple[int, ...] = ()
    boarded: tuple[int, ...] = ()
    struck_out: tuple[StruckOut, ...] = ()
    two_at_once: int = 0


def lifts_of(entries: Iterable[Entry], pieces: Iterable[PieceFacts]) -> Lifts:
    """Return what became of the lifted pieces of a batch.

    Parameters
    ----------
    entries : iterable of Entry
        The lines of the batch, in order.
    pieces : iterable of PieceFacts
        Its pieces that count.

    Returns
    -------
    Lifts

    Raises
    ------
    JournalError
        If a line lacks what its kind must hold.
    """
    lines = _LiftLines()
    for entry in entries:
        lines.feed(entry)
    return lines.settled({piece.number: piece for piece in pieces})


class _LiftLines:
    """Gathers the lines that are about lifted and struck-out pieces."""

    def __init__(self) -> None:
        self._lifts: list[PieceFacts] = []
        self._said: set[int] = set()
        self._struck_out: dict[int, str] = {}
        self._two_at_once = 0

    def feed(self, entry: Entry) -> None:
        if entry.kind is Kind.PIECE_LIFTED:
            piece = read_piece(read_body(entry.body))
            if piece.verdict is Verdict.ONE_AT_A_TIME:
                self._two_at_once += 1
            else:
                self._lifts.append(piece)
        elif entry.kind is Kind.LIFTED_TURNED:
            self._said.add(integer(read_body(entry.body), "number"))
        elif entry.kind is Kind.VOIDED:
            body = read_body(entry.body)
            self._struck_out[integer(body, "number")] = word(body, "reason")

    def settled(self, counted: dict[int, PieceFacts]) -> Lifts:
        guessed = {number: piece for number, piece in counted.items() if number not in self._said}
        # Boarded as it was lifted, a piece counts with the very facts that it was lifted with.
        back = {lift.number for lift in self._lifts if lift != guessed.get(lift.number, lift)}
        boarded = {number for number, piece in guessed.items() if piece.verdict is not Verdict.KEEP}
        return Lifts(
            came_back=tuple(sorted(back)),
            boarded=tuple(sorted(boarded)),
            struck_out=tuple(
                StruckOut(number, reason)
                for number, reason in sorted(self._struck_out.items())
                if number not in counted
            ),
            two_at_once=self._two_at_once,
        )

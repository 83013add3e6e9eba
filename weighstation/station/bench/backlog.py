"""Lines given to the writer -> how many pieces wait for the disk, and when they are written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import JournalFullError
from weighstation.events import LiftedTurned, LoafVoided, LoafWeighed, PieceKept, Voided

if TYPE_CHECKING:
    from weighstation.errors import WeighstationError
    from weighstation.events import LoafOutcome, Outcome

    Happened = Outcome | LoafOutcome | None
    """What a line is about, where that is a piece or a loaf."""


class Backlog:
    """What was given to the writer and is not on the disk yet.

    Parameters
    ----------
    one, more : str
        What is counted, as a word for one and for several.

    Attributes
    ----------
    lines : int
    """

    def __init__(self, one: str = "piece", more: str = "pieces") -> None:
        self.lines = 0
        self._words = one, more
        self._pieces = 0
        self._owed = self._owed_pieces = 0
        self._refusal: WeighstationError | None = None

    @property
    def is_refused(self) -> bool:
        """Whether the disk refuses lines."""
        return self._refusal is not None

    @property
    def alarm(self) -> str:
        """Why nothing is counted, and what waits; empty while the disk takes lines."""
        if self._refusal is None:
            return ""
        said = f"{self._refusal.sentence} Until then no {self._words[0]} is counted"
        if self._pieces < 1 or not isinstance(self._refusal, JournalFullError):
            return f"{said}."
        wait = "waits" if self._pieces == 1 else "wait"
        written = "is" if self._pieces == 1 else "are"
        return (
            f"{said}: {self._named(self._pieces)} {wait} for the disk"
            f" and {written} written when there is room."
        )

    def given(self, outcome: Happened) -> None:
        """Note that a line was given to the writer.

        Parameters
        ----------
        outcome : Outcome, LoafOutcome or None
            What it is about, where that is a piece or a loaf.
        """
        self.lines += 1
        self._pieces += _more(outcome)

    def durable(self, outcome: Happened) -> str:
        """Note that the next line is on the disk.

        Parameters
        ----------
        outcome : Outcome, LoafOutcome or None

        Returns
        -------
        str
            Once all that waited for a refusing disk is written, a sentence that says so.
        """
        self.lines -= 1
        self._pieces -= _more(outcome)
        if not self._owed:
            return ""
        self._owed -= 1
        if self._owed:
            return ""
        if self._owed_pieces < 1:
            return "The disk takes lines again, and what waited is written."
        were = "was" if self._owed_pieces == 1 else "were"
        waited = f"{self._named(self._owed_pieces)} that waited {were} written."
        return f"The disk takes lines again: {waited}"

    def refused(self, error: WeighstationError) -> None:
        """Note that the disk refuses.

        Parameters
        ----------
        error : WeighstationError
        """
        self._refusal = error

    def resumed(self) -> None:
        """Note that the disk takes lines again."""
        self._refusal = None
        self._owed, self._owed_pieces = self.lines, self._pieces

    def _named(self, count: int) -> str:
        one, more = self._words
        return f"1 {one}" if count == 1 else f"{count} {more}"


def _more(outcome: Happened) -> int:
    """Return by how many pieces, or loaves, an outcome changes the count."""
    match outcome:
        case PieceKept() | LoafWeighed():
            return 1
        case Voided() | LoafVoided():
            return -1
        case LiftedTurned(removes=removes, adds=adds):
            return len(adds) - len(removes)
        case _:
            return 0

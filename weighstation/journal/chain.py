"""Each line carries the digest of the one before it, so that no line can be changed unseen."""

from __future__ import annotations

import hashlib
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError, JournalError
from weighstation.journal.entry import Entry, Head, Value, read_body
from weighstation.journal.kinds import COUNTING, Kind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.journal.entry import Line

SET_BACK_MS = 1000
_HINT = "Keep the file as it is and restore the last good copy beside it."


def digest(prev: str, entry: Entry) -> str:
    """Return the digest that a line must carry.

    Parameters
    ----------
    prev : str
        Digest of the line before; the journal's id for the first.
    entry : Entry
        Its own ``digest`` is not looked at.

    Returns
    -------
    str
        SHA-256 over ``prev``, station, seq, t_utc_ms, kind and body, joined by newlines, as 64
        hexadecimal digits.
    """
    return _hashed(prev, entry.station, entry.seq, entry.t_utc_ms, entry.kind.value, entry.body)


def sealed(head: Head, station: str, line: Line, body: str) -> Entry:
    """Return a line as it follows another, with its number and its digest.

    Parameters
    ----------
    head : Head
        The line before.
    station : str
    line : Line
    body : str
        Its body as it will be stored.

    Returns
    -------
    Entry
    """
    seq, kind, t_utc_ms = head.seq + 1, line.kind, line.t_utc_ms
    hashed = _hashed(head.digest, station, seq, t_utc_ms, kind.value, body)
    return Entry(station, seq, t_utc_ms, kind, body, hashed)


def _hashed(prev: str, *said: str | int) -> str:
    return hashlib.sha256("\n".join((prev, *map(str, said))).encode()).hexdigest()


class Verifier:
    """Reads lines in order and refuses the first that does not hold.

    Parameters
    ----------
    journal_id : str
        What the first line's digest starts from.
    """

    def __init__(self, journal_id: str) -> None:
        self.head = Head(0, journal_id)
        self._open: dict[str, dict[str, int]] = {}
        self._ended: set[str] = set()

    def feed(self, entry: Entry) -> None:
        """Take the next line.

        Parameters
        ----------
        entry : Entry

        Raises
        ------
        ChainBrokenError
            If it does not hold; carries its number.
        """
        expected = self.head.seq + 1
        if entry.seq != expected:
            raise ChainBrokenError(
                f"Line {expected} is missing: line {entry.seq} stands in its place.",
                seq=expected,
                hint=_HINT,
            )
        if entry.digest != digest(self.head.digest, entry):
            raise ChainBrokenError(
                f"Line {entry.seq} does not follow from the lines before it.",
                seq=entry.seq,
                hint=_HINT,
            )
        try:
            fault = self._run_fault(entry)
        except JournalError as exc:
            fault = str(exc)
        if fault:
            raise ChainBrokenError(
                f"Line {entry.seq} does not hold: {fault}", seq=entry.seq, hint=_HINT
            )
        self.head = Head(entry.seq, entry.digest)

    def _run_fault(self, entry: Entry) -> str:
        """Return what is wrong with the line's place in its run, in words, or nothing."""
        body = read_body(entry.body)
        run = body.get("run")
        if not isinstance(run, str):
            return ""
        if entry.kind is Kind.RUN_STARTED:
            if run in self._open or run in self._ended:
                return "its run had been started before."
            self._open[run] = {}
        if run not in self._open:
            closed = entry.kind in COUNTING or entry.kind is Kind.RUN_ENDED
            return "its run is not open." if closed else ""
        if entry.kind is Kind.RUN_ENDED:
            return self._end(run, body.get("counts"))
        counts = self._open[run]
        counts[entry.kind.value] = counts.get(entry.kind.value, 0) + 1
        return ""

    def _end(self, run: str, claimed: Value | None) -> str:
        counted = self._open.pop(run)
        self._ended.add(run)
        return "" if claimed == counted else "its run holds other lines than it counts."


def first_set_back(entries: Iterable[Entry], *, more_than_ms: int = SET_BACK_MS) -> Entry | None:
    """Return the first line that is dated before the line before it, or None.

    Parameters
    ----------
    entries : iterable of Entry
        In order.
    more_than_ms : int, milliseconds
        What is still borne: clocks are set right by a little now and then.

    Returns
    -------
    Entry or None
    """
    pairs = pairwise(entries)
    return next((b for a, b in pairs if a.t_utc_ms - b.t_utc_ms > more_than_ms), None)


def verify(entries: Iterable[Entry], journal_id: str) -> Head:
    """Read a whole journal and return its last line.

    Parameters
    ----------
    entries : iterable of Entry
        All lines, in order.
    journal_id : str

    Returns
    -------
    Head

    Raises
    ------
    ChainBrokenError
        Naming the first line that does not hold.
    """
    verifier = Verifier(journal_id)
    for entry in entries:
        verifier.feed(entry)
    return verifier.head

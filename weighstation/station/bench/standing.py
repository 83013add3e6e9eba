"""Durable lines -> how the batch stands: what the panel shows as counted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import Kind, RunState, apply, codec, read_body, together

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.journal import Entry, PieceFacts


REMEMBERED = 256
"""So many pieces can be struck out one after another and the panel still names the last."""


class Standing:
    """Totals of a batch from lines that are on the disk, and from nothing else.

    Parameters
    ----------
    before : tuple of RunState
        Interrupted runs that this one goes on with, oldest first.
    pieces : iterable of PieceFacts
        Their pieces that count.

    Attributes
    ----------
    first_cuts : tuple of (int, int)
        Numbers and first cuts in milligrams of these pieces.
    """

    def __init__(
        self, before: tuple[RunState, ...] = (), pieces: Iterable[PieceFacts] = ()
    ) -> None:
        known = tuple(pieces)
        self.first_cuts = tuple((p.number, p.first_mg) for p in known if p.first_mg is not None)
        self._before = before
        self._state: RunState | None = None
        self._weights_mg: dict[int, int] = {}
        self._remember(known)
        self.totals: RunState | None = together(before) if before else None

    @property
    def counted(self) -> int:
        """How many pieces count."""
        return self.totals.kept.n if self.totals else 0

    @property
    def last(self) -> tuple[int, int] | None:
        """Number and weight in milligrams of the last piece that counts."""
        if not self._weights_mg:
            return None
        number = next(reversed(self._weights_mg))
        return number, self._weights_mg[number]

    def feed(self, entry: Entry) -> None:
        """Take a line of this batch that has become durable.

        Parameters
        ----------
        entry : Entry
        """
        self._state = apply(self._state, entry)
        self.totals = together((*self._before, self._state))
        if entry.kind in (Kind.RUN_STARTED, Kind.RUN_ENDED, Kind.GAP, Kind.SIGNAL):
            return
        happened = codec.change(entry.kind, read_body(entry.body))
        for piece in happened.removes:
            self._weights_mg.pop(piece.number, None)
        self._remember(happened.adds)

    def _remember(self, pieces: Iterable[PieceFacts]) -> None:
        self._weights_mg |= {piece.number: piece.final_mg for piece in pieces}
        while len(self._weights_mg) > REMEMBERED:
            del self._weights_mg[next(iter(self._weights_mg))]

"""The pieces that count, as far back as one can still be struck out or turned round."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from weighstation.events import LiftedTurned, PieceKept, Voided

if TYPE_CHECKING:
    from weighstation.events import Outcome, Piece, VoidLast

KEPT_IN_MIND = 500


class Counted:
    """The last counted pieces; a batch of any length takes the same room."""

    def __init__(self) -> None:
        self._pieces: deque[Piece] = deque(maxlen=KEPT_IN_MIND)

    def note(self, outcome: Outcome) -> None:
        """Follow what an outcome does to the counted pieces.

        Parameters
        ----------
        outcome : Outcome
        """
        match outcome:
            case PieceKept(piece):
                self._pieces.append(piece)
            case LiftedTurned(removes=removes, adds=adds):
                kept = [piece for piece in self._pieces if piece not in removes]
                self._pieces = deque(
                    sorted([*kept, *adds], key=lambda piece: piece.t_s), maxlen=KEPT_IN_MIND
                )
            case Voided(piece=piece):
                self._pieces.remove(piece)

    @property
    def last(self) -> Piece | None:
        """The last piece that counts, or None if none is left."""
        return self._pieces[-1] if self._pieces else None

    def struck_out(self, ask: VoidLast) -> Voided | None:
        """Return the striking out of the last counted piece, or None if none is left.

        Parameters
        ----------
        ask : VoidLast

        Returns
        -------
        Voided or None
        """
        return Voided(ask.t_s, self.last, ask.reason) if self.last else None

"""Which piece of dough the next loaf was: in an order that was given, or as somebody says."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence


class Marks:
    """Numbers of pieces, given to loaves one after another, none of them twice.

    Parameters
    ----------
    pieces : iterable of int
        Those of the batch that count.
    taken : mapping of int to int
        Pieces that are marked already, and the loaf of each.
    order : sequence of int
        In which the marked loaves come; empty where none is marked but those that somebody says.
    """

    def __init__(
        self,
        pieces: Iterable[int],
        taken: Mapping[int, int] | None = None,
        order: Sequence[int] = (),
    ) -> None:
        self._pieces = frozenset(pieces)
        self._taken = dict(taken or {})
        self._order = tuple(order)
        self._at = 0
        self._is_said = False
        self._said: int | None = None

    @property
    def next(self) -> int | None:
        """The piece that the next loaf is taken for; None for a loaf without a mark."""
        if self._is_said:
            return self._said
        return next((one for one in self._order[self._at :] if one not in self._taken), None)

    def fault(self, piece: int) -> str:
        """Return why a loaf cannot be of a piece, in one plain sentence; empty where it can.

        Parameters
        ----------
        piece : int

        Returns
        -------
        str
        """
        if piece not in self._pieces:
            return f"There is no piece {piece} that counts in this batch."
        if piece in self._taken:
            return f"Piece {piece} is marked already: it was loaf {self._taken[piece]}."
        return ""

    def say(self, piece: int) -> str:
        """Take the next loaf for a piece; the order goes on after it.

        Parameters
        ----------
        piece : int

        Returns
        -------
        str
            As `fault`; the next loaf has no mark then, because it is none in the order either.
        """
        fault = self.fault(piece)
        self._is_said, self._said = True, None if fault else piece
        return fault

    def unsay(self) -> None:
        """Forget what was said of the next loaf: the order goes on."""
        self._is_said, self._said = False, None

    def take(self, loaf: int) -> int | None:
        """Return the piece that a loaf is, now that it counts.

        Parameters
        ----------
        loaf : int
            Its number.

        Returns
        -------
        int or None
        """
        piece = self.next
        self.unsay()
        if piece is not None:
            self._taken[piece] = loaf
            if piece in self._order:
                self._at = self._order.index(piece) + 1
        return piece

    def give_back(self, piece: int) -> None:
        """Free a piece, because its loaf was struck out; it is the next one again.

        Parameters
        ----------
        piece : int
        """
        del self._taken[piece]
        if piece in self._order:
            self._at = self._order.index(piece)

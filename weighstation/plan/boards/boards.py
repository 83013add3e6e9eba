"""Facts about boards -> which piece lies where, and how far each board has come.

A board is whatever carries a number of pieces from the scale to the oven: a board, a tray, a
couche with its folds. Pieces go onto one board at a time. What a person or a journal says is a
fact, and `Boards.after` gives the boards after it; the state never changes in place, so a journal
is replayed with `functools.reduce`, and a panel may read while the next fact is on its way.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import assert_never

from weighstation.errors import SpecificationError
from weighstation.plan.boards.board import Board, OnBoard, Stage, checked_places, checked_time
from weighstation.plan.boards.board_facts import (
    BoardClosed,
    BoardFact,
    BoardOpened,
    BoardToBench,
    OvenIn,
    OvenOut,
    PieceBoarded,
    PieceVoided,
)


@dataclass(frozen=True, slots=True)
class Boards:
    """All boards of a morning.

    Parameters
    ----------
    places : int
        Pieces that go on the next board that is opened.
    boards : (n,) tuple of Board
        In the order in which they were opened.
    opened : int
        How many were opened so far, those included that are no longer held here.

    Raises
    ------
    SpecificationError
        If there is no place on a board.

    Notes
    -----
    A board is full when its places are taken, so a piece that is voided at once makes room on it
    again; once the next board is open, the ones before it stay closed. A piece that is voided and
    counted anew goes on the board that is filling: where it really lies nobody has said.

    Examples
    --------
    >>> from functools import reduce
    >>> facts = (PieceBoarded(1, 0.0), PieceBoarded(2, 10.0), PieceBoarded(3, 20.0), OvenIn(1, 900))
    >>> morning = reduce(Boards.after, facts, Boards(places=2))
    >>> [(board.number, len(board.pieces), board.stage.value) for board in morning.boards]
    [(1, 2, 'in the oven'), (2, 1, 'filling')]
    """

    places: int
    boards: tuple[Board, ...] = ()
    opened: int = 0

    def __post_init__(self) -> None:
        """Refuse boards on which nothing can lie."""
        checked_places(self.places)

    @property
    def filling(self) -> Board | None:
        """The board that the next piece goes on; None if the next piece opens one."""
        newest = self.boards[-1] if self.boards else None
        return newest if newest is not None and newest.stage is Stage.FILLING else None

    @property
    def next_number(self) -> int:
        """Number of the board that the next piece goes on, where that one is empty."""
        filling = self.filling
        return filling.number if filling is not None and not filling.pieces else self.opened + 1

    def board(self, number: int) -> Board:
        """Return the board of that number.

        Parameters
        ----------
        number : int

        Returns
        -------
        Board

        Raises
        ------
        SpecificationError
            If there is none, or it is no longer held.
        """
        for board in self.boards:
            if board.number == number:
                return board
        raise SpecificationError(f"There is no board {number}.", hint=self._known())

    def board_of(self, number: int, *, run: str = "") -> Board:
        """Return the board that a piece lies on.

        Parameters
        ----------
        number : int
            Of the piece.
        run : str

        Returns
        -------
        Board

        Raises
        ------
        SpecificationError
            If the piece lies on no board.
        """
        board, _ = self._found(number, run)
        return board

    def at(self, stage: Stage) -> tuple[Board, ...]:
        """Return the boards of one stage that carry pieces, the one with the oldest piece first.

        Parameters
        ----------
        stage : Stage

        Returns
        -------
        (n,) tuple of Board
        """
        aged = [
            (oldest.cut_s, board.number, board)
            for board in self.boards
            if board.stage is stage and (oldest := board.oldest) is not None
        ]
        return tuple(board for _, _, board in sorted(aged, key=lambda each: each[:2]))

    def after(self, fact: BoardFact) -> Boards:
        """Return the boards after one fact; these stay as they are.

        Parameters
        ----------
        fact : BoardFact

        Returns
        -------
        Boards

        Raises
        ------
        SpecificationError
            If the fact cannot be: no such board or piece, a piece boarded twice, a stage that a
            board has passed already or cannot have reached, or a time before the one it follows.
        """
        match fact:
            case PieceBoarded():
                return self._boarded(fact)
            case PieceVoided():
                board, piece = self._found(fact.number, fact.run)
                return self._with(board.without(piece))
            case BoardOpened():
                return self._opened(fact.places)
            case BoardClosed():
                return self._with(self.board(fact.board).closed())
            case BoardToBench() | OvenIn() | OvenOut():
                return self._with(self.board(fact.board).moved(fact))
            case _:
                assert_never(fact)

    def without_baked(self) -> Boards:
        """Return the boards that are still of interest: not out of the oven, and not emptied.

        Returns
        -------
        Boards
            The board that is filling stays. Numbers go on from where they were.
        """
        last = self.filling
        held = (b for b in self.boards if b is last or (b.pieces and b.stage is not Stage.OUT))
        return replace(self, boards=tuple(held))

    def newest(self, most_pieces: int) -> Boards:
        """Return the newest boards that carry so many pieces together.

        Parameters
        ----------
        most_pieces : int
            The newest board stays, whatever it carries.

        Returns
        -------
        Boards
            Numbers go on from where they were.
        """
        first, carried = len(self.boards), 0
        for place in range(len(self.boards) - 1, -1, -1):
            carried += len(self.boards[place].pieces)
            if carried > most_pieces and first < len(self.boards):
                break
            first = place
        return self if first == 0 else replace(self, boards=self.boards[first:])

    def _boarded(self, fact: PieceBoarded) -> Boards:
        checked_time(fact.cut_s)
        lying = self._lying(fact.number, fact.run)
        if lying is not None:
            raise SpecificationError(
                f"Piece {fact.number} lies on board {lying[0].number} already.",
                hint="Strike it out first if it is to lie elsewhere.",
            )
        target = self.filling
        if target is not None:
            return self._with(target.laid(fact))
        opened = self._opened(self.places)
        return opened._with(opened.boards[-1].laid(fact))  # noqa: SLF001 - one of us

    def _opened(self, places: int) -> Boards:
        checked_places(places)
        filling = self.filling
        if filling is not None and filling.pieces:
            raise SpecificationError(
                f"Board {filling.number} is still filling.",
                hint="Close it before the next one is opened.",
            )
        if filling is not None:
            return replace(self._with(replace(filling, places=places)), places=places)
        behind = tuple(replace(board, is_closed=True) for board in self.boards[-1:])
        board = Board(self.opened + 1, places)
        return Boards(places, (*self.boards[:-1], *behind, board), board.number)

    def _with(self, board: Board) -> Boards:
        changed = (board if one.number == board.number else one for one in self.boards)
        return replace(self, boards=tuple(changed))

    def _found(self, number: int, run: str) -> tuple[Board, OnBoard]:
        lying = self._lying(number, run)
        if lying is None:
            raise SpecificationError(
                f"Piece {number} lies on no board.", hint="Look its number up on the batch sheet."
            )
        return lying

    def _lying(self, number: int, run: str) -> tuple[Board, OnBoard] | None:
        for board in reversed(self.boards):
            for piece in board.pieces:
                if piece.number == number and piece.run == run:
                    return board, piece
        return None

    def _known(self) -> str:
        if not self.boards:
            return "No board is in use: the first piece opens one."
        return f"In use are {', '.join(str(board.number) for board in self.boards)}."

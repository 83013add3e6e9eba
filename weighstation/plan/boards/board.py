"""One board: the pieces on its places, and how far it has come."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING, assert_never

from weighstation.errors import SpecificationError
from weighstation.plan.boards.board_facts import BoardToBench, OvenIn, OvenOut
from weighstation.quantities import in_words, is_number
from weighstation.specification.kinds import MOST_PLACES

if TYPE_CHECKING:
    from weighstation.plan.boards.board_facts import PieceBoarded

RECORDED_TO_S = 0.001
"""The record holds times in milliseconds, on two clocks; less is no order."""


class Stage(Enum):
    """How far a board has come; the value completes "board 3 is ..."."""

    FILLING = "filling"
    CLOSED = "closed"
    AT_BENCH = "at the bench"
    IN_OVEN = "in the oven"
    OUT = "out of the oven"


@dataclass(frozen=True, slots=True)
class OnBoard:
    """A piece on a board.

    Parameters
    ----------
    number : int
    cut_s : float, seconds
    run : str
    place : int
        From 1; the first one that was free.
    """

    number: int
    cut_s: float
    run: str
    place: int


@dataclass(frozen=True, slots=True)
class Board:
    """One board, from its first piece to the oven and out of it.

    Parameters
    ----------
    number : int
        From 1, in the order in which boards were opened.
    places : int
    pieces : (n,) tuple of OnBoard
        In the order in which they were laid.
    is_closed : bool
        Closed by a key, by the next board, or because its shaping or baking has begun.
    bench_s, oven_in_s, oven_out_s : float, seconds, or None
        When shaping began, when it went into the oven, and when it came out.
    """

    number: int
    places: int
    pieces: tuple[OnBoard, ...] = ()
    is_closed: bool = False
    bench_s: float | None = None
    oven_in_s: float | None = None
    oven_out_s: float | None = None

    @property
    def is_full(self) -> bool:
        """No place is left."""
        return len(self.pieces) >= self.places

    @property
    def stage(self) -> Stage:
        """How far it has come."""
        if self.oven_out_s is not None:
            return Stage.OUT
        if self.oven_in_s is not None:
            return Stage.IN_OVEN
        if self.bench_s is not None:
            return Stage.AT_BENCH
        return Stage.CLOSED if self.is_closed or self.is_full else Stage.FILLING

    @property
    def oldest(self) -> OnBoard | None:
        """The piece that was cut first; None on an empty board."""
        return min(self.pieces, key=lambda piece: piece.cut_s, default=None)

    @property
    def newest(self) -> OnBoard | None:
        """The piece that was cut last; None on an empty board."""
        return max(self.pieces, key=lambda piece: piece.cut_s, default=None)

    def laid(self, fact: PieceBoarded) -> Board:
        """Return this board with one more piece on its first free place.

        Parameters
        ----------
        fact : PieceBoarded

        Returns
        -------
        Board
        """
        taken = {piece.place for piece in self.pieces}
        place = min(set(range(1, self.places + 1)) - taken)
        piece = OnBoard(fact.number, fact.cut_s, fact.run, place)
        return replace(self, pieces=(*self.pieces, piece))

    def without(self, piece: OnBoard) -> Board:
        """Return this board with one piece less.

        Parameters
        ----------
        piece : OnBoard

        Returns
        -------
        Board
        """
        return replace(self, pieces=tuple(one for one in self.pieces if one != piece))

    def closed(self) -> Board:
        """Return this board closed before it was full.

        Returns
        -------
        Board

        Raises
        ------
        SpecificationError
            If it is closed already, or empty.
        """
        if self.is_closed:
            raise SpecificationError(
                f"Board {self.number} is closed already.",
                hint="Look whether another board is meant.",
            )
        if not self.pieces:
            raise SpecificationError(
                f"Board {self.number} is empty.", hint="Lay a piece on it before it is closed."
            )
        return replace(self, is_closed=True)

    def moved(self, fact: BoardToBench | OvenIn | OvenOut) -> Board:
        """Return this board one stage further.

        Parameters
        ----------
        fact : BoardToBench, OvenIn or OvenOut
            Of this board.

        Returns
        -------
        Board

        Raises
        ------
        SpecificationError
            If it has passed that stage or cannot have reached it, carries no piece, or would move
            on before what it follows.
        """
        checked_time(fact.t_s)
        match fact:
            case BoardToBench():
                _may_become(self, Stage.AT_BENCH, fact.t_s)
                return replace(self, is_closed=True, bench_s=fact.t_s)
            case OvenIn():
                _may_become(self, Stage.IN_OVEN, fact.t_s)
                return replace(self, is_closed=True, oven_in_s=fact.t_s)
            case OvenOut():
                _may_come_out(self, fact.t_s)
                return replace(self, oven_out_s=fact.t_s)
            case _:
                assert_never(fact)


_ORDER = tuple(Stage)


def _may_come_out(board: Board, t_s: float) -> None:
    if board.stage is not Stage.IN_OVEN:
        raise SpecificationError(
            f"Board {board.number} is {board.stage.value}, and only one in the oven comes out.",
            hint="Say first when it went in, or look whether another board is meant.",
        )
    _not_before(board, board.oven_in_s, t_s, "it went into the oven")


def _may_become(board: Board, next_stage: Stage, t_s: float) -> None:
    """Refuse a stage that a board has passed or cannot have reached."""
    if _ORDER.index(board.stage) >= _ORDER.index(next_stage):
        raise SpecificationError(
            f"Board {board.number} is {board.stage.value} already.",
            hint="Look whether another board is meant.",
        )
    if board.newest is None:
        raise SpecificationError(
            f"Board {board.number} carries no piece.", hint="Look whether another board is meant."
        )
    _not_before(board, board.newest.cut_s, t_s, "its last piece was cut")
    _not_before(board, board.bench_s, t_s, "its shaping began")


def _not_before(board: Board, earlier_s: float | None, t_s: float, what: str) -> None:
    if earlier_s is not None and t_s < earlier_s - RECORDED_TO_S:
        raise SpecificationError(
            f"Board {board.number} cannot move on {earlier_s - t_s:.3g} s before {what}.",
            hint="Look whether the clock was set back, and say it again.",
        )


def checked_places(places: int) -> None:
    """Refuse a number of places that no board has.

    Parameters
    ----------
    places : int

    Raises
    ------
    SpecificationError
        If it is no whole number from 1 to `MOST_PLACES`.
    """
    if not isinstance(places, int) or not 1 <= places <= MOST_PLACES:
        raise SpecificationError(
            f"A board has a whole number of places, 1 to {MOST_PLACES}, not {in_words(places)}.",
            hint="Count the pieces that lie on one board.",
        )


def checked_time(t_s: float) -> float:
    """Return a time, or refuse what is none.

    Parameters
    ----------
    t_s : float, seconds

    Returns
    -------
    float, seconds

    Raises
    ------
    SpecificationError
        If it is not finite.
    """
    if not is_number(t_s):
        raise SpecificationError(
            f"A time is a finite number of seconds, not {in_words(t_s)}.",
            hint="Give the time of the clock.",
        )
    return t_s

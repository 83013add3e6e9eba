"""Lines of a journal -> the boards that they leave, which outlive a run.

The clock of these boards is UTC in seconds: where a run's own clock begins is on its first line.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import BoardStage, Kind, codec, read_stage
from weighstation.plan.boards.board import Stage
from weighstation.plan.boards.board_changes import facts_of_change
from weighstation.plan.boards.board_facts import (
    BoardClosed,
    BoardOpened,
    BoardToBench,
    OvenIn,
    OvenOut,
    PieceBoarded,
    PieceVoided,
)
from weighstation.plan.boards.boards import Boards
from weighstation.plan.boards.rest import RestWindow

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weighstation.journal import Body
    from weighstation.plan.boards.board import Board
    from weighstation.plan.boards.board_facts import BoardFact
    from weighstation.specification import Product

MS_PER_S = 1000
S_PER_MIN = 60
MOVES: dict[BoardStage, type[BoardToBench | OvenIn | OvenOut]] = {
    BoardStage.AT_BENCH: BoardToBench,
    BoardStage.IN_OVEN: OvenIn,
    BoardStage.OUT: OvenOut,
}
"""What each stage on the record says happened."""

STAGE_KEYS = {
    Stage.FILLING: "filling",
    Stage.CLOSED: "closed",
    Stage.AT_BENCH: BoardStage.AT_BENCH.value,
    Stage.IN_OVEN: BoardStage.IN_OVEN.value,
    Stage.OUT: BoardStage.OUT.value,
}
"""What a stage is called for programs, on the record and beside it."""

USUAL = RestWindow()
_COUNTING = (Kind.PIECE_KEPT, Kind.LIFTED_TURNED, Kind.VOIDED)
OF_BOARDS = frozenset(
    (*_COUNTING, Kind.RUN_STARTED, Kind.BOARD_OPENED, Kind.BOARD_CLOSED, Kind.BOARD_MOVED)
)
"""Kinds of lines that boards follow from."""


def window_of(product: Product) -> RestWindow:
    """Return how long pieces of a product are to rest.

    Parameters
    ----------
    product : Product

    Returns
    -------
    RestWindow
        The usual one where the product does not say.
    """
    if product.rest_min is None:
        return USUAL
    least_min, most_min = product.rest_min
    return RestWindow(least_min * S_PER_MIN, most_min * S_PER_MIN)


@dataclass(frozen=True, slots=True)
class BoardRecord:
    """Boards as the lines that were read leave them.

    Parameters
    ----------
    boards : Boards or None
        None before the first line that opens one.
    run : str
        The newest run.
    has_boards : bool
        Whether pieces of that run go on boards.
    clock_s : float, seconds since 1970
        Where its own clock begins.
    last_s : float, seconds since 1970, or None
        Newest time of a piece that was laid, or a board that was moved.
    windows : dict of str to RestWindow
        How long pieces of each run are to rest; the usual window where a run does not say.

    Notes
    -----
    A line that says what cannot be, such as that a board goes to the bench twice, changes nothing:
    two keys may be pressed before the first line is on the disk.
    """

    boards: Boards | None = None
    run: str = ""
    has_boards: bool = False
    clock_s: float = 0.0
    last_s: float | None = None
    windows: Mapping[str, RestWindow] = field(default_factory=dict)

    def window_of(self, board: Board) -> RestWindow:
        """Return how long the pieces of a board are to rest.

        Parameters
        ----------
        board : Board

        Returns
        -------
        RestWindow
        """
        run = board.oldest.run if board.oldest else self.run
        return self.windows.get(run, USUAL)

    def after(self, kind: Kind, body: Body, t_utc_ms: int) -> BoardRecord:
        """Return what one more line leaves.

        Parameters
        ----------
        kind : Kind
        body : Mapping
        t_utc_ms : int, milliseconds since 1970
            When the line happened.

        Returns
        -------
        BoardRecord

        Raises
        ------
        JournalError
            If the line lacks what its kind must hold.
        SpecificationError
            If it opens a board on which nothing can lie.
        """
        if kind is Kind.RUN_STARTED:
            return self._started(body)
        if kind is Kind.BOARD_OPENED:
            return self._opened(codec.integer(body, "board"), codec.integer(body, "places"))
        record = self
        for fact in self.facts(kind, body, t_utc_ms):
            record = record._with(fact)
        return record

    def _started(self, body: Body) -> BoardRecord:
        started = codec.read_run_started(body)
        clock_ms, windows = started.clock_utc_ms, self.windows
        if started.product.rest_min is not None:
            windows = {**windows, started.run: window_of(started.product)}
        return replace(
            self,
            run=started.run,
            has_boards=started.product.board_places is not None and clock_ms is not None,
            clock_s=(clock_ms or 0) / MS_PER_S,
            windows=windows,
        )

    def _opened(self, number: int, places: int) -> BoardRecord:
        boards = self.boards
        if boards is not None and 1 < number == boards.next_number:
            return self._with(BoardOpened(places))
        anew = Boards(places, opened=number - 1)
        return replace(self, boards=anew.after(BoardOpened(places)))

    def refuse_impossible(self, kind: Kind, body: Body, t_utc_ms: int) -> None:
        """Refuse a line that a person would write in vain.

        Parameters
        ----------
        kind : Kind
        body : Mapping
        t_utc_ms : int, milliseconds since 1970
            When the line happens.

        Raises
        ------
        SpecificationError
            If no board is in use, or what it says cannot be.
        JournalError
            If the line lacks what its kind must hold.
        """
        if self.boards is None:
            raise SpecificationError(
                "No board is in use.", hint="Pieces lie on boards where a product has board_places."
            )
        if kind is Kind.BOARD_CLOSED:
            board = self.boards.board(codec.integer(body, "board"))
            if board.stage is Stage.CLOSED:
                raise SpecificationError(f"Board {board.number} is closed already.")
        reduce(Boards.after, self.facts(kind, body, t_utc_ms), self.boards)

    def facts(self, kind: Kind, body: Body, t_utc_ms: int) -> tuple[BoardFact, ...]:
        """Return what one more line says of boards, whether or not that can be.

        Parameters
        ----------
        kind : Kind
        body : Mapping
        t_utc_ms : int, milliseconds since 1970
            When the line happened.

        Returns
        -------
        (n,) tuple of BoardFact
            Empty for a line that opens a board, which needs more than boards.

        Raises
        ------
        JournalError
            If the line lacks what its kind must hold.
        """
        if kind is Kind.BOARD_CLOSED:
            return (BoardClosed(codec.integer(body, "board")),)
        if kind is Kind.BOARD_MOVED:
            t_s = t_utc_ms / MS_PER_S
            if "at_ms" in body:
                t_s = self.clock_s + codec.integer(body, "at_ms") / MS_PER_S
            return (MOVES[read_stage(body)](codec.integer(body, "board"), t_s),)
        if kind not in _COUNTING:
            return ()
        run = codec.word(body, "run")
        found = facts_of_change(codec.change(kind, body), run=run, clock_s=self.clock_s)
        if self.has_boards and run == self.run:
            return found
        return tuple(fact for fact in found if isinstance(fact, PieceVoided))

    def _with(self, fact: BoardFact) -> BoardRecord:
        if self.boards is None:
            return self
        try:
            boards = self.boards.after(fact)
        except SpecificationError:
            return self
        last_s = self.last_s
        if isinstance(fact, PieceBoarded):
            last_s = max(fact.cut_s, last_s or fact.cut_s)
        elif isinstance(fact, BoardToBench | OvenIn | OvenOut):
            last_s = max(fact.t_s, last_s or fact.t_s)
        return replace(self, boards=boards, last_s=last_s)

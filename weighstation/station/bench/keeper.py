"""Lines on the disk -> boards, pace, and what is new of them; and what a key says of a board.

It works after the COMMIT of a line, never between the scale and a cue.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeAlias

from weighstation.errors import SpecificationError
from weighstation.journal import (
    BoardStage,
    Kind,
    board_closed,
    board_moved,
    board_opened,
    codec,
    read_body,
)
from weighstation.plan.boards.board_record import MS_PER_S, S_PER_MIN, STAGE_KEYS, BoardRecord
from weighstation.plan.clock.clock import DoughClock
from weighstation.plan.clock.pace import RECENT, TimeLimit, pace
from weighstation.station.bench.board_news import BoardNews, Laid, Moved
from weighstation.station.bench.board_words import NO_BOARDS
from weighstation.station.bench.clocks import Clocks
from weighstation.station.bench.keys import Control

if TYPE_CHECKING:
    from weighstation.journal import Body, Entry, RunStarted
    from weighstation.plan.boards.board import Board
    from weighstation.plan.clock.pace import Pace
    from weighstation.station.bench.keys import OfBoard

MOST_HELD = 2048
"""So many pieces on boards are remembered; those of older boards, on which nobody said anything
more, are let go: about five hours of a fast hand."""
REMEMBERED_CUTS = 2 * RECENT

_STAGES: dict[Control, BoardStage] = {
    Control.BENCH: BoardStage.AT_BENCH,
    Control.OVEN_IN: BoardStage.IN_OVEN,
    Control.OVEN_OUT: BoardStage.OUT,
}

Said: TypeAlias = "tuple[Kind, Body]"


@dataclass(frozen=True, slots=True)
class ClockPlan:
    """What the clocks start from.

    Parameters
    ----------
    before : BoardRecord
        Boards of earlier runs that are still of interest.
    opening : tuple of (Kind, Mapping)
        Lines about boards that follow the first line of the run.
    mixed_s : float, seconds, or None
        When the dough was mixed, on the station clock; None where nobody said.
    """

    before: BoardRecord = field(default_factory=BoardRecord)
    opening: tuple[Said, ...] = ()
    mixed_s: float | None = None


def opening_lines(
    before: BoardRecord, run: str, *, places: int | None, goes_on: bool
) -> tuple[Said, ...]:
    """Return the lines about boards that a run begins with.

    Parameters
    ----------
    before : BoardRecord
        Boards of earlier runs.
    run : str
    places : int or None
        Pieces that go on a board; None where no boards are kept.
    goes_on : bool
        Whether the run goes on with the batch that the last board belongs to.

    Returns
    -------
    tuple of (Kind, Mapping)
        Another batch begins a board of its own: its dough has another age.
    """
    if places is None:
        return ()
    if before.boards is None:
        return ((Kind.BOARD_OPENED, board_opened(1, places, run=run)),)
    last = before.boards.filling
    closing: tuple[Said, ...] = ()
    if last is not None and last.pieces:
        if goes_on and last.places == places:
            return ()
        closing = ((Kind.BOARD_CLOSED, board_closed(last.number, run=run)),)
    number = before.boards.next_number
    return (*closing, (Kind.BOARD_OPENED, board_opened(number, places, run=run)))


class Keeper:
    """Keeps boards and pace by the lines of one run that are on the disk, and of those before it.

    Parameters
    ----------
    plan : ClockPlan
    promised : RunStarted
        Of the run.
    """

    def __init__(self, plan: ClockPlan, promised: RunStarted) -> None:
        self._run = promised.run
        self._mixed_s = plan.mixed_s
        limit_min = promised.product.dough_limit_min
        limit_s = None if limit_min is None else limit_min * S_PER_MIN
        self._limit = None if limit_s is None else TimeLimit(limit_s, limit_s)
        record = plan.before.after(Kind.RUN_STARTED, codec.run_started(promised), 0)
        for kind, body in plan.opening:
            record = record.after(kind, body, 0)
        self._record = record
        held = record.boards.boards if record.boards else ()
        self._is_shown = record.has_boards or any(board.pieces for board in held)
        self._asked: set[tuple[OfBoard, int]] = set()
        self._cuts_s: deque[tuple[int, float]] = deque(maxlen=REMEMBERED_CUTS)
        self._pace: Pace | None = None
        self._clocks: Clocks | None = None
        self._dough_t_s: float | None = None

    def clocks(self, dough_t_s: float | None) -> Clocks:
        """Return what the clocks are worked out from; the same one while nothing changes.

        Parameters
        ----------
        dough_t_s : float, seconds, or None
            When the dough was first cut, on the station clock.

        Returns
        -------
        Clocks
        """
        if self._clocks is None or dough_t_s != self._dough_t_s:
            self._dough_t_s = dough_t_s
            mixed_s = self._mixed_s
            if mixed_s is not None and dough_t_s is not None:
                mixed_s = min(mixed_s, dough_t_s)  # clocks of two runs may disagree a little
            self._clocks = Clocks(
                dough=DoughClock(mixed_s, dough_t_s, limit=self._limit),
                pace=self._pace,
                record=self._record if self._is_shown else None,
                is_filling=self._record.has_boards,
            )
        return self._clocks

    def feed(self, entry: Entry) -> tuple[BoardNews, ...]:
        """Take a line of this run that has become durable.

        Parameters
        ----------
        entry : Entry

        Returns
        -------
        tuple of Laid or Moved
            What is new of boards.
        """
        body, before = read_body(entry.body), self._record
        self._count(entry.kind, body)
        self._forget(entry.kind, body)
        record = before.after(entry.kind, body, entry.t_utc_ms)
        self._clocks = None
        if record.boards is None or record.boards is before.boards:
            self._record = record
            return ()
        held = record.boards.without_baked().newest(MOST_HELD)
        self._record = replace(record, boards=held)
        return _news(before.boards.boards if before.boards else (), record.boards.boards)

    def asked(self, control: OfBoard, board: int, now_s: float) -> Said:
        """Return the line for what a person says of a board.

        Parameters
        ----------
        control : OfBoard
        board : int
            Its number.
        now_s : float, seconds
            On the station clock.

        Returns
        -------
        Kind
        Mapping

        Raises
        ------
        SpecificationError
            If it cannot be, or was said already and waits for the disk.
        """
        if self._record.boards is None:
            raise SpecificationError(NO_BOARDS)
        if (control, board) in self._asked:
            raise SpecificationError(f"That was said of board {board}, and waits for the disk.")
        said = self._said(control, board, now_s)
        self._record.refuse_impossible(*said, 0)
        self._asked.add((control, board))
        return said

    def _said(self, control: OfBoard, board: int, now_s: float) -> Said:
        if control is Control.CLOSE:
            return Kind.BOARD_CLOSED, board_closed(board, run=self._run)
        at_ms = round(now_s * MS_PER_S)
        return Kind.BOARD_MOVED, board_moved(board, _STAGES[control], run=self._run, at_ms=at_ms)

    def _forget(self, kind: Kind, body: Body) -> None:
        """Forget that something was asked for, now that the disk has it."""
        if kind in (Kind.BOARD_CLOSED, Kind.BOARD_MOVED):
            stage = body.get("stage")
            said = (each for each in _STAGES if _STAGES[each].value == stage)
            control = next(said, Control.CLOSE)
            self._asked.discard((control, codec.integer(body, "board")))

    def _count(self, kind: Kind, body: Body) -> None:
        """Keep the pace by the pieces that count."""
        change = codec.change(kind, body)
        if not (change.adds or change.removes):
            return
        gone = {piece.number for piece in change.removes}
        kept = [cut for cut in self._cuts_s if cut[0] not in gone]
        kept += [(each.number, each.off_ms / MS_PER_S) for each in change.adds]
        self._cuts_s = deque(kept, maxlen=REMEMBERED_CUTS)
        self._pace = pace(cut_s for _, cut_s in self._cuts_s)


def _news(before: tuple[Board, ...], after: tuple[Board, ...]) -> tuple[BoardNews, ...]:
    """Return what is new of boards, in their order; a piece comes before what it makes of them."""
    was = {board.number: board for board in before}
    news: list[BoardNews] = []
    for board in after:
        old = was.get(board.number)
        if old is board:
            continue
        known = set(old.pieces) if old else set()
        news += [Laid(board.number, piece) for piece in board.pieces if piece not in known]
        stage = old.stage if old and old.pieces else None  # an empty board is none of interest
        if board.pieces and stage is not board.stage:
            news.append(Moved(board, STAGE_KEYS[board.stage]))
    return tuple(news)

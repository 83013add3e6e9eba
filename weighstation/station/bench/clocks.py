"""When a dough was cut and what lies on which board -> what the clocks say at a time.

Immutable and without a clock of its own: it goes out with every picture, and whoever shows it asks
it with the picture's time. Nothing is worked out between the scale and a cue, and what does not
depend on the time is worked out once, by whoever asks first.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple, assert_never

from weighstation.plan.boards.board import Stage
from weighstation.plan.boards.flow import shaping_ahead
from weighstation.plan.boards.rest import (
    COVER_NOW_S,
    COVER_SOON_S,
    Rested,
    cover_caution,
    next_board,
    rest_of,
)
from weighstation.plan.clock.clock import DoughClock, Fit, Outlook
from weighstation.plan.clock.remedies import Remedy
from weighstation.station.bench.keys import Control

if TYPE_CHECKING:
    from weighstation.plan.boards.board import Board
    from weighstation.plan.boards.board_record import BoardRecord
    from weighstation.plan.boards.rest import BoardRest
    from weighstation.plan.clock.pace import Pace
    from weighstation.station.bench.keys import OfBoard

COVER_SHOWN_S = 20.0
"""So long a board is said to want its cover: nobody says when it has it."""


class Caution(NamedTuple):
    """One line of caution.

    Parameters
    ----------
    about : tuple of str or int
        What it is about; the same as long as it is no news.
    text : str
        One or two plain sentences, in one line of the panel.
    """

    about: tuple[str | int, ...]
    text: str


class Filling(NamedTuple):
    """The board that the next piece goes on.

    Parameters
    ----------
    board : int
        Its number.
    pieces : int
        That lie on it.
    places : int
    """

    board: int
    pieces: int
    places: int


@dataclass(frozen=True)
class Clocks:
    """What the clocks of dough and boards are worked out from.

    Parameters
    ----------
    dough : DoughClock
        On the station clock.
    pace : Pace or None
        None while there is none.
    record : BoardRecord or None
        None where no boards are kept.
    is_filling : bool
        Whether pieces that are counted now go on boards.
    """

    dough: DoughClock = field(default_factory=DoughClock)
    pace: Pace | None = None
    record: BoardRecord | None = None
    is_filling: bool = False

    def outlook(self, t_s: float, pieces_left: int | None) -> Outlook:
        """Return how the dough stands against its time.

        Parameters
        ----------
        t_s : float, seconds
            On the station clock.
        pieces_left : int or None
            Still to be cut, where a number was planned.

        Returns
        -------
        Outlook
        """
        left = None if pieces_left is None else max(pieces_left, 0)
        return self.dough.outlook(t_s, pace=self.pace, pieces_left=left)

    def board(self, number: int) -> Board | None:
        """Return a board by its number, or None where it is not held.

        Parameters
        ----------
        number : int

        Returns
        -------
        Board or None
        """
        return next((board for board in self._boards if board.number == number), None)

    def meant(self, control: OfBoard) -> Board | None:
        """Return the board that a key means where no number is typed, or None.

        Parameters
        ----------
        control : OfBoard

        Returns
        -------
        Board or None
            The one that is filling; the one to be shaped next; the one that has been at the bench
            for longest, else one that goes into the oven as it was cut; the one that has been in
            the oven for longest.
        """
        if self.record is None or self.record.boards is None:
            return None
        boards = self.record.boards
        match control:
            case Control.CLOSE:
                filling = boards.filling
                return filling if filling is not None and filling.pieces else None
            case Control.BENCH:
                return self.next
            case Control.OVEN_IN:
                shaped = min(boards.at(Stage.AT_BENCH), key=_bench_s, default=None)
                return shaped or next(iter(boards.at(Stage.CLOSED)), None)
            case Control.OVEN_OUT:
                return min(boards.at(Stage.IN_OVEN), key=_oven_in_s, default=None)
            case _:
                assert_never(control)

    @cached_property
    def filling(self) -> Filling | None:
        """The board that the next piece goes on; None where it goes on none."""
        if self.record is None or self.record.boards is None or not self.is_filling:
            return None
        boards = self.record.boards
        board = boards.filling
        if board is None:
            return Filling(boards.next_number, 0, boards.places)
        return Filling(board.number, len(board.pieces), board.places)

    @cached_property
    def newest_full(self) -> Board | None:
        """The board that was closed last, while it rests; None where there is none."""
        behind = (board for board in reversed(self._boards) if board.stage is not Stage.FILLING)
        last = next(behind, None)
        return last if last is not None and last.stage is Stage.CLOSED else None

    @cached_property
    def waiting(self) -> int:
        """How many boards rest, the one that is filling included."""
        resting = (Stage.CLOSED, Stage.FILLING)
        return sum(bool(board.pieces) and board.stage in resting for board in self._boards)

    def rest(self, board: Board, t_s: float) -> BoardRest | None:
        """Return the rest of a board's oldest piece.

        Parameters
        ----------
        board : Board
        t_s : float, seconds
            On the station clock.

        Returns
        -------
        BoardRest or None
            None on an empty board, and where no boards are kept.
        """
        if self.record is None:
            return None
        window = self.record.window_of(board)
        return rest_of(board, t_s=self.record.clock_s + t_s, window=window)

    def station_s(self, board_s: float) -> float:
        """Return a time of the boards on the station clock.

        Parameters
        ----------
        board_s : float, seconds since 1970

        Returns
        -------
        float, seconds
            Negative before the command began.
        """
        return board_s - (self.record.clock_s if self.record else 0.0)

    def resting(self, t_s: float) -> BoardRest | None:
        """Return the rest of the board that is to be shaped next: first in, first out.

        Parameters
        ----------
        t_s : float, seconds
            On the station clock.

        Returns
        -------
        BoardRest or None
            None while no piece lies on a board that waits.
        """
        return self.rest(self.next, t_s) if self.next else None

    def caution(self, t_s: float, pieces_left: int | None) -> Caution | None:
        """Return the one thing to be careful about now.

        Parameters
        ----------
        t_s : float, seconds
            On the station clock.
        pieces_left : int or None
            Still to be cut, where a number was planned.

        Returns
        -------
        Caution or None
            What passes soonest goes first: a cover that is due, shaping that falls behind, a board
            that rests on because nobody says when its shaping began, a dough that takes too long.
        """
        return (
            self._cover(t_s)
            or self._behind(t_s)
            or self._unsaid(t_s)
            or _too_long(self.outlook(t_s, pieces_left))
        )

    @cached_property
    def next(self) -> Board | None:
        """The board that is to be shaped next: first in, first out; None while none waits."""
        return next_board(self.record.boards) if self.record and self.record.boards else None

    @property
    def _boards(self) -> tuple[Board, ...]:
        record = self.record
        return () if record is None or record.boards is None else record.boards.boards

    def _cover(self, t_s: float) -> Caution | None:
        """Say once of each board that it wants its cover: when it is full, or fills slowly."""
        resting = (Stage.CLOSED, Stage.FILLING)
        newest = [board for board in self._boards[-2:] if board.stage in resting and board.pieces]
        for board in reversed(newest):
            if self.record is None or board.oldest is None or board.newest is None:
                continue
            lain_s = self.record.clock_s + t_s - board.oldest.cut_s
            due_s = COVER_NOW_S
            if board.stage is Stage.CLOSED:
                full_s = board.newest.cut_s - board.oldest.cut_s
                due_s = min(COVER_NOW_S, max(COVER_SOON_S, full_s))
            if not due_s <= lain_s < due_s + COVER_SHOWN_S:
                continue
            said = cover_caution(lain_s, what=f"Board {board.number}")
            if said is not None:
                return Caution(("cover", board.number), said)
        return None

    def _behind(self, t_s: float) -> Caution | None:
        if self.record is None or self.record.boards is None:
            return None
        ahead = shaping_ahead(self.record.boards, t_s=self.record.clock_s + t_s)
        if ahead is None or self.next is None:
            return None
        if not ahead.warning(self.record.window_of(self.next)):
            return None
        text = (
            f"Shaping too slow: piece {ahead.piece} rests {ahead.longest_rest_s / 60:.0f} min."
            " More hands, or pause scaling."
        )
        return Caution(("behind",), text)

    def _unsaid(self, t_s: float) -> Caution | None:
        """Ask whether the oldest board is being shaped, where no board ever was."""
        rest = self.resting(t_s)
        if rest is None or any(board.bench_s is not None for board in self._boards):
            return None
        if rest.rested is not Rested.TOO_LONG or rest.rest_s < 2 * rest.window.most_s:
            return None
        text = f"Is board {rest.board} being shaped? Then press S twice, so that its rest ends."
        return Caution(("unsaid", rest.board), text)


def _too_long(outlook: Outlook) -> Caution | None:
    if outlook.fit is not Fit.TOO_LONG or not outlook.suggestions or not outlook.pieces_left:
        return None
    fits = outlook.pieces_that_fit or 0
    first = outlook.suggestions[0]
    help_ = "Put the others in the cold, covered."
    if first.remedy is Remedy.SECOND_SCALER:
        help_ = first.text
    text = f"Only {fits} of the {outlook.pieces_left} left fit in time. {help_}"
    return Caution(("dough", first.remedy.value), text)


def _bench_s(board: Board) -> float:
    return board.bench_s or 0.0


def _oven_in_s(board: Board) -> float:
    return board.oven_in_s or 0.0

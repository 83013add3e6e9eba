"""``journal board``: where the boards are, and what happens to them while nothing is divided."""

from __future__ import annotations

import math
import sys
import time
from contextlib import closing
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import BoardStage, Kind, Line, board_closed, board_moved
from weighstation.plan.boards.board_record import MS_PER_S
from weighstation.plan.boards.rest import rest_of
from weighstation.station.bench.board_words import moved_text, rest_text
from weighstation.station.commands.batches.chains import seen_broken
from weighstation.station.commands.batches.dough_clock import boards_so_far
from weighstation.station.commands.journals.desk import IS_WRITTEN, warned
from weighstation.station.commands.journals.opening import reading, writing
from weighstation.station.commands.terminal.pages import show_record

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.journal import Body
    from weighstation.plan import Board, BoardRecord
    from weighstation.station.stores import Store

_NONE = "No board is in use."


class BoardTo(Enum):
    """What happens to a board; the value is how it is typed."""

    BENCH = "bench"
    OVEN = "oven"
    OUT = "out"
    CLOSED = "closed"


_STAGES = {
    BoardTo.BENCH: BoardStage.AT_BENCH,
    BoardTo.OVEN: BoardStage.IN_OVEN,
    BoardTo.OUT: BoardStage.OUT,
}


def show_boards(home: Path | None, *, as_json: bool) -> int:
    """Print the boards that are in use, and how long they have rested.

    Parameters
    ----------
    home : Path or None
    as_json : bool

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    now_ms = _now_ms()
    with closing(reading(home)) as store:
        record = boards_so_far(store, now_ms)
    used = [board for board in (record.boards.boards if record.boards else ()) if board.pieces]
    if as_json:
        from weighstation.report.sheet.boards import BatchBoard, board_records  # noqa: PLC0415 - only here

        found = [BatchBoard(board, record.window_of(board)) for board in used]
        show_record(board_records(found))
        return 0
    for board in used:
        sys.stdout.write(f"{_text(record, board, now_ms / MS_PER_S)}\n")
    if not used:
        sys.stdout.write(f"{_NONE}\n")
    return 0


def _text(record: BoardRecord, board: Board, now_s: float) -> str:
    rest = rest_of(board, t_s=now_s, window=record.window_of(board))
    if rest is None or not rest.is_waiting:
        return moved_text(board, rest)
    return rest_text(rest)


def move_board(home: Path | None, board: int, to: BoardTo | None) -> int:
    """Write what happened to a board just now.

    Parameters
    ----------
    home : Path or None
    board : int
        Its number.
    to : BoardTo or None
        None where nobody said.

    Returns
    -------
    int
        Exit code: 1 where it is written, and the last line before it does not hold.

    Raises
    ------
    SpecificationError
        If there is no such board, that cannot be, or nobody said where it goes.
    JournalError
        If the journal cannot be written, or a station is writing it.
    """
    if to is None:
        raise SpecificationError(
            f"Nobody said where board {board} goes.",
            hint=f"Say 'weighstation journal board {board} bench', or oven, out or closed.",
        )
    with closing(writing(home)) as store:
        now_ms = _now_ms()
        record = boards_so_far(store, now_ms)
        now_ms = max(now_ms, math.ceil((record.last_s or 0.0) * MS_PER_S))
        kind, body = _said(record, board, to, now_ms)
        fault = seen_broken(store, [store.head().seq], hint=IS_WRITTEN)
        entry = store.append(Line(kind, body, now_ms))
        moved = _board(store, board, now_ms)
    sys.stdout.write(f"Line {entry.seq}: {moved}\n")
    return warned(fault)


def _said(record: BoardRecord, board: int, to: BoardTo, now_ms: int) -> tuple[Kind, Body]:
    """Return the line, or refuse what cannot be."""
    kind, body = Kind.BOARD_CLOSED, board_closed(board)
    if to is not BoardTo.CLOSED:
        kind, body = Kind.BOARD_MOVED, board_moved(board, _STAGES[to])
    record.refuse_impossible(kind, body, now_ms)
    return kind, body


def _board(store: Store, number: int, now_ms: int) -> str:
    """Return where a board is after its line; one that came out of the oven is no longer held."""
    record = boards_so_far(store, now_ms)
    boards = record.boards.boards if record.boards else ()
    found = next((board for board in boards if board.number == number), None)
    if found is None:
        return f"board {number} is out of the oven, and hot."
    rest = rest_of(found, t_s=now_ms / MS_PER_S, window=record.window_of(found))
    said = moved_text(found, rest)
    return said[0].lower() + said[1:]


def _now_ms() -> int:
    return time.time_ns() // 1_000_000

"""Law: a journal that is replayed into boards leaves every piece that counts on one of them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING

from days_of_lines import PLACES, days
from hypothesis import given
from hypothesis import strategies as st

from weighstation.journal import Kind, codec
from weighstation.plan import BoardRecord, Boards, facts_of_change

if TYPE_CHECKING:
    from days_of_lines import Day

    from weighstation.journal import Line

Piece = tuple[str, int]


@given(days(), st.integers(1, 6))
def test_the_pieces_on_boards_are_those_that_count(day: Day, places: int) -> None:
    """The day keeps its own account of pieces, by other code."""
    boards = Boards(places)
    for line in day.lines:
        change = codec.change(line.kind, line.body)
        run = str(line.body.get("run", ""))
        boards = reduce(Boards.after, facts_of_change(change, run=run, clock_s=3600.0), boards)
    lying = [piece for board in boards.boards for piece in board.pieces]
    counted = {
        (run, number, round(3600 + piece.t_s, 6))
        for run, pieces in day.pieces.items()
        for number, piece in pieces.items()
    }

    assert Counter(counted) == Counter((p.run, p.number, round(p.cut_s, 6)) for p in lying)


def by_hand(lines: list[Line]) -> dict[int, list[Piece]]:
    """Lay pieces on boards by a list and a pointer, knowing nothing of stages and times."""
    lying: dict[int, list[Piece]] = {1: []}
    closed: set[int] = set()
    at = 1
    for line in lines:
        body, run = line.body, str(line.body.get("run", ""))
        if line.kind is Kind.BOARD_CLOSED or body.get("stage") in ("at_bench", "in_oven"):
            board = codec.integer(body, "board")
            closed |= {board} if lying.get(board) else set()
        change = codec.change(line.kind, body)
        for gone in change.removes:
            for pieces in lying.values():
                pieces[:] = [piece for piece in pieces if piece != (run, gone.number)]
        for came in change.adds:
            if at in closed or len(lying[at]) == PLACES:
                at += 1
                lying[at] = []
            lying[at].append((run, came.number))
    return lying


@given(days())
def test_boards_of_a_record_are_those_laid_by_hand(day: Day) -> None:
    record = BoardRecord()
    for line in day.lines:
        record = record.after(line.kind, line.body, line.t_utc_ms)
    boards = record.boards.boards if record.boards else ()

    assert by_hand(day.lines) == {
        board.number: [(piece.run, piece.number) for piece in board.pieces] for board in boards
    }


@given(days())
def test_letting_go_of_what_is_baked_changes_nothing_of_what_is_not(day: Day) -> None:
    """A bench lets go after every line, a batch that begins after the last one."""
    whole = light = BoardRecord()
    for line in day.lines:
        whole = whole.after(line.kind, line.body, line.t_utc_ms)
        light = light.after(line.kind, line.body, line.t_utc_ms)
        if light.boards is not None:
            light = replace(light, boards=light.boards.without_baked())

    assert (whole.boards is None) == (light.boards is None)
    if whole.boards is not None:
        assert whole.boards.without_baked() == light.boards

"""Law: a journal that is replayed into boards leaves every piece that counts on one of them."""

from __future__ import annotations

from collections import Counter
from functools import reduce
from typing import TYPE_CHECKING

from days_of_lines import days
from hypothesis import given
from hypothesis import strategies as st

from weighstation.journal import codec
from weighstation.plan import Boards, facts_of_change

if TYPE_CHECKING:
    from days_of_lines import Day


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

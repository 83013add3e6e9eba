"""Shaping that is slower than scaling lets the last pieces rest too long."""

from __future__ import annotations

import math
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import (
    BoardClosed,
    BoardFact,
    Boards,
    BoardToBench,
    Flow,
    Keeping,
    PieceBoarded,
    RestWindow,
    shaping_ahead,
)

WINDOW = RestWindow()
SLOW = Flow(48, first_rest_s=720, cut_every_s=10, shape_every_s=20)


def test_first_in_first_out_the_rests_grow_from_12_to_19_8_minutes() -> None:
    """48 pieces, cut every 10 s and shaped every 20 s, first rest 12 min: own arithmetic."""
    rests_min = [SLOW.fifo_rest_s(piece) / 60 for piece in range(1, 49)]

    assert 12.0 == rests_min[0]
    assert 19.8 == pytest.approx(rests_min[-1], abs=0.05)
    assert rests_min == sorted(rests_min)


def test_last_in_first_out_the_rests_differ_by_23_5_minutes() -> None:
    """The same dough, own arithmetic."""
    assert 23.5 == SLOW.lifo_spread_s / 60


@given(st.integers(1, 60), st.floats(1, 60), st.floats(1, 60), st.floats(0, 1200))
def test_both_formulas_are_those_of_a_bench_that_is_played(
    pieces: int, cut_every_s: float, shape_every_s: float, first_rest_s: float
) -> None:
    """The last in, first out bench begins when the last piece is cut; so spread and order count."""
    flow = Flow(
        pieces, first_rest_s=first_rest_s, cut_every_s=cut_every_s, shape_every_s=shape_every_s
    )
    cuts = [i * cut_every_s for i in range(pieces)]
    fifo = [first_rest_s + i * shape_every_s - cut for i, cut in enumerate(cuts)]
    lifo = [cuts[-1] + i * shape_every_s - cut for i, cut in enumerate(reversed(cuts))]

    assert [max(0.0, rest) for rest in fifo] == pytest.approx(
        [flow.fifo_rest_s(piece) for piece in range(1, pieces + 1)], abs=1e-6
    )
    assert max(lifo) - min(lifo) == pytest.approx(flow.lifo_spread_s, abs=1e-6)


def test_slow_shaping_is_said_with_what_to_do() -> None:
    assert Keeping.SHAPING_SLOW == SLOW.keeping(WINDOW)
    assert 2 == SLOW.shapers
    assert (
        "Scaling takes 10 s a piece, shaping 20: the last of 48 pieces will have rested 19.8 min,"
        " and pieces from 20 on rest too long. To keep step, put 2 times the hands to shaping, or"
        " pause scaling."
    ) == SLOW.text(WINDOW)
    assert SLOW.fifo_rest_s(19) <= WINDOW.most_s < SLOW.fifo_rest_s(20)


def test_the_hands_that_are_asked_for_keep_step() -> None:
    helped = Flow(48, first_rest_s=720, cut_every_s=10, shape_every_s=20 / SLOW.shapers)

    assert Keeping.IN_STEP == helped.keeping(WINDOW)
    assert "will have rested 12.0 min." in helped.text(WINDOW)


def test_shaping_that_is_too_fast_waits() -> None:
    fast = Flow(48, first_rest_s=720, cut_every_s=20, shape_every_s=10)

    assert Keeping.SHAPING_FAST == fast.keeping(WINDOW)
    assert fast.text(WINDOW).endswith(
        "4.2 min, which is too short. Let shaping wait between boards."
    )


def test_a_dough_that_begins_too_late_is_late_from_the_first_piece() -> None:
    late = Flow(3, first_rest_s=1000, cut_every_s=10, shape_every_s=20)

    assert "pieces from 1 on" in late.text(WINDOW)


def played(
    boards_taken: int, *, cut_every_s: float, shape_every_s: float, pause_s: float = 0.0
) -> tuple[Boards, float]:
    """Return boards of four, twelve of them cut, shaped without a stop from a rest of 12 min.

    With a pause, the scaler stops so long after every fourth board.
    """
    cuts = [i * cut_every_s + i // 16 * pause_s for i in range(48)]
    facts = [PieceBoarded(i + 1, cut) for i, cut in enumerate(cuts)]
    boards = reduce(Boards.after, facts, Boards(4))
    t_s = cuts[-1]
    for board in range(1, boards_taken + 1):
        t_s = 3600.0 + (board - 1) * 4 * shape_every_s
        boards = boards.after(BoardToBench(board, t_s))
    return boards, t_s


def test_measured_on_boards_it_is_the_formula() -> None:
    """At 20 s a piece the last of 48 pieces rests as long as the formula has it."""
    boards, t_s = played(3, cut_every_s=10, shape_every_s=20)
    ahead = shaping_ahead(boards, t_s=t_s)
    formula = Flow(48, first_rest_s=3600, cut_every_s=10, shape_every_s=20)

    assert ahead is not None
    assert (20.0, 2, 48) == (ahead.shape_every_s, ahead.steps, ahead.piece)
    assert formula.last_rest_s == pytest.approx(ahead.longest_rest_s)


@pytest.mark.parametrize(
    ("shape_every_s", "most_s", "warned"), [(20, 4069, True), (20, 4071, False), (9, 3600, False)]
)
def test_a_warning_comes_when_what_waits_will_be_late(
    shape_every_s: float, most_s: float, warned: bool
) -> None:
    """3600 + 47 x 10 = 4070 s; at 9 s a piece rests fall and the next piece is the oldest."""
    boards, t_s = played(3, cut_every_s=10, shape_every_s=shape_every_s)
    ahead = shaping_ahead(boards, t_s=t_s)

    assert ahead is not None
    assert warned == (ahead.warning(RestWindow(600, most_s)) is not None)


def test_the_warning_names_the_piece_and_the_cure() -> None:
    boards, t_s = played(3, cut_every_s=10, shape_every_s=20)
    ahead = shaping_ahead(boards, t_s=t_s)

    assert ahead is not None
    assert (
        "At 20 s a piece shaping is too slow: piece 48 will have rested 68 min. More hands to"
        " shaping, or pause scaling."
    ) == ahead.warning(WINDOW)


def test_a_pause_of_the_scaler_is_seen_in_the_cuts() -> None:
    """What was cut before the pause has the longest rest, not what came after it."""
    boards, t_s = played(2, cut_every_s=10, shape_every_s=11, pause_s=300)
    ahead = shaping_ahead(boards, t_s=t_s)

    assert ahead is not None
    assert 16 == ahead.piece


def test_what_waits_does_not_begin_before_now() -> None:
    boards, t_s = played(3, cut_every_s=10, shape_every_s=20)
    soon, late = shaping_ahead(boards, t_s=t_s), shaping_ahead(boards, t_s=t_s + 1000)

    assert soon is not None
    assert late is not None
    assert late.longest_rest_s == pytest.approx(soon.longest_rest_s + 1000 - 4 * 20)


def test_one_stumble_of_the_shapers_is_no_pace() -> None:
    """Steps of 20, 200 and 20 s a piece: the median is 20."""
    boards, _ = played(0, cut_every_s=10, shape_every_s=20)
    for board, t_s in ((1, 3600.0), (2, 3680.0), (3, 4480.0), (4, 4560.0)):
        boards = boards.after(BoardToBench(board, t_s))
    ahead = shaping_ahead(boards, t_s=4560.0)

    assert ahead is not None
    assert (20.0, 3) == (ahead.shape_every_s, ahead.steps)


def test_a_step_is_over_the_pieces_of_the_board_that_was_shaped() -> None:
    """Four pieces in 80 s are 20 s each, whatever lies on the next board."""
    facts: list[BoardFact] = [*(PieceBoarded(n, 10.0 * n) for n in range(1, 7)), BoardClosed(2)]
    boards = reduce(Boards.after, facts, Boards(4)).after(PieceBoarded(7, 70.0))
    boards = boards.after(BoardToBench(1, 700.0)).after(BoardToBench(2, 780.0))
    ahead = shaping_ahead(boards, t_s=780.0)

    assert ahead is not None
    assert (20.0, 7) == (ahead.shape_every_s, ahead.piece)
    assert 780 + 2 * 20 - 70 == pytest.approx(ahead.longest_rest_s)


def test_nothing_is_said_before_two_boards_or_after_the_last() -> None:
    one, t_s = played(1, cut_every_s=10, shape_every_s=20)
    all_of_them, end_s = played(12, cut_every_s=10, shape_every_s=20)

    assert shaping_ahead(one, t_s=t_s) is None
    assert shaping_ahead(all_of_them, t_s=end_s) is None


@pytest.mark.parametrize(
    ("pieces", "first_rest_s", "cut_every_s", "shape_every_s"),
    [(0, 720, 10, 20), (48, -1, 10, 20), (48, 720, 0, 20), (48, 720, 10, math.nan)],
)
def test_what_is_no_flow_is_refused(
    pieces: int, first_rest_s: float, cut_every_s: float, shape_every_s: float
) -> None:
    with pytest.raises(SpecificationError) as refused:
        Flow(
            pieces, first_rest_s=first_rest_s, cut_every_s=cut_every_s, shape_every_s=shape_every_s
        )

    assert refused.value.hint


@pytest.mark.parametrize("piece", [0, 49])
def test_a_piece_that_is_not_there_has_no_rest(piece: int) -> None:
    with pytest.raises(SpecificationError):
        SLOW.fifo_rest_s(piece)

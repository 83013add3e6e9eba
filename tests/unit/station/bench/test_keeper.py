"""Boards and pace follow from lines on the disk, and from nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.errors import SpecificationError
from weighstation.events import Piece, Verdict, Voided
from weighstation.journal import Body, Kind, Line, RunStarted, codec
from weighstation.plan import BoardRecord, RestWindow, Stage, TimeLimit
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.board_news import BoardNews, Laid, Moved
from weighstation.station.bench.keeper import (
    MOST_HELD,
    ClockPlan,
    Keeper,
    Said,
    opening_lines,
)
from weighstation.station.bench.keys import Control, OfBoard
from weighstation.station.stores import MemoryStore

BEGAN_MS = 1_772_424_600_000
PRODUCT = Product("Country loaf", Limits(740_000, 8_000, 8_000), board_places=3)
PROMISE = RunStarted(
    run="r1",
    product=PRODUCT,
    way=Way.SINGLE,
    lifted=LiftedPolicy.GUESS,
    scale="simulated://",
    software="test",
    clock_utc_ms=BEGAN_MS,
)


def piece(number: int, every_s: float = 10.0) -> Piece:
    t_s = every_s * number
    return Piece(number, t_s, t_s - 4.0, 741_000, 741_000, 0, Verdict.KEEP)


class Bench:
    """A keeper, and the store whose lines it is fed."""

    def __init__(
        self, promise: RunStarted = PROMISE, before: BoardRecord | None = None, **more: float
    ) -> None:
        record = before or BoardRecord()
        opening = opening_lines(
            *(record, promise.run), places=promise.product.board_places, goes_on=False
        )
        self.keeper = Keeper(ClockPlan(record, opening, **more), promise)
        self.store = MemoryStore(journal_id="0" * 32, station="bench")
        for said in ((Kind.RUN_STARTED, codec.run_started(promise)), *opening):
            self.commit(*said)
        self.run = promise.run

    def commit(self, kind: Kind, body: Body) -> tuple[BoardNews, ...]:
        return self.keeper.feed(self.store.append(Line(kind, body, BEGAN_MS)))

    def lay(self, *numbers: int, every_s: float = 10.0) -> list[BoardNews]:
        news: list[BoardNews] = []
        for number in numbers:
            body = codec.piece_kept(self.run, piece(number, every_s), dough_t_s=0.0)
            news += self.commit(Kind.PIECE_KEPT, body)
        return news

    def say(self, control: OfBoard, board: int, now_s: float) -> tuple[BoardNews, ...]:
        return self.commit(*self.keeper.asked(control, board, now_s))

    def record(self) -> BoardRecord:
        record = self.keeper.clocks(0.0).record

        assert record is not None
        return record

    def stages(self) -> dict[int, Stage]:
        boards = self.record().boards

        assert boards is not None
        return {board.number: board.stage for board in boards.boards}


def test_a_piece_that_counts_lies_on_a_board() -> None:
    news = Bench().lay(1)

    assert [("laid", 1, 1, 1), ("moved", 1, Stage.FILLING)] == [
        ("laid", each.board, each.piece.number, each.piece.place)
        if isinstance(each, Laid)
        else ("moved", each.board.number, each.board.stage)
        for each in news
    ]


def test_the_last_piece_of_a_board_closes_it() -> None:
    bench = Bench()
    bench.lay(1, 2)
    laid, moved = bench.lay(3)

    assert isinstance(laid, Laid)
    assert isinstance(moved, Moved)
    assert (3, Stage.CLOSED) == (laid.piece.place, moved.board.stage)


def test_keys_move_a_board_through_the_bakery() -> None:
    bench = Bench()
    bench.lay(1, 2, 3, 4)
    stages = []
    for control in (Control.BENCH, Control.OVEN_IN):
        bench.say(control, 1, 700.0)
        stages.append(bench.stages()[1])
    (out,) = bench.say(Control.OVEN_OUT, 1, 3000.0)

    assert [Stage.AT_BENCH, Stage.IN_OVEN] == stages
    assert isinstance(out, Moved)
    assert Stage.OUT is out.board.stage
    assert {2: Stage.FILLING} == bench.stages()  # what is baked is let go


def test_a_board_closed_early_is_filled_no_further() -> None:
    bench = Bench()
    bench.lay(1)
    bench.say(Control.CLOSE, 1, 12.0)
    bench.lay(2)

    assert {1: Stage.CLOSED, 2: Stage.FILLING} == bench.stages()


@pytest.mark.parametrize(
    ("control", "board", "said"),
    [
        (Control.OVEN_OUT, 1, "Board 1 is closed, and only one in the oven comes out."),
        (Control.CLOSE, 1, "Board 1 is closed already."),
        (Control.BENCH, 7, "There is no board 7."),
        (Control.BENCH, 0, "There is no board 0."),
        (Control.OVEN_IN, 9999, "There is no board 9999."),
    ],
)
def test_what_cannot_be_is_one_sentence_and_changes_nothing(
    control: OfBoard, board: int, said: str
) -> None:
    bench = Bench()
    bench.lay(1, 2, 3, 4)
    before = bench.record()
    with pytest.raises(SpecificationError) as refused:
        bench.keeper.asked(control, board, 60.0)

    assert said == str(refused.value)
    assert before == bench.record()


def test_what_was_said_and_waits_for_the_disk_is_not_said_again() -> None:
    bench = Bench()
    bench.lay(1, 2, 3)
    line = bench.keeper.asked(Control.BENCH, 1, 700.0)
    with pytest.raises(SpecificationError, match="waits for the disk"):
        bench.keeper.asked(Control.BENCH, 1, 701.0)
    bench.commit(*line)
    with pytest.raises(SpecificationError, match="Board 1 is at the bench already"):
        bench.keeper.asked(Control.BENCH, 1, 702.0)


def test_where_no_boards_are_kept_a_key_says_what_to_do() -> None:
    bench = Bench(replace(PROMISE, product=replace(PRODUCT, board_places=None)))
    bench.lay(1)
    with pytest.raises(SpecificationError, match="board_places"):
        bench.keeper.asked(Control.BENCH, 1, 60.0)

    assert bench.keeper.clocks(0.0).record is None


def test_a_voided_piece_leaves_its_board() -> None:
    bench = Bench()
    bench.lay(1, 2)
    body = codec.voided("r1", Voided(99.0, piece(2), "floor"), dough_t_s=0.0)
    bench.commit(Kind.VOIDED, body)

    boards = bench.record().boards
    assert boards is not None
    assert [1] == [each.number for each in boards.boards[0].pieces]


def test_the_pace_is_that_of_the_pieces_on_the_disk() -> None:
    bench = Bench()
    bench.lay(1, 2, 3)
    early = bench.keeper.clocks(0.0).pace
    bench.lay(4, 5)
    found = bench.keeper.clocks(0.0).pace

    assert early is None
    assert found is not None
    assert 10.0 == found.every_s


def test_a_struck_out_piece_is_out_of_the_pace() -> None:
    bench = Bench()
    bench.lay(1, 2, 3, 4)
    body = codec.voided("r1", Voided(99.0, piece(4), "floor"), dough_t_s=0.0)
    bench.commit(Kind.VOIDED, body)

    assert bench.keeper.clocks(0.0).pace is None


def test_limits_of_the_product_and_the_time_of_mixing_go_to_the_clocks() -> None:
    product = replace(PRODUCT, rest_min=(5.0, 8.0), dough_limit_min=12.0)
    bench = Bench(replace(PROMISE, product=product), mixed_s=-4500.0)
    bench.lay(1)
    clocks, boards = bench.keeper.clocks(-3.0), bench.record().boards

    assert boards is not None
    assert RestWindow(300.0, 480.0) == bench.record().window_of(boards.boards[0])
    assert (-4500.0, -3.0, TimeLimit(720.0, 720.0)) == (
        clocks.dough.mixed_s,
        clocks.dough.first_cut_s,
        clocks.dough.limit,
    )


def test_clocks_of_two_runs_may_disagree_by_a_moment() -> None:
    """A batch that is gone on with knows its first cut by the machine's clock only."""
    clocks = Bench(mixed_s=-10.0).keeper.clocks(-10.2)

    assert -10.2 == clocks.dough.mixed_s


def test_the_clocks_are_the_same_value_while_nothing_changes() -> None:
    """A screen is drawn anew only for another picture."""
    bench = Bench()
    bench.lay(1)

    assert bench.keeper.clocks(0.0) is bench.keeper.clocks(0.0)


def test_pieces_on_boards_that_nobody_moves_are_let_go_in_the_end() -> None:
    bench = Bench(replace(PROMISE, product=replace(PRODUCT, board_places=100)))
    bench.lay(*range(1, MOST_HELD + 502))
    boards = bench.record().boards

    assert boards is not None
    assert MOST_HELD - 100 < sum(len(board.pieces) for board in boards.boards) <= MOST_HELD
    assert 26 == boards.boards[-1].number


def days_before(filled: int, *, places: int = 3) -> BoardRecord:
    bench = Bench(replace(PROMISE, run="r0", product=replace(PRODUCT, board_places=places)))
    bench.lay(*range(1, filled + 1))
    return bench.record()


OPENED, CLOSED = Kind.BOARD_OPENED, Kind.BOARD_CLOSED


@pytest.mark.parametrize(
    ("filled", "goes_on", "said"),
    [
        (0, False, [(OPENED, 1)]),
        (3, False, [(OPENED, 2)]),
        (3, True, [(OPENED, 2)]),
        (4, False, [(CLOSED, 2), (OPENED, 3)]),
        (4, True, []),
    ],
)
def test_another_batch_begins_a_board_of_its_own(
    filled: int, goes_on: bool, said: list[tuple[Kind, int]]
) -> None:
    lines = opening_lines(days_before(filled), "r1", places=3, goes_on=goes_on)

    assert said == [(kind, body["board"]) for kind, body in lines]


def test_a_batch_gone_on_with_on_other_boards_begins_one() -> None:
    lines = opening_lines(days_before(4), "r1", places=5, goes_on=True)

    assert [(CLOSED, 2, None), (OPENED, 3, 5)] == [
        (kind, body["board"], body.get("places")) for kind, body in lines
    ]


def test_a_product_without_boards_opens_none() -> None:
    assert () == opening_lines(days_before(4), "r1", places=None, goes_on=False)


def test_a_product_without_boards_still_shows_those_of_the_one_before() -> None:
    product = replace(PRODUCT, board_places=None)
    bench = Bench(replace(PROMISE, run="r1", product=product), days_before(4))
    bench.lay(1)
    bench.say(Control.BENCH, 1, 700.0)

    assert {1: Stage.AT_BENCH, 2: Stage.FILLING} == bench.stages()
    assert bench.keeper.clocks(0.0).filling is None


def test_the_boards_stand_before_the_first_line_is_on_the_disk() -> None:
    opening: tuple[Said, ...] = opening_lines(BoardRecord(), "r1", places=3, goes_on=False)
    filling = Keeper(ClockPlan(opening=opening), PROMISE).clocks(None).filling

    assert (1, 0, 3) == filling

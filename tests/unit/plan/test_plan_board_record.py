"""Lines of a journal, and which piece lies on which board after them."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce

import pytest

from weighstation.errors import JournalError
from weighstation.events import LiftedTurned, Piece, TookFor, Verdict, Voided
from weighstation.journal import (
    BoardStage,
    Body,
    Kind,
    RunStarted,
    board_closed,
    board_moved,
    board_opened,
    codec,
)
from weighstation.plan import BoardRecord, Stage
from weighstation.specification import LiftedPolicy, Limits, Product, Way

BEGAN_MS = 1_772_424_600_000
BEGAN_S = BEGAN_MS / 1000
Said = tuple[Kind, Body]


def started(run: str = "r1", places: int | None = 3, began_ms: int = BEGAN_MS) -> Said:
    promise = RunStarted(
        run=run,
        product=Product("Rye", Limits(740_000, 8000, 8000), board_places=places),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="simulated://",
        software="test",
        clock_utc_ms=began_ms,
    )
    return Kind.RUN_STARTED, codec.run_started(promise)


def piece(number: int) -> Piece:
    """One piece every ten seconds, four of them on the pan."""
    return Piece(*(number, 10.0 * number, 10.0 * number - 4.0), 740_000, 740_000, 0, Verdict.KEEP)


def kept(number: int, run: str = "r1") -> Said:
    return Kind.PIECE_KEPT, codec.piece_kept(run, piece(number), dough_t_s=0.0)


def voided(number: int, run: str = "r1") -> Said:
    return Kind.VOIDED, codec.voided(run, Voided(99.0, piece(number), "floor"), dough_t_s=0.0)


def opened(board: int, places: int = 3, run: str = "r1") -> Said:
    return Kind.BOARD_OPENED, board_opened(board, places, run=run)


def moved(board: int, stage: BoardStage, at_s: float, run: str = "r1") -> Said:
    return Kind.BOARD_MOVED, board_moved(board, stage, run=run, at_ms=round(at_s * 1000))


def closed(board: int) -> Said:
    return Kind.BOARD_CLOSED, board_closed(board, run="r1")


def folded(*said: Said, of: BoardRecord | None = None) -> BoardRecord:
    def after(record: BoardRecord, line: Said) -> BoardRecord:
        return record.after(*line, BEGAN_MS + 5_000_000)

    return reduce(after, said, of or BoardRecord())


def lying(record: BoardRecord) -> dict[int, list[int]]:
    boards = record.boards.boards if record.boards else ()
    return {board.number: [piece.number for piece in board.pieces] for board in boards}


def test_before_a_board_is_opened_there_is_none() -> None:
    assert folded(started(), kept(1)).boards is None


def test_pieces_lie_on_boards_in_the_order_in_which_they_count() -> None:
    record = folded(started(), opened(1), *map(kept, range(1, 8)))

    assert {1: [1, 2, 3], 2: [4, 5, 6], 3: [7]} == lying(record)


def test_a_cut_is_timed_by_where_the_clock_of_its_run_begins() -> None:
    record = folded(started(), opened(1), kept(1))

    assert record.boards is not None
    assert BEGAN_S + 10.0 == record.boards.boards[0].pieces[0].cut_s
    assert BEGAN_S + 10.0 == record.last_s


def test_a_board_closed_early_sends_the_next_piece_to_another() -> None:
    record = folded(started(), opened(1), kept(1), closed(1), kept(2))

    assert {1: [1], 2: [2]} == lying(record)


def test_a_board_goes_to_the_bench_and_into_the_oven_and_out() -> None:
    record = folded(
        *(started(), opened(1), kept(1)),
        moved(1, BoardStage.AT_BENCH, 700.0),
        moved(1, BoardStage.IN_OVEN, 4000.0),
        moved(1, BoardStage.OUT, 6000.0),
    )

    assert record.boards is not None
    board = record.boards.board(1)
    assert Stage.OUT is board.stage
    assert (700.0, 4000.0, 6000.0) == tuple(
        (at_s or 0.0) - BEGAN_S for at_s in (board.bench_s, board.oven_in_s, board.oven_out_s)
    )


def test_between_batches_the_time_of_the_line_holds() -> None:
    line = (Kind.BOARD_MOVED, board_moved(1, BoardStage.IN_OVEN))
    record = folded(started(), opened(1), kept(1), line)

    assert record.boards is not None
    assert BEGAN_S + 5000.0 == record.boards.board(1).oven_in_s


@pytest.mark.parametrize(
    "line",
    [
        closed(2),
        closed(7),
        moved(7, BoardStage.AT_BENCH, 900.0),
        moved(1, BoardStage.OUT, 900.0),
        moved(1, BoardStage.AT_BENCH, 3.0),
        voided(9),
    ],
)
def test_a_line_that_says_what_cannot_be_changes_nothing(line: Said) -> None:
    before = folded(started(), opened(1), *map(kept, range(1, 4)))

    assert before == folded(line, of=before)


def test_the_same_key_twice_before_the_disk_had_taken_it_counts_once() -> None:
    once = folded(started(), opened(1), kept(1), moved(1, BoardStage.AT_BENCH, 700.0))

    assert once == folded(moved(1, BoardStage.AT_BENCH, 705.0), of=once)


def test_boards_outlive_a_run() -> None:
    second = started("r2", began_ms=BEGAN_MS + 900_000)
    record = folded(
        *(started(), opened(1), kept(1), kept(2), closed(1)),
        *(second, opened(2, 4, run="r2"), kept(1, "r2")),
        moved(1, BoardStage.AT_BENCH, 0.0, run="r2"),
    )

    assert {1: [1, 2], 2: [1]} == lying(record)
    assert record.boards is not None
    assert (4, "r2") == (record.boards.board(2).places, record.boards.board(2).pieces[0].run)
    assert BEGAN_S + 900.0 == record.boards.board(1).bench_s


def test_a_batch_that_is_gone_on_with_fills_its_board_up() -> None:
    record = folded(started(), opened(1), kept(1), started("r2"), kept(2, "r2"))

    assert {1: [1, 2]} == lying(record)


def test_pieces_of_a_product_without_boards_lie_on_none() -> None:
    record = folded(
        *(started(), opened(1), kept(1)),
        *(started("r2", places=None), kept(2, "r2"), voided(2, "r2")),
    )

    assert {1: [1]} == lying(record)


def test_a_piece_of_an_earlier_run_can_still_be_struck_out() -> None:
    record = folded(started(), opened(1), kept(1), kept(2), started("r2", places=None), voided(1))

    assert {1: [2]} == lying(record)


def test_a_board_number_one_begins_a_new_count() -> None:
    record = folded(
        *(started(), opened(1), *map(kept, range(1, 6))),
        *(started("r2"), opened(1, run="r2"), kept(1, "r2")),
    )

    assert {1: [1]} == lying(record)


def test_reading_may_begin_in_the_middle_of_a_day() -> None:
    record = folded(started(), opened(5), *map(kept, range(1, 5)))

    assert {5: [1, 2, 3], 6: [4]} == lying(record)


def test_an_empty_board_opened_again_keeps_its_number_and_takes_the_new_places() -> None:
    record = folded(started(), opened(1, 3), started("r2"), opened(1, 2, run="r2"), kept(1, "r2"))

    assert record.boards is not None
    assert (2, 2) == (record.boards.board(1).places, record.boards.places)


def test_a_turned_piece_changes_boards_as_it_changes_the_count() -> None:
    turned = LiftedTurned(
        45.0, 2, TookFor.CAME_BACK, (piece(2), piece(3)), (replace(piece(3), number=2),)
    )
    line = (Kind.LIFTED_TURNED, codec.lifted_turned("r1", turned, dough_t_s=0.0))
    record = folded(started(), opened(1, 6), *map(kept, range(1, 4)), line)

    assert {1: [1, 2]} == lying(record)


def test_a_run_of_an_older_version_has_no_clock_and_no_boards() -> None:
    kind, body = started()
    old = {key: value for key, value in body.items() if key != "clock_utc_ms"}
    record = folded((kind, old), opened(1), kept(1))

    assert {1: []} == lying(record)


def test_a_line_that_lacks_its_board_is_refused() -> None:
    with pytest.raises(JournalError, match="lacks its number 'board'"):
        folded(started(), (Kind.BOARD_CLOSED, {"run": "r1"}))

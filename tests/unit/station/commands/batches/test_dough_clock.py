"""What was typed, and what the journal holds, become what the clocks of a run start from."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError
from weighstation.events import Piece, Verdict
from weighstation.journal import (
    BoardStage,
    Body,
    Kind,
    Line,
    PieceFacts,
    RunStarted,
    RunState,
    Why,
    board_moved,
    board_opened,
    codec,
    imported,
    scale_of_file,
)
from weighstation.plan import BoardRecord
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.commands.batches.dough_clock import boards_so_far, mixed_from, start_of
from weighstation.station.commands.batches.resume import Interrupted
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.journal import Entry

NOW = datetime(2026, 3, 2, 4, 40, 30, tzinfo=timezone(timedelta(hours=1)))
NOW_MS = round(NOW.timestamp() * 1000)
MIN_MS = 60_000
H_MS = 60 * MIN_MS


def ago_min(typed: str) -> float:
    mixed_ms = mixed_from(typed, NOW)

    assert mixed_ms is not None
    return (NOW_MS - mixed_ms) / MIN_MS


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("3:10", 90.5),
        ("03:10", 90.5),
        (" 3.10 ", 90.5),
        ("4:40", 0.5),
        ("23:40", 300.5),
        ("8:45", 1195.5),
        ("75", 75.0),
        ("0", 0.0),
        ("2880", 2880.0),
    ],
)
def test_a_dough_was_mixed_at_the_last_such_time_or_so_many_minutes_ago(
    typed: str, expected: float
) -> None:
    assert expected == ago_min(typed)


def test_nothing_said_is_nothing_known() -> None:
    assert mixed_from(None, NOW) is None


@pytest.mark.parametrize(
    "typed", ["", "soon", "24:00", "3:60", "3:1", "-5", "1e3", "3:10 pm", "1.5", "١٢", "123456"]
)
def test_what_is_no_time_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(SpecificationError, match="no time of day and no number of minutes") as said:
        mixed_from(typed, NOW)

    assert "like 3:40, or how many minutes ago, like 75." in said.value.sentence


def test_a_time_that_is_still_to_come_is_a_slip() -> None:
    with pytest.raises(SpecificationError, match="--mixed 5:10 is still to come today"):
        mixed_from("5:10", NOW)


def test_more_than_a_week_is_a_slip() -> None:
    with pytest.raises(SpecificationError, match="more than a week"):
        mixed_from("10081", NOW)


PROMISE = RunStarted(
    run="r1",
    product=Product("Country loaf", Limits(740_000, 8_000, 8_000), board_places=2),
    way=Way.SINGLE,
    lifted=LiftedPolicy.GUESS,
    scale="simulated://",
    software="test",
    clock_utc_ms=NOW_MS,
)


class Day:
    """A journal that is written run by run."""

    def __init__(self) -> None:
        self.store = MemoryStore(journal_id="0" * 32, station="bench")

    def run(self, run: str, began_ms: int, board: int, pieces: int) -> None:
        promise = replace(PROMISE, run=run, clock_utc_ms=began_ms)
        self._write(Kind.RUN_STARTED, codec.run_started(promise), began_ms)
        self._write(Kind.BOARD_OPENED, board_opened(board, 2, run=run), began_ms)
        for number in range(1, pieces + 1):
            t_s = 10.0 * number
            piece = Piece(number, t_s, t_s - 4, 741_000, 741_000, 0, Verdict.KEEP)
            body = codec.piece_kept(run, piece, dough_t_s=0.0)
            self._write(Kind.PIECE_KEPT, body, began_ms + round(1000 * t_s))

    def entered(self, run: str, rows: int, at_ms: int) -> None:
        """Enter rows from a file, as `journal import` does."""
        scale = scale_of_file("week.csv")
        promise = replace(PROMISE, run=run, scale=scale, clock_utc_ms=None)
        self._write(Kind.RUN_STARTED, codec.run_started(promise), at_ms)
        for number in range(1, rows + 1):
            piece = PieceFacts(number, None, 741_000, None, None, 0, Verdict.KEEP, None)
            body = imported(run, piece, at_utc_ms=0, offset_min=0)
            self._write(Kind.IMPORTED, body, at_ms)
        self._write(Kind.RUN_ENDED, codec.run_ended(run, Why.DONE), at_ms)

    def move(self, run: str, board: int, stage: BoardStage, at_ms: int) -> None:
        self._write(Kind.BOARD_MOVED, board_moved(board, stage, run=run, at_ms=at_ms), 0)

    def _write(self, kind: Kind, body: Body, t_utc_ms: int) -> None:
        self.store.append(Line(kind, body, t_utc_ms))

    def boards(self, now_ms: int) -> list[tuple[int, list[int]]]:
        found = boards_so_far(self.store, now_ms).boards
        return [
            (board.number, [piece.number for piece in board.pieces])
            for board in (found.boards if found else ())
        ]


def test_an_empty_journal_has_no_boards() -> None:
    assert BoardRecord() == boards_so_far(Day().store, NOW_MS)


def test_boards_of_earlier_runs_are_still_there() -> None:
    day = Day()
    day.run("r1", NOW_MS - H_MS, 1, 4)
    day.run("r2", NOW_MS - H_MS // 2, 3, 2)

    assert [(1, [1, 2]), (2, [3, 4]), (3, [1, 2])] == day.boards(NOW_MS)


def test_what_is_entered_from_a_file_takes_no_board_away_and_is_not_read(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A file of years is entered while boards rest: the next start reads none of its rows."""
    day = Day()
    day.run("r1", NOW_MS - H_MS, 1, 4)
    day.entered("r2", 50, NOW_MS - H_MS // 2)
    day.entered("r3", 50, NOW_MS - H_MS // 2)
    day.move("r1", 1, BoardStage.IN_OVEN, 700_000)
    day.move("r1", 1, BoardStage.OUT, 900_000)
    read: list[Kind] = []

    def entries(store: MemoryStore, start: int = 1) -> Iterator[Entry]:
        for entry in every(store, start):
            read.append(entry.kind)
            yield entry

    every = MemoryStore.entries
    monkeypatch.setattr(MemoryStore, "entries", entries)

    assert [(2, [3, 4])] == day.boards(NOW_MS)
    assert {Kind.RUN_STARTED, Kind.BOARD_OPENED, Kind.PIECE_KEPT, Kind.BOARD_MOVED} == set(read)


def test_what_is_baked_is_let_go_and_the_count_goes_on() -> None:
    day = Day()
    day.run("r1", NOW_MS - H_MS, 1, 3)
    day.move("r1", 1, BoardStage.IN_OVEN, 700_000)
    day.move("r1", 1, BoardStage.OUT, 900_000)
    found = boards_so_far(day.store, NOW_MS).boards

    assert [(2, [3])] == day.boards(NOW_MS)
    assert found is not None
    assert 3 == found.next_number


@pytest.mark.parametrize(("hours", "expected"), [(3.9, 1), (4.1, 0)])
def test_after_a_quiet_shift_boards_count_anew(hours: float, expected: int) -> None:
    day = Day()
    day.run("r1", NOW_MS - round(hours * H_MS) - 10_000, 1, 1)

    assert expected == len(day.boards(NOW_MS))


def test_a_board_that_is_moved_late_keeps_the_count_alive() -> None:
    day = Day()
    day.run("r1", NOW_MS - 6 * H_MS, 1, 1)
    day.move("r1", 1, BoardStage.AT_BENCH, 4 * H_MS)

    assert [(1, [1])] == day.boards(NOW_MS)


def test_a_clock_that_was_wrong_by_days_leaves_no_boards() -> None:
    day = Day()
    day.run("r1", NOW_MS + 48 * H_MS, 1, 1)

    assert [] == day.boards(NOW_MS)


def test_runs_of_the_day_before_are_not_read() -> None:
    day = Day()
    day.run("r1", NOW_MS - 25 * H_MS, 1, 1)
    day.run("r2", NOW_MS - H_MS, 2, 1)

    assert [(2, [1])] == day.boards(NOW_MS)


def interrupted(mixed_ms: int | None, first_cut_ms: int) -> Interrupted:
    state = RunState("r0", 1, "Country loaf", 740_000, 1000, 0)
    promise = replace(PROMISE, run="r0", mixed_utc_ms=mixed_ms)
    return Interrupted((state,), promise, first_cut_ms, first_cut_ms)


def test_a_batch_that_is_gone_on_with_knows_when_it_was_mixed() -> None:
    found = interrupted(NOW_MS - H_MS, NOW_MS - 5 * MIN_MS)

    assert NOW_MS - H_MS == start_of(NOW_MS, BoardRecord(), found, None).mixed_ms
    assert NOW_MS - 2 * H_MS == start_of(NOW_MS, BoardRecord(), found, NOW_MS - 2 * H_MS).mixed_ms


def test_a_dough_is_mixed_before_it_is_cut() -> None:
    found = interrupted(None, NOW_MS - 5 * MIN_MS)
    with pytest.raises(SpecificationError, match="a dough is mixed before it is cut") as said:
        start_of(NOW_MS, BoardRecord(), found, NOW_MS - 4 * MIN_MS)

    assert "--fresh" in said.value.hint


def test_the_clock_of_a_run_begins_no_sooner_than_boards_were_last_heard_of() -> None:
    """A clock that was set back would have pieces rest before they were cut."""
    ahead = BoardRecord(last_s=NOW_MS / 1000 + 30.0)
    start = start_of(NOW_MS, ahead, None, None)

    assert NOW_MS + 30_000 == start.clock_ms
    assert NOW_MS == start_of(NOW_MS, BoardRecord(), None, None).clock_ms
    assert -60.0 == start.station_s(NOW_MS - 60_000)


def test_utc_is_as_good_a_zone_as_any() -> None:
    assert mixed_from("75", NOW) == mixed_from("75", NOW.astimezone(UTC))

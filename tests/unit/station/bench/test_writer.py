"""The thread that writes the journal."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import JournalFullError, SequenceError, WeighstationError
from weighstation.journal import Entry, Kind, Line, codec
from weighstation.station.bench.writer import Writer
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

WAIT_S = 5.0


class Disk(MemoryStore):
    """A store whose disk refuses when told to, and says what was asked of it."""

    def __init__(self) -> None:
        super().__init__(journal_id="ab" * 16, station="bench-1")
        self.full = False
        self.tries = 0
        self.checkpoints = 0
        self.hold = threading.Event()
        self.hold.set()
        self._tried = threading.Condition()

    def wait_for_tries(self, tries: int) -> None:
        with self._tried:
            assert self._tried.wait_for(lambda: self.tries >= tries, WAIT_S)

    def append(self, line: Line) -> Entry:
        assert self.hold.wait(WAIT_S)
        with self._tried:
            self.tries += 1
            self._tried.notify_all()
        if self.full:
            raise JournalFullError("The disk is full.")
        return super().append(line)

    def checkpoint(self) -> None:
        self.checkpoints += 1


class Ear:
    """Hears what the writer says."""

    def __init__(self) -> None:
        self.durable: list[int] = []
        self.refused: list[WeighstationError] = []
        self.resumed = 0
        self._said = threading.Condition()

    def on_durable(self, entry: Entry) -> None:
        with self._said:
            self.durable.append(entry.seq)
            self._said.notify_all()

    def on_refused(self, error: WeighstationError) -> None:
        with self._said:
            self.refused.append(error)
            self._said.notify_all()

    def on_resumed(self) -> None:
        with self._said:
            self.resumed += 1
            self._said.notify_all()

    def wait_for(self, claim: Callable[[], bool]) -> None:
        with self._said:
            assert self._said.wait_for(claim, WAIT_S)


class Desk:
    """A writer with its disk and its ear."""

    def __init__(self, retry_s: float = 60.0) -> None:
        self.disk, self.ear = Disk(), Ear()
        self.writer = Writer(
            self.disk,
            on_refused=self.ear.on_refused,
            on_resumed=self.ear.on_resumed,
            retry_s=retry_s,
        )

    def note(self, about: int) -> None:
        self.writer.submit(Kind.NOTED, codec.noted(about, "note"), about, self.ear.on_durable)


@pytest.fixture
def desk() -> Iterator[Desk]:
    made = Desk()
    yield made
    made.writer.close()


def test_lines_are_acknowledged_in_order_after_they_are_kept(desk: Desk) -> None:
    for about in range(1, 51):
        desk.note(about)
    left = desk.writer.close()

    assert () == left
    assert list(range(1, 51)) == desk.ear.durable
    assert [line.t_utc_ms for line in desk.disk.entries()] == desk.ear.durable


def test_nothing_is_acknowledged_while_the_disk_is_slow_and_submitting_never_waits(
    desk: Desk,
) -> None:
    desk.disk.hold.clear()
    for about in range(1, 1001):
        desk.note(about)

    assert [] == desk.ear.durable
    assert desk.writer.waiting == 1000

    desk.disk.hold.set()
    desk.ear.wait_for(lambda: len(desk.ear.durable) == 1000)


def test_a_full_disk_is_said_once_and_nothing_counts(desk: Desk) -> None:
    desk.disk.full = True
    for about in range(1, 4):
        desk.note(about)
    desk.ear.wait_for(lambda: bool(desk.ear.refused))
    for tries in (2, 3):
        desk.writer.retry()
        desk.disk.wait_for_tries(tries)

    assert [] == desk.ear.durable
    assert desk.writer.waiting == 3
    assert isinstance(desk.writer.refusal, JournalFullError)
    assert 1 == len(desk.ear.refused)


def test_waiting_lines_are_written_in_order_once_there_is_room(desk: Desk) -> None:
    desk.disk.full = True
    for about in range(1, 4):
        desk.note(about)
    desk.ear.wait_for(lambda: bool(desk.ear.refused))
    desk.disk.full = False
    desk.note(4)
    desk.writer.retry()
    desk.ear.wait_for(lambda: len(desk.ear.durable) == 4)

    assert [1, 2, 3, 4] == desk.ear.durable
    assert [1, 2, 3, 4] == [entry.t_utc_ms for entry in desk.disk.entries()]
    assert (1, None) == (desk.ear.resumed, desk.writer.refusal)


def test_the_disk_is_tried_again_without_being_asked() -> None:
    desk = Desk(retry_s=0.01)
    desk.disk.full = True
    desk.note(1)
    desk.disk.wait_for_tries(3)
    desk.disk.full = False
    desk.ear.wait_for(lambda: desk.ear.durable == [1])

    assert () == desk.writer.close()


def test_a_new_line_does_not_hurry_a_full_disk(desk: Desk) -> None:
    """A bench that weighs on must not hammer a disk that refuses."""
    desk.disk.full = True
    desk.note(1)
    desk.ear.wait_for(lambda: bool(desk.ear.refused))
    for about in range(2, 20):
        desk.note(about)

    assert desk.disk.tries == 1


def test_closing_on_a_full_disk_tries_once_more_and_gives_the_lines_back(desk: Desk) -> None:
    desk.disk.full = True
    desk.note(1)
    desk.note(2)
    desk.ear.wait_for(lambda: bool(desk.ear.refused))
    left = desk.writer.close()

    assert [1, 2] == [line.t_utc_ms for line in left]
    assert desk.disk.tries == 2
    assert [] == desk.ear.durable


def test_closing_after_space_was_freed_loses_nothing(desk: Desk) -> None:
    desk.disk.full = True
    desk.note(1)
    desk.note(2)
    desk.ear.wait_for(lambda: bool(desk.ear.refused))
    desk.disk.full = False

    assert () == desk.writer.close()
    assert [1, 2] == desk.ear.durable


def test_a_line_that_cannot_follow_stops_the_writer_loudly(desk: Desk) -> None:
    """Lines after one that was left out would tell another story."""
    desk.note(1)
    desk.writer.submit(Kind.RUN_ENDED, {"run": "r9", "why": "done"}, 2, desk.ear.on_durable)
    desk.note(3)
    desk.ear.wait_for(lambda: bool(desk.ear.refused))
    left = desk.writer.close()

    assert [1] == desk.ear.durable
    assert isinstance(desk.ear.refused[0], SequenceError)
    assert [Kind.RUN_ENDED, Kind.NOTED] == [line.kind for line in left]


def test_a_fault_of_our_own_is_heard_of(desk: Desk) -> None:
    def broken(entry: Entry) -> None:
        raise ZeroDivisionError(entry.seq)

    desk.writer.submit(Kind.NOTED, codec.noted(1, "note"), 1, broken)
    desk.ear.wait_for(lambda: bool(desk.ear.refused))

    assert "ZeroDivisionError" in str(desk.ear.refused[0])


def test_tidying_up_waits_until_no_line_does(desk: Desk) -> None:
    desk.disk.hold.clear()
    desk.note(1)
    desk.writer.checkpoint()

    assert desk.disk.checkpoints == 0

    desk.disk.hold.set()
    desk.writer.close()

    assert (1, 1) == (desk.disk.tries, len(desk.ear.durable))


def test_an_empty_pan_lets_the_store_tidy_up(desk: Desk) -> None:
    desk.note(1)
    desk.writer.checkpoint()
    desk.ear.wait_for(lambda: desk.ear.durable == [1])
    desk.note(2)
    desk.ear.wait_for(lambda: desk.ear.durable == [1, 2])

    assert desk.disk.checkpoints <= 1


def test_a_closed_writer_takes_no_more_lines(desk: Desk) -> None:
    desk.writer.close()

    with pytest.raises(SequenceError, match="closed"):
        desk.note(1)

"""How the batch stands, from durable lines; and the small parts beside it."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from io import StringIO
from typing import Self

import pytest

from weighstation.events import Piece, PieceKept, Verdict
from weighstation.journal import Kind, Line, RunStarted, Why, codec
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.pace import Pace, speed_of
from weighstation.station.bench.silence import STEADY_FRAMES, TICK_S, Silence
from weighstation.station.bench.standing import REMEMBERED, Standing
from weighstation.station.bench.timeline import VirtualTime, WallTime
from weighstation.station.commands.batches.resume import choose, close_open_run, find_interrupted
from weighstation.station.stores import MemoryStore

LIMITS = Limits(740_000, 8_000, 8_000)
LOAF = Product("Country loaf", LIMITS)
HOUR_MS = 3_600_000


def promise(run: str, continues: str = "") -> RunStarted:
    return RunStarted(
        run=run,
        product=LOAF,
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="simulated://",
        software="test",
        continues=continues,
    )


def a_piece(number: int, grams: int = 741) -> PieceKept:
    t_s = 10.0 * number
    return PieceKept(Piece(number, t_s, t_s - 4, grams * 1000, grams * 1000, 0, Verdict.KEEP))


def store_with(began_ms: int, *pieces: PieceKept) -> MemoryStore:
    """Return a store in which a run with these pieces is still open."""
    store = MemoryStore(journal_id="0" * 32, station="bench")
    batch = Batch(promise("r1"), VirtualTime(began_ms))
    for line in batch.start(0.0):
        store.append(line)
    for piece in pieces:
        for line in batch.lines(piece, piece.piece.t_s):
            store.append(line)
    return store


def now_ms() -> int:
    return time.time_ns() // 1_000_000


def test_memory_of_a_long_batch_is_bounded_and_its_totals_are_not() -> None:
    store, standing = store_with(0), Standing()
    for entry in store.entries():
        standing.feed(entry)
    batch = Batch(promise("r1"), VirtualTime())
    batch.started = True
    wanted = REMEMBERED + 50
    for number in range(1, wanted + 1):
        for line in batch.lines(a_piece(number), 10.0 * number):
            standing.feed(store.append(line))

    assert wanted == standing.counted
    assert (wanted, 741_000) == standing.last
    assert REMEMBERED == len(standing._weights_mg)


def test_run_that_was_left_open_is_closed_as_interrupted_and_found() -> None:
    store = store_with(now_ms() - 60_000, a_piece(1), a_piece(2, 739))
    close_open_run(store)
    close_open_run(store)
    found = find_interrupted(store)

    assert found is not None
    assert "interrupted" == store.runs()[0].ended
    assert (2, 3) == (found.pieces, found.next_number)
    assert found.first_cut_ms == pytest.approx(now_ms() - 60_000 + 6_000, abs=2_000)
    assert 2 == found.standing(store).counted
    assert (2, 739_000) == found.standing(store).last


def test_run_in_which_nothing_was_weighed_is_nothing_to_go_on_with() -> None:
    store = store_with(now_ms())
    close_open_run(store)

    assert find_interrupted(store) is None


def test_batch_that_came_to_its_end_is_nothing_to_go_on_with() -> None:
    store = store_with(now_ms(), a_piece(1))
    store.append(Line(Kind.RUN_ENDED, codec.run_ended("r1", Why.DONE), now_ms()))

    assert find_interrupted(store) is None


@pytest.mark.parametrize(("age_h", "goes_on"), [(0, True), (11, True), (13, False)])
def test_where_nobody_can_be_asked_only_a_young_batch_is_gone_on_with(
    age_h: int, *, goes_on: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO())
    store = store_with(now_ms() - age_h * HOUR_MS - 60_000, a_piece(1))
    close_open_run(store)
    chosen = choose(find_interrupted(store), LOAF, Way.SINGLE, resume=None)

    assert goes_on == (chosen is not None)


class Pressed:
    """A keyboard on which keys are pressed one after another until it hangs up."""

    def __init__(self, keys: str) -> None:
        self._keys = list(keys)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    @property
    def is_open(self) -> bool:
        return bool(self._keys)

    def read(self, timeout_s: float) -> str:
        del timeout_s
        return self._keys.pop(0)


@pytest.mark.parametrize(
    ("keys", "goes_on"),
    [
        *(("b", True), (" ", True), ("y", True), ("Y", True), ("\n", True), ("", True)),
        *(("e", False), ("E", False), ("n", False), ("xxn", False)),
    ],
)
def test_one_key_answers_whether_to_go_on(
    keys: str, *, goes_on: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "weighstation.station.commands.batches.resume.open_keyboard", lambda: Pressed(keys)
    )
    store = store_with(now_ms() - 60_000, a_piece(1))
    close_open_run(store)
    chosen = choose(find_interrupted(store), LOAF, Way.SINGLE, resume=None)

    assert goes_on == (chosen is not None)


def test_another_batch_that_was_interrupted_is_named_in_one_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    store = store_with(now_ms(), a_piece(1))
    close_open_run(store)
    other = Product("Country loaf", Limits(740_000, 5_000, 5_000))
    found = find_interrupted(store)
    choose(found, other, Way.SINGLE, resume=None)
    said = capsys.readouterr().err
    choose(found, other, Way.SINGLE, resume=False)

    assert 1 == said.count("\n")
    assert said.startswith("The batch of Country loaf (keep 732 to 748 g) was interrupted after")
    assert said.endswith("and is left as it is: this is another batch.\n")
    assert "" == capsys.readouterr().err


def test_batch_with_other_limits_or_another_way_is_not_the_same() -> None:
    store = store_with(now_ms(), a_piece(1))
    close_open_run(store)
    found = find_interrupted(store)
    other = Product("Country loaf", Limits(740_000, 5_000, 5_000))

    assert found is not None
    assert found.is_for(LOAF, Way.SINGLE)
    assert not found.is_for(other, Way.SINGLE)
    assert not found.is_for(LOAF, Way.BUILD_UP)
    assert choose(found, other, Way.SINGLE, resume=None) is None


@pytest.mark.parametrize("wait_s", [0.05, 0.1, 0.5, 1.0])
def test_a_missed_reading_is_told_once_within_a_second_and_until_something_comes(
    wait_s: float,
) -> None:
    silence = Silence()
    for place in range(STEADY_FRAMES + 1):
        silence.heard(place * wait_s, place)
    expected_s = (STEADY_FRAMES + 1) * wait_s
    times_s = [expected_s - wait_s + TICK_S * tick for tick in range(1, 20)]
    told_s = [now_s for now_s in times_s if silence.tick(now_s)]
    silent = silence.is_silent
    silence.heard(times_s[-1], STEADY_FRAMES + 1)

    assert 1 == len(told_s)
    assert expected_s < told_s[0] <= expected_s + 1.0
    assert silent
    assert not silence.is_silent


def test_recording_that_does_not_say_when_began_in_1970() -> None:
    began = datetime(2026, 3, 2, 4, 10, tzinfo=UTC)

    assert 7_900 == VirtualTime.since(None).utc_ms(7.9, 9.0)
    # date -u -d '2026-03-02 04:10:00' +%s gives 1772424600
    assert 1_772_424_600_000 + 7_900 == VirtualTime.since(began).utc_ms(7.9, 9.0)


def test_wall_time_goes_back_by_how_long_ago_it_was() -> None:
    assert now_ms() - 1_500 == pytest.approx(WallTime().utc_ms(7.0, 8.5), abs=500)


@pytest.mark.parametrize(
    ("url", "speed"),
    [
        ("serial:///dev/ttyUSB0", 1.0),
        ("COM3", 1.0),
        ("simulated://?seed=1", 1.0),
        ("simulated://?speed=20", 20.0),
        ("replay://morning.jsonl?speed=0.5", 0.5),
        ("replay://morning.jsonl?speed=max", float("inf")),
    ],
)
def test_clock_of_a_port_runs_as_fast_as_its_url_says(url: str, speed: float) -> None:
    assert speed == speed_of(url)


def test_wall_time_of_a_fast_port_goes_back_by_less() -> None:
    assert now_ms() - 500 == pytest.approx(WallTime(4.0).utc_ms(7.0, 9.0), abs=250)
    assert now_ms() == pytest.approx(WallTime(float("inf")).utc_ms(7.0, 9.0), abs=250)


@pytest.mark.parametrize(("speed", "later_s"), [(1.0, 12.0), (4.0, 18.0), (float("inf"), 10.0)])
def test_clock_of_a_port_goes_on_while_it_says_nothing(speed: float, later_s: float) -> None:
    pace = Pace(speed)
    never = pace.now_s(100.0)
    pace.heard(10.0, 100.0)

    assert 0.0 == never
    assert later_s == pace.now_s(102.0)


def test_clock_of_a_scale_that_never_spoke_runs_from_the_start() -> None:
    """Boards of an earlier batch rest on while the scale is still off."""
    pace = Pace(1.0, began_s=100.0)

    assert 7.0 == pace.now_s(107.0)


def test_no_line_of_a_batch_is_older_than_the_one_before() -> None:
    """Of a piece that was lifted it is known only later that it counts."""
    batch = Batch(promise("r1"), VirtualTime())
    lines = batch.start(20.0)
    lines += batch.lines(a_piece(1), 25.0)
    lines += batch.lines(a_piece(3), 31.0)

    assert [20_000, 20_000, 30_000] == [line.t_utc_ms for line in lines]


def test_a_clock_that_was_set_back_is_on_the_record(monkeypatch: pytest.MonkeyPatch) -> None:
    moments_s = iter([5000, 1400, 1400])
    monkeypatch.setattr("time.time_ns", lambda: next(moments_s) * 10**9)
    batch = Batch(promise("r1"), WallTime())
    lines = [*batch.start(20.0), *batch.lines(a_piece(2), 20.0)]

    assert [5_000_000, 1_400_000] == [line.t_utc_ms for line in lines]

"""Baked loaves at the bench, message by message, without a thread."""

from __future__ import annotations

from dataclasses import replace

import pytest
from desk import Desk, Hand

from weighstation.errors import JournalFullError
from weighstation.evaluate import LoafCounter, Marks
from weighstation.events import Loaf
from weighstation.journal import Kind, Loaves, read_baked, read_body
from weighstation.station.bench.keys import Control
from weighstation.station.bench.left_pan import SHOWN_S
from weighstation.station.bench.loaf_bench import LoafPlan
from weighstation.station.bench.loaf_lines import LoafPromise
from weighstation.station.bench.loaf_session import (
    TYPED_S,
    LoafSession,
    LoafSessionPlan,
)
from weighstation.station.bench.messages import (
    LinkBack,
    LinkLost,
    LoafMessage,
    PortEnded,
    Refused,
    Resumed,
    Stop,
    StrikeOut,
    Typed,
)
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.timeline import VirtualTime

RAW_MG = dict.fromkeys(range(1, 13), 740000)
PROMISE = LoafPromise("r1", "Rye", "simulated://?seed=1", "simulated://", "test", 650_000, 50.0)
PLAN = LoafSessionPlan(LoafPlan(740_000, 650_000), PROMISE, "Rye")


class Sitting:
    """A session with its desk, its store, and a scale that is played by hand."""

    def __init__(self, plan: LoafSessionPlan = PLAN, *, order: tuple[int, ...] = ()) -> None:
        self.desk = Desk()
        self.store = self.desk.store
        counter = LoafCounter(RAW_MG, Marks(RAW_MG, order=order))
        self.session = LoafSession(plan, counter, Loaves(), VirtualTime(), self.desk)
        hand = Hand(self.session.take)
        self.hand, self.play, self.wait = hand, hand.play, hand.wait
        self.said = self.desk.events

    def loaf(self, grams: float) -> None:
        """Lift it off through its half: what springs to zero at once is a tray that is tared."""
        self.play(0, times=15)
        self.play(grams, times=15)
        self.play(grams / 2)
        self.play(0, times=15)

    def type(self, chars: str) -> None:
        for char in chars:
            self.session.take(Typed(char))

    def commit(self) -> None:
        for durable in self.desk.committed():
            self.session.take(durable)


def test_a_loaf_shows_at_once_and_counts_only_after_its_commit() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    before, early = sitting.session.snapshot, sitting.said("loaf")
    sitting.commit()
    after = sitting.session.snapshot

    assert [("on_pan", 652.0, True)] == [
        (event["event"], event["grams"], event["firm"])
        for event in sitting.said("on_pan")
        if event["firm"]
    ]
    assert [] == early
    assert (0, None, 1) == (before.counted, before.last_number, before.known_number)
    assert (1, 1, 652_000, 652_000) == (
        after.counted,
        after.last_number,
        after.last_mg,
        after.mean_mg,
    )
    assert 1 == len(sitting.said("loaf"))


def test_its_line_says_product_batch_scale_and_minutes_since_the_oven() -> None:
    sitting = Sitting(order=(12,))
    sitting.loaf(652)
    ((line, _),) = sitting.desk.waiting
    loaf = read_baked(line.body)
    sitting.commit()
    (said,) = sitting.said("loaf")
    out_min = 50 + said["t"] / 60

    assert Kind.BAKED is line.kind
    assert ("r1", "Rye", 1, 652_000, 12, 650_000, 1000, "simulated://") == (
        *(loaf.batch, loaf.product, loaf.number, loaf.baked_mg, loaf.piece),
        *(loaf.declared_mg, loaf.division_mg, loaf.scale_identity),
    )
    assert out_min * 60_000 == pytest.approx(loaf.out_of_oven_ms, abs=10)
    assert out_min == pytest.approx(said["minutes"], abs=0.01)
    assert 740.0 == said["raw_grams"]
    assert 1 - 652 / 740 == pytest.approx(said["loss"], abs=1e-5)
    assert round(said["t"] * 1000) == pytest.approx(line.t_utc_ms, abs=1)


def test_without_a_time_of_the_oven_nothing_is_said_of_it() -> None:
    promise = replace(PROMISE, out_of_oven_min=None)
    sitting = Sitting(replace(PLAN, promise=promise))
    sitting.loaf(652)
    loaf = read_baked(sitting.desk.waiting[0][0].body)
    sitting.commit()

    assert loaf.out_of_oven_ms is None
    assert sitting.said("loaf")[0]["minutes"] is None
    assert sitting.session.snapshot.out_of_oven_min is None


def test_scenes_follow_the_pan() -> None:
    sitting = Sitting()
    scenes = [sitting.session.snapshot.scene]
    for indicated, times in ((0, 15), (300, 1), (652, 15), (0, 5), (0, round(SHOWN_S * 10) + 2)):
        sitting.play(indicated, times=times)
        scenes.append(sitting.session.snapshot.scene)
        if times == 5:
            shown = sitting.session.snapshot.shown

    assert [
        *(Scene.NO_SCALE_YET, Scene.EMPTY, Scene.MOVING),
        *(Scene.CUED, Scene.EMPTY, Scene.EMPTY),
    ] == scenes
    assert shown is not None
    assert sitting.session.snapshot.shown is None
    assert sitting.desk.tidied >= 1


def test_the_next_loaf_is_not_shown_as_the_one_that_left() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    sitting.play(300)

    assert (Scene.MOVING, None) == (
        sitting.session.snapshot.scene,
        sitting.session.snapshot.shown,
    )


def test_something_that_lies_there_from_before_is_said() -> None:
    sitting = Sitting()
    sitting.play(652, times=15)

    assert (Scene.LADEN, 652_000) == (
        sitting.session.snapshot.scene,
        sitting.session.snapshot.lain_mg,
    )


def test_mean_and_spread_are_of_the_loaves_that_count() -> None:
    """650, 653, 656: mean 653, spread 3."""
    sitting = Sitting()
    for grams in (650, 653, 656):
        sitting.loaf(grams)
    sitting.commit()

    assert (653_000, 3_000) == (sitting.session.snapshot.mean_mg, sitting.session.snapshot.sd_mg)


def test_a_load_that_is_asked_about_is_said_and_not_written() -> None:
    sitting = Sitting()
    sitting.loaf(200)
    (asked,) = sitting.said("not_counted")

    assert [] == sitting.desk.waiting
    assert ("light", 200.0) == (asked["why"], asked["grams"])
    assert asked["text"] == sitting.session.snapshot.notice
    assert "200 g is less than a third of the lightest piece (740 g as dough)." in asked["text"]
    assert asked["text"].endswith("it counts if it weighs the same.")


def test_put_on_again_it_is_written() -> None:
    sitting = Sitting()
    sitting.loaf(200)
    sitting.loaf(200)

    assert 1 == len(sitting.desk.waiting)
    assert "" == sitting.session.snapshot.notice


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ((), "800 g is not less than the heaviest piece (740 g as dough)"),
        ((3,), "800 g is not less than piece 3 (740 g as dough): say which piece it was"),
    ],
)
def test_a_loaf_heavier_than_its_dough_is_refused(order: tuple[int, ...], said: str) -> None:
    sitting = Sitting(order=order)
    sitting.loaf(800)
    sitting.loaf(800)

    assert [] == sitting.desk.waiting
    assert said in sitting.session.snapshot.notice


def test_the_last_loaf_is_struck_out_by_a_line_of_its_own() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    sitting.loaf(655)
    sitting.commit()
    sitting.session.take(StrikeOut(2))
    sitting.commit()
    after = sitting.session.snapshot
    loaves = Loaves()
    for entry in sitting.store.entries():
        loaves.feed(entry)

    assert [("r1", 1)] == list(loaves.counted)
    assert {("r1", 2): "struck out at the bench"} == loaves.struck_out
    assert (1, 1, "Loaf 2 (655 g) is struck out.") == (
        after.counted,
        after.last_number,
        after.notice,
    )
    assert [2] == [event["number"] for event in sitting.said("voided")]


def test_only_the_loaf_that_was_named_is_struck_out() -> None:
    sitting = Sitting()
    sitting.session.take(StrikeOut(1))
    none = sitting.session.snapshot.notice
    sitting.loaf(652)
    sitting.loaf(655)
    sitting.session.take(StrikeOut(1))

    assert "No loaf can be struck out." == none
    assert "Loaf 2 is counted now: press V again to strike out that." == (
        sitting.session.snapshot.notice
    )
    assert 2 == len(sitting.desk.waiting)


def test_loaves_of_an_earlier_sitting_go_on_being_counted() -> None:
    first = Sitting()
    first.loaf(650)
    first.commit()
    before = Loaves()
    for entry in first.store.entries():
        before.feed(entry)
    counter = LoafCounter(RAW_MG, Marks(RAW_MG), (Loaf(1, 0.0, 650_000),), next_number=2)
    session = LoafSession(PLAN, counter, before, VirtualTime(), Desk())
    started = session.snapshot
    session.take(StrikeOut(1))

    assert (1, 650_000, 1) == (started.counted, started.mean_mg, started.known_number)
    assert session.snapshot.known_number is None


def test_digits_say_which_piece_the_next_loaf_is() -> None:
    sitting = Sitting(order=(1, 2))
    sitting.type("12")
    typed, piece = sitting.session.snapshot.typed, sitting.session.snapshot.piece
    sitting.loaf(652)
    sitting.loaf(655)
    pieces = [read_baked(line.body).piece for line, _ in sitting.desk.waiting]

    assert ("12", 12) == (typed, piece)
    assert [12, 1] == pieces
    assert "" == sitting.session.snapshot.typed


def test_a_piece_that_is_none_or_marked_already_is_said() -> None:
    sitting = Sitting()
    sitting.type("99")
    none = sitting.session.snapshot
    sitting.type("\r7")
    sitting.loaf(652)
    sitting.type("7")
    twice = sitting.session.snapshot

    assert none.notice.startswith("There is no piece 99 that counts in this batch.")
    assert none.piece is None
    assert twice.notice.startswith("Piece 7 is marked already: it was loaf 1.")


def test_a_number_begins_anew_after_a_line_end_and_after_a_while() -> None:
    sitting = Sitting()
    sitting.play(0, times=15)
    sitting.type("1\r2")
    after_end = sitting.session.snapshot.typed
    sitting.play(0, times=round(TYPED_S * 10) + 2)
    sitting.type("5")

    assert ("2", "5") == (after_end, sitting.session.snapshot.typed)


def test_a_silent_scale_is_said_and_the_load_weighed_anew() -> None:
    sitting = Sitting()
    sitting.play(0, times=30)
    sitting.play(652, times=15)
    sitting.wait(3.0)
    lost = sitting.session.snapshot
    sitting.play(652, times=15)
    back = sitting.session.snapshot
    sitting.play(0, times=15)
    sitting.commit()

    assert (Scene.SCALE_LOST, "Nothing comes from the scale. Check its cable and power.") == (
        lost.scene,
        lost.alarm,
    )
    assert "" == back.alarm
    assert 1 == sitting.session.snapshot.counted


def test_a_lost_link_is_said_until_it_is_back() -> None:
    sitting = Sitting()
    sitting.play(0, times=15)
    sitting.session.take(LinkLost("The link was lost."))
    lost = sitting.session.snapshot.alarm
    sitting.session.take(LinkBack(4.0))

    assert ("The link was lost.", "") == (lost, sitting.session.snapshot.alarm)
    assert sitting.session.snapshot.notice.startswith("The scale is back")


def gaps(sitting: Sitting) -> list[dict[str, object]]:
    sitting.commit()
    return [
        {key: read_body(entry.body).get(key) for key in ("batch", "run", "why", "ms")}
        for entry in sitting.store.entries()
        if entry.kind is Kind.GAP
    ]


def gap(why: str, ms: int) -> dict[str, object]:
    """Return a gap of the batch; it belongs to no run, because that is long over."""
    return {"batch": "r1", "run": None, "why": why, "ms": ms}


def test_a_lost_link_is_written_down_when_it_is_back() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    sitting.session.take(LinkLost("The link was lost."))
    early = gaps(sitting)
    sitting.session.take(LinkBack(4.0))
    sitting.loaf(648)

    assert [] == early
    assert [gap("the link to the scale was lost", 4_000)] == gaps(sitting)
    assert 2 == sitting.session.snapshot.counted


def test_a_loaf_that_lay_there_when_the_link_was_lost_is_said_to_have() -> None:
    sitting = Sitting()
    sitting.play(*[0] * 15, *[652] * 15)
    sitting.session.take(LinkLost("The link was lost."))
    sitting.session.take(LinkBack(4.0))

    assert [gap("the link to the scale was lost; a load lay on the pan unseen", 4_000)] == gaps(
        sitting
    )


def test_a_scale_that_fell_silent_is_written_down_when_it_speaks_again() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    sitting.hand.t_s += 10
    sitting.play(0, times=5)

    assert [gap("nothing came from the scale", 10_100)] == gaps(sitting)


def test_ending_while_the_link_is_lost_writes_the_gap() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    sitting.session.take(LinkLost("The link was lost."))
    sitting.wait(5.0)
    sitting.session.take(Control.END)
    (found,) = gaps(sitting)

    assert ("the link to the scale was lost", "r1") == (found["why"], found["batch"])
    assert sitting.session.done


def test_a_disk_that_refuses_stops_the_counting_and_loses_nothing() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    sitting.session.take(Refused(JournalFullError("The disk is full.")))
    alarm = sitting.session.snapshot.alarm
    sitting.session.take(Resumed())
    sitting.commit()

    assert "Until then no loaf is counted: 1 loaf waits for the disk" in alarm
    assert 1 == sitting.session.snapshot.counted
    assert "The disk takes lines again: 1 loaf that waited was written." == (
        sitting.session.snapshot.notice
    )


def test_it_ends_by_a_key_with_the_port_or_with_the_last_of_those_wanted() -> None:
    ends = []
    ways: tuple[LoafMessage, ...] = (Control.END, PortEnded(), Stop())
    for message in ways:
        sitting = Sitting()
        sitting.loaf(652)
        sitting.session.take(message)
        ends.append(sitting.session.done)
        sitting.commit()
        ends.append(sitting.session.done)
    planned = Sitting(replace(PLAN, planned=1, ends_at_planned=True))
    planned.loaf(652)
    early = planned.session.done
    planned.commit()

    assert [False, True] * 3 == ends
    assert (False, True) == (early, planned.session.done)


def test_with_keys_it_is_said_that_all_are_counted() -> None:
    sitting = Sitting(replace(PLAN, planned=1))
    sitting.loaf(652)
    sitting.commit()

    assert not sitting.session.done
    assert "1 loaf is counted: press E twice to end." == sitting.session.snapshot.notice


def test_no_line_is_dated_before_the_one_before_it() -> None:
    sitting = Sitting()
    sitting.loaf(652)
    sitting.loaf(655)
    sitting.session.take(StrikeOut(2))
    times = [line.t_utc_ms for line, _ in sitting.desk.waiting]

    assert sorted(times) == times

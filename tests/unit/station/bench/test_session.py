"""One batch at the bench, message by message, without a thread."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest
from desk import Desk, Hand

from weighstation.errors import JournalFullError
from weighstation.events import PieceKept
from weighstation.journal import Kind, RunStarted
from weighstation.plan import BoardRecord
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.keeper import ClockPlan, opening_lines
from weighstation.station.bench.keys import Control, OfBatch
from weighstation.station.bench.left_pan import SHOWN_S
from weighstation.station.bench.loop import BenchPlan
from weighstation.station.bench.messages import (
    BoardAsked,
    LinkBack,
    LinkLost,
    PortEnded,
    Refused,
    Resumed,
    Stop,
    StrikeOut,
    Tick,
)
from weighstation.station.bench.offer import DoughToDivide
from weighstation.station.bench.session import Session
from weighstation.station.bench.session_plan import SessionPlan
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.timeline import VirtualTime
from weighstation.station.bench.wording import armed_sentences
from weighstation.station.showing.facts import dough
from weighstation.station.showing.told import told

LIMITS = Limits(740_000, 8_000, 8_000)
PROMISE = RunStarted(
    run="r1",
    product=Product("Country loaf", LIMITS),
    way=Way.SINGLE,
    lifted=LiftedPolicy.GUESS,
    scale="simulated://",
    software="test",
)


class Sitting:
    """A session with its desk, its store, and a scale that is played by hand."""

    def __init__(
        self,
        planned: int | None = None,
        *,
        ends_at_planned: bool = False,
        places: int | None = None,
        dough: DoughToDivide | None = None,
    ) -> None:
        self.desk = Desk()
        self.store = self.desk.store
        product = replace(PROMISE.product, board_places=places)
        promise = replace(PROMISE, product=product, clock_utc_ms=0)
        opening = opening_lines(BoardRecord(), promise.run, places=places, goes_on=False)
        clocks = ClockPlan(opening=opening)
        plan = SessionPlan(
            *(BenchPlan(LIMITS), "Country loaf", planned, ends_at_planned),
            clocks=clocks,
            dough=dough,
        )
        batch = Batch(promise, VirtualTime(), opening=opening)
        self.session = Session(plan, batch, Standing(), self.desk)
        self.hand = Hand(self.session.take)
        self.play, self.wait = self.hand.play, self.hand.wait
        self.said = self.desk.events

    def piece(self, grams: int) -> None:
        self.play(0, times=15)
        self.play(grams, times=15)
        self.play(0, times=15)

    def commit(self) -> None:
        for durable in self.desk.committed():
            self.session.take(durable)


def test_cue_shows_at_once_and_the_piece_only_after_its_commit() -> None:
    sitting = Sitting()
    sitting.piece(741)
    before = sitting.session.snapshot
    cued, counted_early = sitting.said("cue"), sitting.said("piece")
    sitting.commit()
    after = sitting.session.snapshot

    assert cued
    assert [] == counted_early
    assert (0, None) == (before.counted, before.last_number)
    assert (1, 1, 741_000) == (after.counted, after.last_number, after.last_mg)
    assert 1 == len(sitting.said("piece"))
    assert 741_000 == after.kept_mean_mg


def test_run_starts_with_the_division_that_was_learned() -> None:
    sitting = Sitting()
    sitting.play(0, times=3)
    before = list(sitting.desk.waiting)
    sitting.piece(741)
    kinds = [line.kind for line, _ in sitting.desk.waiting]

    assert [] == before
    assert [Kind.RUN_STARTED, Kind.PIECE_KEPT] == kinds
    assert 1000 == sitting.desk.waiting[0][0].body["division_mg"]


def test_scenes_follow_the_pan() -> None:
    sitting = Sitting()
    scenes = [sitting.session.snapshot.scene]
    sitting.play(0, times=15)
    scenes.append(sitting.session.snapshot.scene)
    sitting.play(300)
    scenes.append(sitting.session.snapshot.scene)
    sitting.play(741, times=15)
    scenes.append(sitting.session.snapshot.scene)
    sitting.play(0, times=5)
    scenes.append(sitting.session.snapshot.scene)
    sitting.play(0, times=round(SHOWN_S * 10) + 2)
    scenes.append(sitting.session.snapshot.scene)

    assert [
        *(Scene.NO_SCALE_YET, Scene.EMPTY, Scene.MOVING),
        *(Scene.CUED, Scene.EMPTY, Scene.EMPTY),
    ] == scenes
    assert sitting.session.snapshot.cue is None


def test_a_firm_cue_is_stale_as_soon_as_the_pan_moves() -> None:
    """A hand that trims, or lifts the piece, has read it."""
    sitting = Sitting()
    sitting.play(*[0] * 15, *[765] * 15)
    rested = sitting.session.snapshot
    sitting.play(790)
    touched = sitting.session.snapshot
    sitting.play(*[744] * 15, 300)
    lifting = sitting.session.snapshot
    sitting.play(*[0] * 6)
    gone = sitting.session.snapshot

    assert [Scene.CUED, Scene.MOVING, Scene.MOVING, Scene.EMPTY] == [
        picture.scene for picture in (rested, touched, lifting, gone)
    ]
    assert [("trim", True), None, None, None] == [
        cue and (cue.verdict.value, cue.firm) for cue in map(told, (rested, touched, lifting, gone))
    ]
    assert gone.cue is not None
    assert 744_000 == gone.cue.net_mg


def test_a_struck_out_piece_is_named() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.piece(746)
    sitting.commit()
    sitting.session.take(StrikeOut(sitting.session.snapshot.known_number or 0))
    asked = sitting.session.snapshot.notice
    sitting.commit()

    assert "" == asked
    assert "Piece 2 (746 g) is struck out." == sitting.session.snapshot.notice
    assert 1 == sitting.session.snapshot.counted


def test_cue_of_the_piece_before_is_gone_when_the_next_one_comes() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.play(250)

    assert Scene.MOVING is sitting.session.snapshot.scene


def test_a_load_and_its_first_weight_in_one_arrival_are_cued() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.hand.burst(250, *[750] * 12)
    cue = sitting.session.snapshot.cue

    assert cue is not None
    assert (2, 750_000) == (cue.piece, cue.net_mg)


def test_the_store_may_tidy_up_once_each_time_the_pan_gets_empty() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.piece(739)

    assert 3 == sitting.desk.tidied


def test_lost_link_is_shown_and_written_down_as_a_gap() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(LinkLost("The link was lost."))
    lost = sitting.session.snapshot
    sitting.session.take(LinkBack(3.25))
    back = sitting.session.snapshot
    sitting.commit()
    gaps = [entry for entry in sitting.store.entries() if entry.kind is Kind.GAP]

    assert (Scene.SCALE_LOST, "The link was lost.") == (lost.scene, lost.alarm)
    assert "" == back.alarm
    assert "weighed anew" in back.notice
    assert 1 == len(gaps)
    assert '"ms":3250' in gaps[0].body


def test_a_link_that_is_back_without_a_reading_is_a_lost_scale_until_it_speaks() -> None:
    """An adapter may be plugged in again while the scale behind it is still off."""
    sitting = Sitting()
    sitting.play(0, times=30)
    sitting.session.take(LinkLost("The link was lost."))
    sitting.wait(3.0)
    sitting.session.take(LinkBack(3.0))
    back = sitting.session.snapshot
    sitting.wait(1.2)
    silent = sitting.session.snapshot
    sitting.play(0)

    assert Scene.SCALE_LOST is not back.scene
    assert Scene.SCALE_LOST is silent.scene
    assert "Nothing comes from the scale. Check its cable and power." == silent.alarm
    assert Scene.SCALE_LOST is not sitting.session.snapshot.scene


def test_silence_of_a_steady_scale_is_a_lost_scale_until_it_speaks() -> None:
    sitting = Sitting()
    sitting.play(0, times=30)
    sitting.wait(0.6)
    waiting = sitting.session.snapshot
    sitting.wait(0.4)
    silent = sitting.session.snapshot
    sitting.play(0)

    assert Scene.SCALE_LOST is not waiting.scene
    assert Scene.SCALE_LOST is silent.scene
    assert Scene.SCALE_LOST is not sitting.session.snapshot.scene
    assert not [line for line, _ in sitting.desk.waiting if line.kind is Kind.GAP]


def test_long_silence_is_a_gap() -> None:
    sitting = Sitting()
    sitting.play(0, times=30)
    sitting.wait(3.0)
    sitting.play(0)

    assert [Kind.GAP] == [
        line.kind for line, _ in sitting.desk.waiting if line.kind is not Kind.RUN_STARTED
    ]


def test_scale_that_speaks_only_now_and_then_is_never_called_silent() -> None:
    sitting = Sitting()
    for _ in range(40):
        sitting.play(0)
        sitting.wait(1.8)
    sitting.wait(20.0)

    assert Scene.SCALE_LOST is not sitting.session.snapshot.scene


def test_refusing_disk_is_an_alarm_and_cues_go_on() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Refused(JournalFullError("The disk is full.", hint="Free some space.")))
    sitting.play(0, times=15)
    sitting.play(760, times=15)
    snapshot = sitting.session.snapshot

    assert snapshot.alarm.startswith("The disk is full. Free some space.")
    assert "no piece is counted" in snapshot.alarm
    assert 0 == snapshot.counted
    assert snapshot.cue is not None
    assert 760_000 == snapshot.cue.net_mg

    sitting.session.take(Resumed())
    sitting.commit()

    assert "" == sitting.session.snapshot.alarm
    assert 1 == sitting.session.snapshot.counted


def test_end_waits_for_every_line_to_be_written() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.END)
    waiting = sitting.session.done
    sitting.commit()

    assert not waiting
    assert sitting.session.done
    assert Kind.RUN_ENDED is list(sitting.store.entries())[-1].kind


def test_end_does_not_wait_for_a_disk_that_refuses() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Refused(JournalFullError("The disk is full.")))
    sitting.session.take(Control.END)

    assert sitting.session.done


def test_stopping_leaves_the_run_open() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.commit()
    sitting.session.take(Stop())

    assert sitting.session.done
    assert sitting.store.open_run() is not None


def test_port_that_has_ended_ends_the_batch() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(PortEnded())
    sitting.commit()

    assert sitting.session.done
    assert "done" == sitting.store.runs()[0].ended


@pytest.mark.parametrize(("ends", "done"), [(True, True), (False, False)])
def test_last_piece_planned_ends_the_batch_only_where_no_key_can(*, ends: bool, done: bool) -> None:
    sitting = Sitting(planned=1, ends_at_planned=ends)
    sitting.piece(741)
    sitting.commit()
    sitting.commit()

    assert done == sitting.session.done
    assert ends or "press E twice" in sitting.session.snapshot.notice


def test_lifted_piece_is_noted_and_can_be_turned_and_struck_out() -> None:
    sitting = Sitting()
    sitting.piece(760)
    sitting.commit()
    note = sitting.session.snapshot.lifted
    sitting.session.take(Control.TURN)
    sitting.commit()
    turned = sitting.session.snapshot
    sitting.session.take(StrikeOut(sitting.session.snapshot.known_number or 0))
    sitting.commit()
    voided = sitting.session.snapshot

    assert note is not None
    assert (1, 20_000, None) == (note.number, note.error_mg, note.took_for)
    assert (1, 1, 760_000) == (turned.counted, turned.out_of_band, turned.last_mg)
    assert (0, None) == (voided.counted, voided.last_number)
    assert 1 == len(sitting.said("lifted"))
    assert 1 == len(sitting.said("turned"))
    assert 1 == len(sitting.said("voided"))


def test_key_with_nothing_to_do_says_so() -> None:
    sitting = Sitting()
    sitting.play(0, times=15)
    sitting.session.take(StrikeOut(sitting.session.snapshot.known_number or 0))
    void = sitting.session.snapshot.notice
    sitting.session.take(Control.TURN)

    assert "No piece can be struck out." == void
    assert "No lifted piece is open." == sitting.session.snapshot.notice


def test_two_pieces_that_leave_together_are_on_record_and_do_not_count() -> None:
    sitting = Sitting()
    sitting.play(*[0] * 15, 900, *[1480] * 15, 600, *[0] * 15)  # all at once would be a tare key
    notice = sitting.session.snapshot.notice
    sitting.commit()
    pile = sitting.session.snapshot
    sitting.piece(741)
    sitting.commit()

    assert "one_at_a_time" == sitting.said("cue")[0]["verdict"]
    assert "Two pieces left together and were not counted: weigh them one at a time." == notice
    assert [1] == [event["number"] for event in sitting.said("lifted")]
    assert (0, None) == (pile.counted, pile.lifted)
    assert [Kind.RUN_STARTED, Kind.PIECE_LIFTED, Kind.PIECE_KEPT] == [
        entry.kind for entry in sitting.store.entries()
    ]
    assert [1] == [piece.number for piece in sitting.store.pieces("r1")]
    assert (1, "") == (sitting.session.snapshot.counted, sitting.session.snapshot.notice)


def test_pause_passes_readings_over() -> None:
    sitting = Sitting()
    sitting.play(0, times=15)
    sitting.session.take(Control.PAUSE)
    sitting.piece(741)
    paused = sitting.session.snapshot
    sitting.session.take(Control.PAUSE)
    sitting.piece(738)
    sitting.commit()

    assert Scene.PAUSED is paused.scene
    assert [738_000] == [piece.final_mg for piece in sitting.store.pieces("r1")]


def test_spread_shown_is_that_of_first_cuts() -> None:
    sitting = Sitting()
    for first, final in ((760, 741), (720, 739)):
        sitting.play(0, times=15)
        sitting.play(first, times=15)
        sitting.play(first + 60, first + 25, first - 30)  # a hand at work
        sitting.play(final, times=15)
        sitting.play(0, times=15)
    sitting.commit()
    snapshot = sitting.session.snapshot

    # two values 40 apart: sd = 40 / sqrt(2)
    assert 28_284.27 == pytest.approx(snapshot.first_sd_mg, abs=0.01)
    assert 740_000 == snapshot.kept_mean_mg


def test_outcomes_keep_their_order_in_the_journal() -> None:
    sitting = Sitting()
    for grams in (741, 760, 742):
        sitting.piece(grams)
    sitting.session.take(Control.END)
    sitting.commit()
    numbers = [
        outcome.piece.number
        for _, outcome in sitting.desk.waiting
        if isinstance(outcome, PieceKept)
    ]

    assert sorted(numbers) == numbers
    assert sitting.store.verify().seq == sitting.store.head().seq


def gaps(sitting: Sitting) -> list[tuple[object, object]]:
    bodies = [line.body for line, _ in sitting.desk.waiting if line.kind is Kind.GAP]
    return [(body["why"], body["ms"]) for body in bodies]


def test_a_pause_is_written_down_when_weighing_goes_on() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.PAUSE)
    sitting.play(0, times=50)
    early = gaps(sitting)
    sitting.session.take(Control.PAUSE)

    assert [] == early
    assert [("paused", 5_000)] == gaps(sitting)


def test_a_gap_says_that_a_load_lay_on_the_pan_unseen() -> None:
    sitting = Sitting()
    sitting.play(*[0] * 15, *[741] * 15)
    sitting.session.take(Control.PAUSE)
    sitting.play(0, times=10)
    sitting.session.take(Control.PAUSE)

    assert [("paused; a load lay on the pan unseen", 1_000)] == gaps(sitting)


def test_a_link_that_comes_back_does_not_end_a_pause() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.PAUSE)
    sitting.session.take(LinkLost("The link was lost."))
    sitting.session.take(LinkBack(3.0))

    assert Scene.PAUSED is sitting.session.snapshot.scene
    assert [] == gaps(sitting)


@pytest.mark.parametrize(
    ("before", "why"),
    [
        (Control.PAUSE, "paused"),
        (LinkLost("The link was lost."), "the link to the scale was lost"),
    ],
)
def test_ending_while_nothing_is_weighed_writes_the_gap_first(
    before: OfBatch | LinkLost, why: str
) -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(before)
    sitting.session.take(Tick(sitting.hand.t_s + 7.9))
    sitting.session.take(Control.END)
    kinds = [line.kind for line, _ in sitting.desk.waiting]

    assert [Kind.GAP, Kind.RUN_ENDED] == kinds[-2:]
    assert [(why, 8_000)] == gaps(sitting)


def test_ending_while_the_scale_is_silent_writes_the_gap() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.wait(3.0)
    sitting.session.take(Control.END)

    assert [("nothing came from the scale", 3_000)] == gaps(sitting)


def test_a_lost_link_is_not_called_silent_and_is_one_gap() -> None:
    sitting = Sitting()
    sitting.play(0, times=30)
    sitting.session.take(LinkLost("The link was lost."))
    sitting.wait(3.0)
    lost = sitting.session.snapshot
    sitting.session.take(LinkBack(3.0))
    sitting.play(0)

    assert "The link was lost." == lost.alarm
    assert [("the link to the scale was lost", 3_000)] == gaps(sitting)


def test_the_age_of_the_dough_grows_while_the_scale_is_lost() -> None:
    sitting = Sitting()
    sitting.piece(741)
    before = dough(sitting.session.snapshot).cut
    sitting.session.take(LinkLost("The link was lost."))
    sitting.session.take(Tick(sitting.session.snapshot.t_s + 60.0))

    assert ("first cut 2 s ago", "first cut 1 min 02 s ago") == (
        before,
        dough(sitting.session.snapshot).cut,
    )


def test_all_counted_is_said_until_the_next_load() -> None:
    sitting = Sitting(planned=1)
    sitting.piece(741)
    sitting.commit()
    sitting.session.take(LinkLost("The link was lost."))
    sitting.session.take(LinkBack(3.0))
    sitting.session.take(Control.TURN)
    sitting.play(0, times=30)
    sitting.session.take(Control.PAUSE)
    sitting.session.take(Control.PAUSE)
    sitting.play(*[0] * 5, *[741] * 3)
    loaded = sitting.session.snapshot.notice
    sitting.play(*[741] * 15, *[0] * 10)

    assert "" == loaded
    assert sitting.session.snapshot.notice.startswith("The one piece is counted")


def test_a_disk_that_refuses_says_what_waits_and_then_what_was_written() -> None:
    sitting = Sitting()
    sitting.session.take(Refused(JournalFullError("The disk is full.")))
    sitting.piece(741)
    sitting.piece(742)
    refused = sitting.session.snapshot
    sitting.session.take(Resumed())
    sitting.commit()
    sitting.play(741, times=3)

    assert "2 pieces wait for the disk and are written when there is room." in refused.alarm
    assert (2, 0) == (refused.known_number, refused.counted)
    assert "The disk takes lines again: 2 pieces that waited were written." == (
        sitting.session.snapshot.notice
    )


def test_a_piece_that_waits_for_the_disk_can_be_struck_out() -> None:
    sitting = Sitting()
    sitting.session.take(Refused(JournalFullError("The disk is full.")))
    sitting.piece(741)
    sitting.piece(742)
    sitting.session.take(StrikeOut(2))
    struck = sitting.session.snapshot
    sitting.session.take(Resumed())
    sitting.commit()

    assert "Piece 2 (742 g) is struck out; that too waits for the disk." == struck.notice
    assert 1 == struck.known_number
    assert "1 piece waits" in struck.alarm
    assert (1, 1) == (
        sitting.session.snapshot.counted,
        sitting.session.snapshot.last_number,
    )


def test_no_other_piece_than_the_one_named_is_struck_out() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.piece(742)
    sitting.session.take(StrikeOut(1))
    sitting.commit()

    assert 2 == sitting.session.snapshot.counted
    assert "Piece 2 is counted now: press V again to strike out piece 2." == (
        sitting.session.snapshot.notice
    )


def test_a_piece_lifted_out_of_band_is_open_until_it_is_settled() -> None:
    sitting = Sitting()
    sitting.piece(760)
    waits = sitting.session.snapshot.lifted
    sitting.session.take(Control.TURN)
    boarded = sitting.session.snapshot.lifted

    assert (True, False) == (waits and waits.is_open, boarded and boarded.is_open)


def test_a_load_that_lay_there_before_is_to_be_taken_off_until_something_was_weighed() -> None:
    sitting = Sitting()
    sitting.play(742, times=15)
    laden = sitting.session.snapshot
    sitting.play(0, times=15)
    cleared = sitting.session.snapshot
    sitting.piece(742)
    sitting.commit()

    assert (Scene.LADEN, 742_000) == (laden.scene, laden.lain_mg)
    assert Scene.EMPTY is cleared.scene
    assert 1 == sitting.session.snapshot.counted


def test_a_tray_that_stays_from_the_start_is_asked_about_once() -> None:
    sitting = Sitting()
    for grams in (350, 1091, 350):
        sitting.play(grams, times=15)

    assert Scene.EMPTY is sitting.session.snapshot.scene
    assert [741_000] == [
        line.body["final_mg"] for line, _ in sitting.desk.waiting if line.kind is Kind.PIECE_KEPT
    ]


def test_ending_with_a_piece_on_the_pan_is_warned_of() -> None:
    sitting = Sitting()
    sitting.play(0, times=15)
    sitting.play(741, times=15)
    asked = armed_sentences(replace(sitting.session.snapshot, armed="end"))

    assert (
        "What lies on the pan is not counted: lift it off first.",
        "E again ends the batch.",
    ) == asked


def test_first_cuts_that_have_moved_are_told_on_the_panel_and_on_record() -> None:
    """Pieces within the band, but all on its heavy side."""
    sitting = Sitting()
    quiet = [738, 742, 740, 739, 741, 740]
    for grams in [*quiet, *quiet, *[747, 748] * 8]:
        sitting.piece(grams)
        sitting.commit()
        if sitting.session.snapshot.signal:
            break
    sitting.commit()
    line = sitting.session.snapshot.signal
    found = [entry for entry in sitting.store.entries() if entry.kind is Kind.SIGNAL]
    said = sitting.said("signal")

    assert re.fullmatch(r"Pieces 13 to \d\d were cut [678] g too heavy: cut smaller\.", line)
    assert 1 == len(found) == len(said)
    assert said[0]["first"] == 13
    assert said[0]["error"] == pytest.approx(7.5, abs=0.6)
    assert said[0]["reaction"].startswith("Cut about")
    assert sitting.store.verify()


def test_a_signal_goes_out_of_sight_after_some_pieces() -> None:
    sitting = Sitting()
    for grams in [*[738, 742, 740, 739] * 3, *[748] * 8, *[740, 739, 741, 740] * 3]:
        sitting.piece(grams)
        sitting.commit()

    assert "" == sitting.session.snapshot.signal
    assert sitting.said("signal")


def test_a_piece_lies_on_its_board_only_after_its_commit() -> None:
    sitting = Sitting(places=2)
    sitting.piece(741)
    before = sitting.session.snapshot.clocks.filling
    sitting.commit()

    assert ((1, 0, 2), (1, 1, 2)) == (before, sitting.session.snapshot.clocks.filling)


def test_a_run_with_boards_opens_the_first_of_them_behind_its_first_line() -> None:
    sitting = Sitting(places=2)
    sitting.piece(741)

    assert [Kind.RUN_STARTED, Kind.BOARD_OPENED, Kind.PIECE_KEPT] == [
        line.kind for line, _ in sitting.desk.waiting
    ]


def test_events_tell_each_piece_its_board_and_each_board_its_stage() -> None:
    sitting = Sitting(places=2)
    for _ in range(3):
        sitting.piece(741)
        sitting.commit()
    boarded = sitting.said("boarded")
    stages = sitting.said("board")
    pieces = sitting.said("piece")

    assert [(1, 1, 1), (2, 1, 2), (3, 2, 1)] == [
        (event["number"], event["board"], event["place"]) for event in boarded
    ]
    assert [(1, "filling", 1), (1, "closed", 2), (2, "filling", 1)] == [
        (event["board"], event["stage"], event["pieces"]) for event in stages
    ]
    assert [round(piece["placed"] + piece["seconds"], 3) for piece in pieces] == [
        event["cut"] for event in boarded
    ]


def test_what_a_person_says_of_a_board_is_written_and_then_shown() -> None:
    sitting = Sitting(places=2)
    sitting.piece(741)
    sitting.commit()
    sitting.session.take(BoardAsked(Control.BENCH, 1))
    asked = [line for line, _ in sitting.desk.waiting]
    before = sitting.session.snapshot
    sitting.commit()
    (event,) = [each for each in sitting.said("board") if each["stage"] == "at_bench"]

    assert [Kind.BOARD_MOVED] == [line.kind for line in asked]
    assert 1 == before.clocks.waiting
    assert "" == before.notice
    assert 0 == sitting.session.snapshot.clocks.waiting
    assert "Board 1 is at the bench: it rested 0 min, 10 min too short." == (
        sitting.session.snapshot.notice
    )
    assert ("wait", 1, 2) == (event["rested"], event["pieces"], event["places"])
    assert event["rest"] < 10


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            BoardAsked(Control.OVEN_OUT, 1),
            "Board 1 is filling, and only one in the oven comes out.",
        ),
        (BoardAsked(Control.BENCH, 9), "There is no board 9. In use are 1."),
        (BoardAsked(Control.CLOSE, 2), "There is no board 2. In use are 1."),
    ],
)
def test_keys_in_an_impossible_order_say_so_and_write_nothing(asked: BoardAsked, said: str) -> None:
    sitting = Sitting(places=2)
    sitting.piece(741)
    sitting.commit()
    before = sitting.session.snapshot.clocks
    sitting.session.take(asked)

    assert [] == sitting.desk.waiting
    assert before is sitting.session.snapshot.clocks
    assert said in sitting.session.snapshot.notice


def test_a_key_for_boards_before_the_first_piece_starts_no_run() -> None:
    sitting = Sitting(places=2)
    sitting.session.take(BoardAsked(Control.CLOSE, 1))

    assert [] == sitting.desk.waiting
    assert "Board 1 is empty. Lay a piece on it before it is closed." == (
        sitting.session.snapshot.notice
    )


def test_a_key_for_boards_where_none_are_kept_says_what_to_do() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.commit()
    sitting.session.take(BoardAsked(Control.BENCH, 1))

    assert [] == sitting.desk.waiting
    assert "board_places" in sitting.session.snapshot.notice
    assert [] == sitting.said("board")


def test_while_the_disk_refuses_what_is_said_of_a_board_waits_and_once() -> None:
    sitting = Sitting(places=2)
    sitting.piece(741)
    sitting.commit()
    sitting.session.take(Refused(JournalFullError("The disk is full.")))
    sitting.session.take(BoardAsked(Control.BENCH, 1))
    first = sitting.session.snapshot.notice
    sitting.session.take(BoardAsked(Control.BENCH, 1))
    second = sitting.session.snapshot.notice

    assert "Board 1: that too waits for the disk." == first
    assert "That was said of board 1, and waits for the disk." == second
    assert 1 == len(sitting.desk.waiting)

    sitting.session.take(Resumed())
    sitting.commit()

    assert 0 == sitting.session.snapshot.clocks.waiting


def test_a_cue_does_not_wait_for_boards() -> None:
    """Nothing of boards is worked out before a line of the journal is durable."""
    sitting = Sitting(places=2)
    sitting.piece(741)
    clocks = sitting.session.snapshot.clocks
    sitting.play(0, times=15)
    sitting.play(760, times=15)

    assert sitting.said("cue")
    assert clocks is sitting.session.snapshot.clocks


def test_after_the_end_a_board_is_moved_no_more() -> None:
    sitting = Sitting(places=2)
    sitting.piece(741)
    sitting.commit()
    sitting.session.take(Control.END)
    lines = len(sitting.desk.waiting)
    sitting.session.take(BoardAsked(Control.BENCH, 1))

    assert lines == len(sitting.desk.waiting)


def test_what_would_use_up_the_dough_is_offered_only_once_a_piece_is_on_the_disk() -> None:
    sitting = Sitting(planned=10, dough=DoughToDivide(7_450_000, 10))
    sitting.piece(740)
    before = sitting.session.snapshot.offer, sitting.said("offer")
    sitting.commit()
    said = sitting.said("offer")
    kinds = [json.loads(line)["event"] for line in sitting.desk.said]

    assert ("", []) == before
    assert "Offer: aim 746 g from here: the dough comes out even." == (
        sitting.session.snapshot.offer
    )
    assert ["piece", "offer"] == kinds[-2:]
    assert json.loads(sitting.desk.said[-2])["t"] == said[0]["t"]
    assert [(6710.0, 9, 746.0, 0.0, None)] == [
        (e["dough_left_g"], e["to_come"], e["target_g"], e["left_over_g"], e["instead"])
        for e in said
    ]


def test_on_a_slow_disk_all_lines_but_cues_are_in_time_order() -> None:
    """Many pieces wait when the first of them is on the disk, and a board is closed meanwhile."""
    sitting = Sitting(places=6, dough=DoughToDivide(100 * 742_000, 100))
    quiet = [738, 742, 740, 739, 741, 740]
    for grams in [*quiet, *quiet, *[747, 748] * 7]:
        sitting.piece(grams)
    for durable in sitting.desk.committed():
        sitting.session.take(durable)
        if durable.entry.kind is Kind.SIGNAL:
            sitting.session.take(BoardAsked(Control.BENCH, 1))
    sitting.piece(741)
    sitting.commit()
    told = [event for event in map(json.loads, sitting.desk.said) if event["event"] != "cue"]
    kinds = {event["event"] for event in told}
    signal = told.index(sitting.said("signal")[0])
    cues = [cue["t"] for cue in sitting.said("cue")]

    assert {"piece", "signal", "boarded", "board", "offer"} == kinds
    assert sorted(event["t"] for event in told) == [event["t"] for event in told]
    assert told[signal]["t"] == told[signal - 1]["t"]
    assert sorted(cues) == cues


def test_an_offer_moves_neither_target_nor_band() -> None:
    sitting = Sitting(planned=10, dough=DoughToDivide(7_450_000, 10))
    for _ in range(3):
        sitting.piece(746)
        sitting.commit()
    cues = sitting.said("cue")

    assert sitting.session.snapshot.offer
    assert LIMITS == sitting.session.snapshot.limits
    assert {6.0} == {cue["error"] for cue in cues}

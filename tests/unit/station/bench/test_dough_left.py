"""Dough that is left is weighed back at the bench, and an empty pan that shifts is written down."""

from __future__ import annotations

import pytest
from test_session import Sitting

from weighstation.journal import Kind, read_body
from weighstation.station.bench.dough_left import BROKEN_OFF, LOADED, NOTHING, STILL_ON, STOP_FIRST
from weighstation.station.bench.keys import Control
from weighstation.station.bench.messages import LinkBack, LinkLost
from weighstation.station.bench.offer import DoughToDivide
from weighstation.station.bench.snapshot import Scene


def bodies(sitting: Sitting, kind: Kind) -> list[dict[str, object]]:
    sitting.commit()
    found = [read_body(entry.body) for entry in sitting.store.entries() if entry.kind is kind]
    return [{key: body[key] for key in body if key not in ("run", "v")} for body in found]


def test_lumps_of_dough_add_up_and_are_no_pieces() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.DOUGH)
    begun = sitting.session.snapshot
    sitting.piece(4_310)
    sitting.piece(2_002)
    after_two = sitting.session.snapshot.notice
    sitting.session.take(Control.DOUGH)
    sitting.piece(738)

    assert (Scene.DOUGH_LEFT, True) == (begun.scene, begun.notice.startswith("Put all the dough"))
    assert after_two == "6312 g in 2 lumps: put on the next, or press D when it is all weighed."
    assert [{"left_mg": 6_312_000, "lumps": 2, "after": 1}] == bodies(sitting, Kind.DOUGH_WEIGHED)
    assert [741_000, 738_000] == [piece.final_mg for piece in sitting.store.pieces("r1")]
    assert [(6312.0, 2, 1)] == [
        (event["grams"], event["lumps"], event["after"]) for event in sitting.said("dough_left")
    ]


def test_what_is_offered_goes_by_the_dough_that_was_weighed_back() -> None:
    """Of 5,500 g for 7 pieces 3,680 g are left after two, which is 736 g each of five."""
    sitting = Sitting(7, dough=DoughToDivide(5_500_000, 7))
    sitting.piece(741)
    sitting.piece(739)
    sitting.session.take(Control.DOUGH)
    sitting.piece(3_680)
    sitting.session.take(Control.DOUGH)
    sitting.commit()

    assert "aim 736 g from here" in sitting.session.snapshot.offer


def test_dough_may_be_weighed_before_the_first_piece() -> None:
    sitting = Sitting(places=2)
    sitting.play(0, times=15)
    sitting.session.take(Control.DOUGH)
    sitting.piece(5_000)
    sitting.session.take(Control.DOUGH)
    sitting.piece(741)

    assert [{"left_mg": 5_000_000, "lumps": 1, "after": 0}] == bodies(sitting, Kind.DOUGH_WEIGHED)
    assert 1 == sitting.session.snapshot.counted


def test_pressed_twice_with_nothing_on_the_pan_writes_nothing() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.DOUGH)
    sitting.session.take(Control.DOUGH)

    assert NOTHING == sitting.session.snapshot.notice
    assert [] == bodies(sitting, Kind.DOUGH_WEIGHED)


def test_a_piece_on_the_pan_is_weighed_first() -> None:
    sitting = Sitting()
    sitting.play(*[0] * 15, *[741] * 15)
    sitting.session.take(Control.DOUGH)
    refused = sitting.session.snapshot
    sitting.play(0, times=15)
    sitting.commit()

    assert (LOADED, Scene.CUED) == (refused.notice, refused.scene)
    assert 1 == sitting.session.snapshot.counted


def test_an_open_lifted_piece_is_settled_first() -> None:
    sitting = Sitting()
    sitting.piece(760)
    sitting.session.take(Control.DOUGH)

    assert sitting.session.snapshot.notice.startswith("Piece 1 is still out: bring it back, or")
    assert Scene.EMPTY is sitting.session.snapshot.scene


def test_dough_that_still_lies_on_the_pan_is_taken_off_first() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.DOUGH)
    sitting.play(*[0] * 15, *[3_000] * 15)
    lying = sitting.session.snapshot.notice
    sitting.session.take(Control.DOUGH)
    still = sitting.session.snapshot.notice
    sitting.session.take(Control.PAUSE)
    pausing = sitting.session.snapshot.notice
    sitting.play(0, times=60)
    sitting.session.take(Control.DOUGH)

    assert "3000 g lie still: take them off, and they count." == lying
    assert (STILL_ON, STOP_FIRST) == (still, pausing)
    assert [{"left_mg": 3_000_000, "lumps": 1, "after": 1}] == bodies(sitting, Kind.DOUGH_WEIGHED)


def test_a_lost_link_breaks_the_weighing_off() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.DOUGH)
    sitting.piece(3_000)
    sitting.session.take(LinkLost("The link was lost."))
    sitting.session.take(LinkBack(3.0))

    assert BROKEN_OFF == sitting.session.snapshot.notice
    assert [] == bodies(sitting, Kind.DOUGH_WEIGHED)


def test_the_end_of_the_batch_ends_the_weighing_too() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.session.take(Control.DOUGH)
    sitting.piece(410)
    sitting.session.take(Control.END)

    assert [{"left_mg": 410_000, "lumps": 1, "after": 1}] == bodies(sitting, Kind.DOUGH_WEIGHED)
    assert Kind.RUN_ENDED is list(sitting.store.entries())[-1].kind


@pytest.mark.parametrize("shown_g", [-20, 20])
def test_an_empty_pan_that_shifts_is_written_down_once_and_pieces_hold(shown_g: int) -> None:
    """Tare pressed with 20 g on the pan, then they are taken off; or 20 g that stay on it."""
    sitting = Sitting()
    sitting.piece(741)
    sitting.play(shown_g, times=15)
    for net in (738, 742):
        sitting.play(*[shown_g] * 15, *[net + shown_g] * 15, *[shown_g] * 15)

    assert [{"from_mg": 0, "to_mg": shown_g * 1000, "after": 1}] == bodies(
        sitting, Kind.PAN_SHIFTED
    )
    assert [741_000, 738_000, 742_000] == [p.final_mg for p in sitting.store.pieces("r1")]
    assert [(0.0, float(shown_g), 1)] == [
        (event["from_g"], event["to_g"], event["after"]) for event in sitting.said("pan_shifted")
    ]


def test_flour_that_gathers_is_no_shift() -> None:
    """A gram with each piece stays below five divisions and the band from one to the next."""
    sitting = Sitting()
    for flour in range(12):
        sitting.play(*[flour] * 15, *[740 + flour] * 15, *[flour] * 15)

    assert [] == bodies(sitting, Kind.PAN_SHIFTED)


def test_a_tray_that_was_tared_and_is_taken_off_and_put_back_is_no_shift() -> None:
    sitting = Sitting()
    sitting.piece(741)
    sitting.play(*[-200] * 20, *[0] * 20)
    sitting.piece(739)

    assert [] == bodies(sitting, Kind.PAN_SHIFTED)

"""What a page is told of a picture: all its words, and what each key would do."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from weighstation.events import Cue, TookFor, Verdict
from weighstation.plan import BoardRecord, Boards, DoughClock, Pace, PieceBoarded
from weighstation.specification import Limits
from weighstation.station.bench.clocks import Clocks
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot
from weighstation.station.pages.bench.state import bench_state

EMPTY = Snapshot(
    t_s=60.0,
    product="Bloomer",
    limits=Limits(740_000, 8_000, 8_000),
    division_mg=1000,
    scene=Scene.EMPTY,
    counted=12,
    known_number=12,
    known_mg=741_000,
)
NOTE = LiftedNote(12, 12_000, TookFor.CAME_BACK)
LIFTED = "Piece 12 left 12 g heavy: taken as brought back \N{EM DASH} B: no, it was boarded"


def cued(verdict: Verdict, error_mg: int, *, slowed: bool = True, **more: Any) -> Snapshot:
    about: dict[str, Any] = {"firm": True} | more
    cue = Cue(1.0, 13, 0, 740_000 + error_mg, verdict, error_mg, **about)
    return replace(EMPTY, scene=Scene.CUED, cue=cue, slowed=slowed)


@pytest.mark.parametrize(
    ("picture", "shape", "words", "grams", "firm"),
    [
        (cued(Verdict.KEEP, 3_000), "keep", ("KEEP",), "+3", "yes"),
        (cued(Verdict.ADD, -23_000), "add", ("ADD",), "\N{MINUS SIGN}23", "yes"),
        (cued(Verdict.TRIM, 12_000, firm=False), "trim", ("TRIM",), "+12", "about"),
        (cued(Verdict.TRIM, 12_000, slowed=False, firm=False), "trim", ("TRIM",), "", "about"),
        (
            cued(Verdict.ADD, -15_000, cut_again=True),
            "odd",
            ("CUT AGAIN",),
            "\N{MINUS SIGN}15",
            "yes",
        ),
        (cued(Verdict.ONE_AT_A_TIME, 741_000), "odd", ("ONE AT", "A TIME"), "", "yes"),
        (EMPTY, "next", ("NEXT",), "", "no"),
        (replace(EMPTY, scene=Scene.SCALE_LOST), "alarm", ("SCALE", "LOST"), "", "no"),
        (replace(EMPTY, scene=Scene.MOVING), "quiet", ("WAIT",), "", "no"),
    ],
)
def test_a_cue_is_a_sign_a_word_and_a_figure(
    picture: Snapshot, shape: str, words: tuple[str, ...], grams: str, firm: str
) -> None:
    cue = bench_state(picture)["cue"]

    assert (shape, words, grams, firm) == (cue["shape"], cue["words"], cue["grams"], cue["firm"])


def test_a_caption_stands_line_under_line() -> None:
    said = bench_state(cued(Verdict.KEEP, 3_000))["cue"]["caption"]

    assert "piece 13\n743 g\ncounts once it is off the pan" == said


@pytest.mark.parametrize(
    ("picture", "said"),
    [
        (EMPTY, [("", ""), ("", "")]),
        (replace(EMPTY, notice="So be it."), [("notice", "So be it."), ("", "")]),
        (replace(EMPTY, lifted=NOTE, notice="So."), [("lifted", LIFTED), ("notice", "So.")]),
        (replace(EMPTY, lifted=NOTE, signal="Heavy."), [("lifted", LIFTED), ("signal", "Heavy.")]),
        (replace(EMPTY, offer="Offer."), [("", ""), ("offer", "Offer.")]),
        (replace(EMPTY, alarm="Lost.", lifted=NOTE), [("alarm", "Lost."), ("", "")]),
    ],
)
def test_two_lines_are_said_the_gravest_first(
    picture: Snapshot, said: list[tuple[str, str]]
) -> None:
    assert said == bench_state(picture)["says"]


def test_a_dough_that_takes_too_long_is_said_below_a_signal() -> None:
    slow = Clocks(DoughClock(first_cut_s=0.0), Pace(60.0, 12))
    late = replace(EMPTY, clocks=slow, planned=100)
    kinds = [bench_state(each)["says"][1][0] for each in (late, replace(late, signal="Heavy."))]

    assert ["caution", "signal"] == kinds


def test_a_key_says_what_it_means_and_what_it_asks() -> None:
    controls = bench_state(EMPTY)["controls"]

    assert "Press V again to strike out piece 12 (741 g)" == controls["void"]["ask"]
    assert (12, True) == (controls["void"]["name"], controls["void"]["can"])
    assert ("", True) == (controls["pause"]["ask"], controls["pause"]["can"])
    assert not controls["turn"]["can"]
    assert "close" not in controls


def test_a_key_for_boards_names_those_that_it_can_mean() -> None:
    laid = Boards(2)
    for number in range(1, 6):
        laid = laid.after(PieceBoarded(number, 10.0 * number))
    clocks = Clocks(DoughClock(first_cut_s=0.0), record=BoardRecord(laid), is_filling=True)
    controls = bench_state(replace(EMPTY, clocks=clocks))["controls"]

    assert (1, {"2", "3"}) == (controls["bench"]["name"], set(controls["bench"]["others"]))
    assert "S again takes board 2 to the bench (2 pieces)" == controls["bench"]["others"]["2"]
    assert (3, True) == (controls["close"]["name"], controls["close"]["can"])
    assert not controls["oven out"]["can"]


def test_a_piece_beyond_the_ruler_is_told_so() -> None:
    places = [bench_state(cued(Verdict.TRIM, mg))["ruler"]["piece"] for mg in (0, 20_000, 99_000)]

    assert [0.5, 1.0] == places[:2]
    assert places[2] > 1


def test_it_can_be_sent() -> None:
    assert "Bloomer" in json.dumps(bench_state(EMPTY))

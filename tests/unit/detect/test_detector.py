"""The hard facts of a bench as literal streams: readings in, loads out.

Readings are grams at ten a second, on a scale of 1 g whose filter nobody has told of.
"""

from __future__ import annotations

import pytest
from pan_displays import (
    Steps,
    clock,
    display,
    first_order,
    morning,
    moving_average,
    second_order,
    two_stages,
)
from pan_scripts import SMALLEST_MG, detect, firm_and_left, played, reading, readings, said

from weighstation.detect import Detector, Pan
from weighstation.events import DivisionLearned, PanLeft, Weighing

PIECE = [("firm", 1, 0, 752.0), ("left", 1, 752.0, 752.0, 0)]
TRIMMED = [("firm", 1, 0, 752.0), ("firm", 1, 1, 741.0), ("left", 1, 752.0, 741.0, 1)]


@pytest.mark.parametrize(
    ("fact", "script", "events"),
    [
        ("a piece", "0 x5 300 700 752 x8 400 0 x6", PIECE),
        ("at once", "0 x5 752 x8 0 x6", PIECE),
        ("laid on slowly", "0 x5 100 200 300 400 500 600 700 752 x8 400 0 x6", PIECE),
        ("flicker", "0 x5 300 752 752 752 752 752 751 752 753 752 751 400 0 x6", PIECE),
        (
            "the empty pan does not show zero",
            "-3 x6 300 749 x8 400 -3 x6",
            PIECE,
        ),
        (
            "trimmed with a partial lift",
            "0 x5 300 752 x8 500 200 100 450 741 x8 300 0 x6",
            TRIMMED,
        ),
        (
            "trimmed with a lift that empties the pan for a moment",
            "0 x5 300 752 x8 300 0 400 741 x8 300 0 x6",
            TRIMMED,
        ),
        (
            "trimmed with a press",
            "0 x5 300 752 x8 900 850 760 741 x8 300 0 x6",
            TRIMMED,
        ),
        (
            "a press while adding",
            "0 x5 300 722 x8 780 860 800 741 x8 300 0 x6",
            [("firm", 1, 0, 722.0), ("firm", 1, 1, 741.0), ("left", 1, 722.0, 741.0, 1)],
        ),
        (
            "three touches",
            "0 x5 700 x8 760 720 x8 780 733 x8 800 741 x8 300 0 x6",
            [
                ("firm", 1, 0, 700.0),
                ("firm", 1, 1, 720.0),
                ("firm", 1, 2, 733.0),
                ("firm", 1, 3, 741.0),
                ("left", 1, 700.0, 741.0, 3),
            ],
        ),
        ("pressed for nothing", "0 x5 752 x8 900 950 800 752 x8 300 0 x6", PIECE),
        ("pulled at for nothing", "0 x5 752 x8 500 300 600 752 x8 300 0 x6", PIECE),
        ("a knock", "0 x5 300 752 x8 755 749 753 752 x5 300 0 x6", PIECE),
        ("a hard knock", "0 x5 300 752 x8 812 700 765 745 752 x8 300 0 x6", PIECE),
        ("knocks on the empty pan", "0 x5 230 -120 48 0 x8 30 -9 0 x6 752 x8 0 x6", PIECE),
        (
            "a hand rests on the piece as it comes",
            "0 x5 300 790 x6 770 752 x8 300 0 x6",
            [("firm", 1, 0, 790.0), ("firm", 1, 0, 752.0), ("left", 1, 752.0, 752.0, 0)],
        ),
        (
            "creep by two divisions",
            "0 x5 300 752 x6 753 x12 754 x30 300 2 x8",
            [
                ("firm", 1, 0, 752.0),
                ("firm", 1, 0, 753.0),  # told again only once it is 0.7 of a division off
                ("left", 1, 753.0, 753.0, 0),  # what was said last is what counts
            ],
        ),
        (
            "two at once, one taken off",
            "0 x5 800 1504 x8 1100 752 x8 300 0 x6",
            [("firm", 1, 0, 1504.0), ("firm", 1, 1, 752.0), ("left", 1, 1504.0, 752.0, 1)],
        ),
        ("a scrap", "0 x5 80 120 x10 50 0 x8", []),
        ("a bump", "0 x5 200 400 200 0 x8", []),
        ("a slap", "0 x5 300 900 500 0 x8", []),
        ("someone leans on the pan", "0 x6 400 ov ov ov 300 0 x6 752 x8 200 0 x6", PIECE),
        ("someone leans on a piece", "0 x6 400 752 x8 ov ov 752 x8 200 0 x6", PIECE),
        ("lines lost", "0 x6 400 - 752 - 752 752 - - 752 752 752 - 752 300 - 0 x6", PIECE),
        ("the lift-off lost", "0 x6 400 752 x8 - x5 0 x6", PIECE),
        ("what lay there from the beginning", "740 x8 300 0 x8 400 752 x8 300 0 x5", PIECE),
        (
            "nothing is said for good of what stays to the end",
            "0 x5 300 752 x8",
            [("firm", 1, 0, 752.0)],
        ),
        (
            "lifted before it was firm, the last sight counts",
            "0 x5 700 752 752 752 300 0 x6",
            [("left", 1, 752.0, 752.0, 0)],
        ),
        (
            "lifted after a trim before that was firm",
            "0 x5 752 x8 900 850 760 741 741 741 300 0 x6",
            [("firm", 1, 0, 752.0), ("left", 1, 752.0, 741.0, 1)],
        ),
    ],
)
def test_one_piece(fact: str, script: str, events: list[tuple[object, ...]]) -> None:
    assert events == firm_and_left(script), fact


def net(script: str) -> list[tuple[float, float, int]]:
    """Return (first, final, touches) of the loads that left."""
    return [
        (item[2], item[3], item[4])
        for item in (said(event) for event in detect(readings(script)))
        if item[0] == "left" and len(item) == 5
    ]


@pytest.mark.parametrize(
    ("fact", "script", "loads"),
    [
        (
            "flour stays on the pan",
            "0 x5 752 x8 300 4 x8 500 748 x8 400 7 x8 757 x8 300 9 x5",
            [(752, 752, 0), (744, 744, 0), (750, 750, 0)],
        ),
        (
            "flour is wiped off",
            "0 x5 752 x8 300 4 x8 0 x8 500 748 x8 400 0 x8",
            [(752, 752, 0), (748, 748, 0)],
        ),
        (
            "flour falls on the pan while a piece lies there",
            "0 x5 752 x8 300 6 x8 500 750 x8 300 6 x6",
            [(752, 752, 0), (744, 744, 0)],
        ),
        (
            "a tray is taken off and put back",
            "0 x6 740 x8 300 0 x6 -200 -350 x8 -100 0 x8 400 741 x8 300 0 x6",
            [(740, 740, 0), (741, 741, 0)],
        ),
        (
            "what comes while the tray is off is taken to bring the tray with it",
            "0 x6 -200 -350 x8 100 390 x8 -100 -350 x8 0 x8",
            [(390, 390, 0)],
        ),
        (
            "a piece that brings no tray and stays below where the tray stood",
            "0 x6 -200 -350 x8 -100 -50 x8 -100 -350 x8 0 x8",
            [(300, 300, 0)],
        ),
        (
            "a piece comes together with its tray",
            "0 x6 740 x8 300 0 x6 -200 -350 x8 100 391 x8 100 0 x8 742 x8 0 x6",
            [(740, 740, 0), (391, 391, 0), (742, 742, 0)],
        ),
        (
            "laid on slowly and snatched up, on a scale without a filter",
            "0 x5 100 200 300 400 500 600 700 752 x8 0 x8 200 400 600 700 741 x8 0 x8",
            [(752, 752, 0), (741, 741, 0)],
        ),
        (
            "one follows another with the pan empty for three readings",
            "0 x5 752 x8 300 0 0 0 500 748 x8 300 0 x6",
            [(752, 752, 0), (748, 748, 0)],
        ),
    ],
)
def test_several_pieces(fact: str, script: str, loads: list[tuple[float, float, int]]) -> None:
    assert loads == net(script), fact


UP = "150 300 450 600 752 x8 "
RAMP = "150 300 450 600 {} x8 600 450 300 150 0 x8 "
THREE = "0 x8 " + 3 * RAMP.format(740)


@pytest.mark.parametrize(
    ("fact", "script", "last"),
    [
        (
            "tare with a piece on the pan, the negative pan is set to zero",
            UP + "0 x8 -150 -300 -450 -600 -752 x8 0 x8 " + RAMP.format(741),
            [(752, 752, 0), (741, 741, 0)],
        ),
        (
            "tare with a piece on the pan that is trimmed afterwards",
            UP + "0 x8 100 30 -11 x8 -161 -311 -461 -611 -752 x8 0 x8 " + RAMP.format(741),
            [(752, 741, 1), (741, 741, 0)],
        ),
        (
            "the next piece comes onto the negative pan",
            UP + "0 x8 -150 -300 -450 -600 -752 x8 -602 -452 -302 -152 -12 x8 -162 -402 -752 x8",
            [(752, 752, 0), (740, 740, 0)],
        ),
        (
            "zero key on a pan that lost its tray",
            "-70 -140 -210 -280 -350 x8 0 x8 150 300 450 600 741 x8 600 450 300 150 0 x8",
            [(741, 741, 0)],
        ),
    ],
)
def test_keys_are_told_from_loads_once_three_lift_offs_were_seen(
    fact: str, script: str, last: list[tuple[float, float, int]]
) -> None:
    assert [(740, 740, 0)] * 3 + last == net(THREE + script), fact


def test_times_are_those_of_the_readings() -> None:
    """Placed when the rise began, left when the display was last half as high."""
    events = detect(readings("0 x5 300 700 752 x8 500 300 0 x6"))
    left = events[-1]

    assert isinstance(left, PanLeft)
    assert [pytest.approx(0.5), pytest.approx(1.5)] == [left.placed_s, left.t_s]
    assert [pytest.approx(0.8), pytest.approx(1.1)] == [event.t_s for event in events[:-1]]


def test_a_provisional_weight_comes_before_the_firm_one() -> None:
    assert [("maybe", 1, 0, 752.0), *PIECE] == played("0 x5 300 700 752 x8 400 0 x6")


def test_a_load_is_given_up_when_sight_is_lost_and_what_lies_there_is_weighed_anew() -> None:
    detector = Detector(smallest_load_mg=SMALLEST_MG)
    detector.lose_sight(0.0)  # nothing was seen yet: nothing to forget
    before = [e for r in readings("0 x5 300 752 x8") for e in detector.feed(r)]
    detector.lose_sight(60.0)
    after = [e for r in readings("741 x8 300 0 x6", start_s=61.0) for e in detector.feed(r)]

    assert [("maybe", 1, 0, 752.0), ("firm", 1, 0, 752.0)] == [said(e) for e in before]
    assert [("firm", 2, 0, 741.0), ("left", 2, 741.0, 741.0, 0)] == [
        said(e) for e in after if not isinstance(e, Weighing) or e.firm
    ]


@pytest.mark.parametrize("script", ["300 0 x6 752 x8 0 x6", "0 x6 752 x8 0 x6"])
def test_a_piece_that_is_being_lifted_as_sight_returns_is_no_load(script: str) -> None:
    detector = Detector(smallest_load_mg=SMALLEST_MG)
    for item in readings("0 x5 300 740 x8"):
        detector.feed(item)
    detector.lose_sight(60.0)
    after = [said(e) for r in readings(script, start_s=61.0) for e in detector.feed(r)]

    assert [("left", 752.0)] == [(e[0], e[3]) for e in after if e[0] == "left"]


def test_pan_says_what_a_screen_shows() -> None:
    detector = Detector(smallest_load_mg=SMALLEST_MG)
    shown = [detector.pan]
    for item in readings("0 x5 400 752 x6 ov 752 x3 300 - 0 x6"):
        detector.feed(item)
        if detector.pan is not shown[-1]:
            shown.append(detector.pan)

    assert shown == [
        Pan.NO_READING,
        Pan.EMPTY,
        Pan.MOVING,
        Pan.LOADED,
        Pan.OVERLOADED,
        Pan.LOADED,
        Pan.MOVING,
        Pan.EMPTY,
    ]


def test_the_division_may_come_late_and_weights_then_stand_on_it() -> None:
    stream = readings("0 x5 300 755 x8 400 0 x6")
    events = detect([*stream[:3], DivisionLearned(0.25, 5000), *stream[3:]])

    assert [("left", 1, 755.0, 755.0, 0)] == [said(e) for e in events if isinstance(e, PanLeft)]


LOADS_G = [752.0, 741.0, 733.0, 760.0, 744.0, 738.0]


@pytest.mark.parametrize("rate_hz", [5.0, 8.0, 10.0, 20.0])
@pytest.mark.parametrize(
    "answer",
    [moving_average(0.3), moving_average(0.8), first_order(0.12), two_stages(0.08)],
    ids=["mean of 0.3 s", "mean of 0.8 s", "low-pass 0.12 s", "two stages of 0.08 s"],
)
def test_pieces_through_textbook_filters(answer: object, rate_hz: float) -> None:
    assert callable(answer)
    steps = morning(LOADS_G)
    events = detect(display(steps, answer, clock(32.0, rate_hz)))
    left = [event for event in events if isinstance(event, PanLeft)]

    assert [(round(load * 1000), 0) for load in LOADS_G] == [(e.final_mg, e.touches) for e in left]
    placed = [t_s for t_s, change in steps if change > 0]
    for event, placed_s in zip(left, placed, strict=True):
        assert placed_s <= event.placed_s <= placed_s + 1 / rate_hz + 0.3


@pytest.mark.parametrize("rate_hz", [10.0, 20.0])
def test_pieces_on_a_ringing_pan(rate_hz: float) -> None:
    """4.3 Hz, 5 % damping: nine seconds until the display itself rests within a division."""
    steps = morning(LOADS_G, hold_s=4.0, gap_s=4.0)
    stream = display(steps, second_order(0.05, 27.0), clock(55.0, rate_hz))

    left = [event for event in detect(stream) if isinstance(event, PanLeft)]

    assert [0] * 6 == [event.touches for event in left]
    assert pytest.approx(LOADS_G[0], rel=0.01) == left[0].final_mg / 1000  # not known to ring yet
    assert LOADS_G[1:] == [pytest.approx(event.final_mg / 1000, abs=1.0) for event in left[1:]]


def test_a_knock_between_two_loads_changes_no_zero() -> None:
    steps: Steps = [(1.0, 752.0), (4.0, -752.0), (5.0, 90.0), (5.05, -90.0), (6.0, 741.0),
                    (9.0, -741.0)]  # fmt: skip
    left = [
        event
        for event in detect(display(steps, moving_average(0.4), clock(11.0, 10.0)))
        if isinstance(event, PanLeft)
    ]

    assert [752_000, 741_000] == [event.final_mg for event in left]


def test_equal_times_are_legal() -> None:
    """A stall in the line: five readings arrive at once."""
    script = readings("0 x5 300 752 x8 300 0 x6")
    stalled = [
        reading(min(item.t_s, 0.7) if item.t_s < 1.1 else item.t_s, (item.gross_mg or 0) / 1000)
        for item in script
    ]

    assert PIECE == [said(e) for e in detect(stalled) if not isinstance(e, Weighing) or e.firm]

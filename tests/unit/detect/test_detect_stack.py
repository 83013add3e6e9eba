"""Building up on a board, and taking away from a bulk, as literal streams."""

from __future__ import annotations

import pytest
from pan_scripts import Said, detect, firm_and_left, played, readings, said

from weighstation.events import PanLeft
from weighstation.specification import Way

TWO = [
    ("firm", 1, 0, 740.0),
    ("left", 1, 740.0, 740.0, 0),
    ("firm", 2, 0, 745.0),
    ("left", 2, 745.0, 745.0, 0),
]


@pytest.mark.parametrize(
    ("fact", "script", "events"),
    [
        ("pieces on a standing board", "900 x6 1300 1640 x8 1900 2385 x8", TWO),
        ("pieces on a tared board", "0 x6 400 740 x8 1100 1485 x8", TWO),
        (
            "a touch",
            "900 x6 1300 1620 x8 1650 1700 1640 x8 1900 2385 x8",
            [
                ("firm", 1, 0, 720.0),
                ("firm", 1, 1, 740.0),
                ("left", 1, 720.0, 740.0, 1),
                ("firm", 2, 0, 745.0),
                ("left", 2, 745.0, 745.0, 0),
            ],
        ),
        (
            "the board leaves with its pieces and an empty one comes",
            "900 x6 1300 1640 x8 1000 400 0 x8 500 910 x8 1300 1655 x8",
            [*TWO[:2], ("firm", 2, 0, 745.0), ("left", 2, 745.0, 745.0, 0)],
        ),
        (
            "pieces are taken off and the board stays",
            "900 x6 1300 1640 x8 1400 902 x8 1300 1647 x8",
            [*TWO[:2], ("firm", 2, 0, 745.0), ("left", 2, 745.0, 745.0, 0)],
        ),
        ("someone leans on it", "900 x6 1640 x8 ov ov 1640 x8 1900 2385 x8", TWO),
        ("a knock", "900 x6 1640 x8 1700 1600 1645 1640 x8 1900 2385 x8", TWO),
        ("flour between", "900 x6 903 x8 1300 1643 x8 1900 2388 x8", TWO),
        ("a scrap is no piece", "0 x6 50 x8", []),
        ("the last piece is finished at the end", "0 x6 740 x8", TWO[:2]),
        ("nothing at all", "0 x6", []),
    ],
)
def test_building_up(fact: str, script: str, events: list[Said]) -> None:
    assert events == firm_and_left(script, way=Way.BUILD_UP), fact


@pytest.mark.parametrize(
    ("fact", "script", "events"),
    [
        ("pieces are cut away", "5000 x6 4500 4260 x8 3900 3515 x8", TWO),
        ("the bulk was tared", "0 x6 -400 -740 x8 -1100 -1485 x8", TWO),
        (
            "too much was cut away, some comes back",
            "5000 x6 4500 4240 x8 4350 4400 4260 x8 3900 3515 x8",
            [
                ("firm", 1, 0, 760.0),
                ("firm", 1, 1, 740.0),
                ("left", 1, 760.0, 740.0, 1),
                ("firm", 2, 0, 745.0),
                ("left", 2, 745.0, 745.0, 0),
            ],
        ),
        (
            "more dough comes onto the scale",
            "2000 x6 1600 1260 x8 3000 6260 x8 5900 5515 x8",
            TWO,
        ),
        ("the bulk comes first", "0 x6 2000 5000 x8 4600 4260 x8 3900 3515 x8", TWO),
    ],
)
def test_taking_away(fact: str, script: str, events: list[Said]) -> None:
    assert events == firm_and_left(script, way=Way.TAKE_AWAY), fact


@pytest.mark.parametrize("way", [Way.BUILD_UP, Way.TAKE_AWAY])
def test_taking_away_is_building_up_in_a_mirror(way: Way) -> None:
    script = "900 x6 1300 1620 x8 1650 1700 1640 x8 1900 2385 x8 2500 2600 3100 x8"
    if way is Way.TAKE_AWAY:
        script = " ".join(
            str(5000 - int(word)) if word.isdigit() else word for word in script.split()
        )

    assert [("left", 1, 720.0, 740.0, 1), ("left", 2, 745.0, 745.0, 0),
            ("left", 3, 715.0, 715.0, 0)] == [
        event for event in played(script, way=way) if event[0] == "left"
    ]  # fmt: skip


def test_a_piece_is_finished_when_the_next_one_comes() -> None:
    events = detect(readings("900 x6 1640 x8 2385 x8"), way=Way.BUILD_UP)
    left = [event for event in events if isinstance(event, PanLeft)]

    assert [pytest.approx(1.4), pytest.approx(2.1)] == [event.t_s for event in left]
    assert [pytest.approx(0.6), pytest.approx(1.4)] == [event.placed_s for event in left]


def test_a_provisional_touch_is_told_before_it_is_firm() -> None:
    events = [
        said(event)
        for event in detect(readings("900 x6 1620 x8 1700 1641 1640 x8"), way=Way.BUILD_UP)
    ]

    assert [("firm", 1, 0, 720.0), ("maybe", 1, 1, 740.0), ("firm", 1, 1, 740.0)] == events[:3]


def test_a_board_that_comes_onto_an_empty_scale_is_no_piece() -> None:
    """It weighs unlike a piece, and nothing lay there before it."""
    assert TWO == firm_and_left("0 x6 900 x8 1640 x8 2385 x8", way=Way.BUILD_UP)


def test_the_rest_of_the_bulk_that_is_taken_off_is_no_piece() -> None:
    """It weighs unlike a piece, and nothing is left after it."""
    assert TWO[:2] == firm_and_left("0 x6 5000 x8 4260 x8 0 x8", way=Way.TAKE_AWAY)


def test_without_a_usual_weight_a_board_looks_like_a_piece() -> None:
    events = detect(readings("0 x6 900 x8 1640 x8"), way=Way.BUILD_UP, usual_mg=None)
    left = [said(event) for event in events if isinstance(event, PanLeft)]

    assert [("left", 1, 900.0, 900.0, 0), ("left", 2, 740.0, 740.0, 0)] == left

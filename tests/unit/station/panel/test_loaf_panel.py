"""The panel of baked loaves reads without colour, keeps its places, and gives no cue."""

from __future__ import annotations

from dataclasses import replace

import pytest
from rich.text import Text

from weighstation.events import LoafShown, WhyNot
from weighstation.station.bench.keys import ARMED_S, Control
from weighstation.station.bench.loaf_snapshot import LoafSnapshot
from weighstation.station.bench.messages import StrikeOut, Typed
from weighstation.station.bench.snapshot import Scene
from weighstation.station.panel.loaf_keys import LoafKeys
from weighstation.station.panel.loaf_panel import render_loaves
from weighstation.station.panel.loaf_plain import loaf_lines

EMPTY = LoafSnapshot(
    product="Country loaf",
    declared_mg=650_000,
    division_mg=1000,
    scene=Scene.EMPTY,
    counted=7,
    planned=10,
    last_number=7,
    last_mg=652_000,
    known_number=7,
    known_mg=652_000,
    mean_mg=651_428.6,
    sd_mg=4_120.0,
    piece=12,
    out_of_oven_min=61.7,
)
ON_PAN = replace(EMPTY, scene=Scene.CUED, shown=LoafShown(1.0, 8, 655_000, firm=True))
NO_LOAF = replace(
    EMPTY,
    scene=Scene.CUED,
    shown=LoafShown(1.0, 8, 1_304_000, firm=True, why_not=WhyNot.HEAVY),
)
SCENES = {
    "no scale yet": replace(EMPTY, scene=Scene.NO_SCALE_YET),
    "waiting": EMPTY,
    "laden": replace(EMPTY, scene=Scene.LADEN, lain_mg=652_000),
    "moving": replace(EMPTY, scene=Scene.MOVING),
    "loaf": ON_PAN,
    "left": replace(ON_PAN, scene=Scene.EMPTY),
    "no loaf": NO_LOAF,
    "overloaded": replace(EMPTY, scene=Scene.OVERLOADED),
    "scale lost": replace(EMPTY, scene=Scene.SCALE_LOST, alarm="Nothing comes from the scale."),
    "refused": replace(ON_PAN, alarm="The journal cannot be written. " * 8),
    "armed": replace(EMPTY, armed="void"),
    "notice": replace(EMPTY, notice="Loaf 7 is struck out. " * 9),
    "typed": replace(EMPTY, typed="12"),
}
SIZES = [(80, 24), (120, 40), (100, 30), (80, 22), (200, 60), (50, 12), (20, 4)]


def lines(
    snapshot: LoafSnapshot, width: int = 80, height: int = 24, *, colour: bool = False
) -> list[str]:
    drawn = render_loaves(snapshot, width=width, height=height, colour=colour)

    assert isinstance(drawn, Text)
    return drawn.plain.split("\n")


@pytest.mark.parametrize("colour", [False, True])
@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_every_scene_fills_the_screen_exactly(
    scene: str, width: int, height: int, colour: bool
) -> None:
    drawn = lines(SCENES[scene], width, height, colour=colour)

    assert [width] * height == [len(line) for line in drawn]


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
def test_nothing_jumps_between_scenes(width: int, height: int) -> None:
    seen = set()
    for snapshot in SCENES.values():
        drawn = lines(snapshot, width, height)
        words = ("declared 650 g", "Counted", "Last", "Mean", "Spread")
        seen.add(tuple(next(n for n, line in enumerate(drawn) if word in line) for word in words))

    assert len(seen) == 1


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (200, 60)])
def test_the_letters_are_as_high_as_those_of_a_cue(width: int, height: int) -> None:
    """Read at two metres: seven rows of pixels at least twice over, 7 lines and more."""
    drawn = lines(ON_PAN, width, height)
    block = [line for line in drawn if "\u2588" in line or "\u2580" in line]

    assert len(block) >= 7


def text(snapshot: LoafSnapshot) -> str:
    return " ".join(" ".join(lines(snapshot)).split())


def test_it_tells_count_mean_against_the_declared_weight_spread_oven_and_piece() -> None:
    said = text(EMPTY)

    for part in (
        "7 of 10, 3 left",
        "loaf 7, 652 g, saved",
        "651.4 g (+1.4)",
        "Spread 4.1 g",
        "Since oven 62 min",
        "Next is piece 12",
    ):
        assert part in said


def test_what_is_not_known_is_said_to_be_so() -> None:
    bare = LoafSnapshot("Rye", None, 1000, Scene.EMPTY)
    said = text(bare)

    assert "no declared weight" in said
    assert "Since oven not said" in said
    assert "Next is no mark" in said
    assert "Mean 651.4 g Next is" in text(replace(EMPTY, declared_mg=None))


def test_a_loaf_has_no_cue() -> None:
    """Nothing can be added to it or trimmed off."""
    said = text(ON_PAN).casefold()

    assert "loaf 8 655 g counts once it is off the pan" in said
    assert "this is piece 12" in said
    for word in ("keep", "add", "trim", "band", "aim"):
        assert f" {word} " not in said


def test_what_will_not_count_says_so_in_the_caption() -> None:
    assert "does not count: not less than the dough" in text(NO_LOAF)
    assert "NO LOAF 1304 g" in " ".join(lines(NO_LOAF, 50, 12))
    assert "off the pan" in text(SCENES["left"])
    assert "cannot be counted now" in text(SCENES["refused"])
    assert "652 g lies there from before: take it off" in text(SCENES["laden"])


def test_keys_are_named_and_give_way_to_what_is_armed() -> None:
    assert "V strike out 0-9 which piece it was E end" in text(EMPTY)
    assert "Press V again to strike out loaf 7 (652 g)" in text(SCENES["armed"])
    assert "Press E again to end" in text(replace(EMPTY, armed="end"))


def test_plain_lines_say_each_thing_once() -> None:
    plain = loaf_lines(None, counted=6)  # type: ignore[arg-type]
    told = [
        plain.lines(snapshot)
        for snapshot in (
            replace(EMPTY, counted=6, last_number=6),
            EMPTY,
            EMPTY,
            replace(EMPTY, notice="So."),
            replace(EMPTY, scene=Scene.SCALE_LOST, alarm="Lost."),
            replace(EMPTY, counted=6, last_number=6),
            replace(EMPTY, scene=Scene.LADEN, lain_mg=652_000),
            replace(EMPTY, armed="end"),
        )
    ]

    assert [
        (),
        ("Loaf 7 counted: 652 g, 7 in all, 3 left, mean 651.4 g",),
        (),
        ("So.",),
        ("ALARM: Lost.", "The scale is lost."),
        (),
        ("652 g lies there from before: take it off, or press the scale's tare key.",),
        ("Press E again to end",),
    ] == told


def test_twice_v_strikes_out_the_loaf_that_the_first_named() -> None:
    keys = LoafKeys()
    first = keys.feed("v", 1.0, EMPTY)
    armed = keys.picture(1.0, EMPTY).armed
    keys.feed("v", 1.3, EMPTY)
    second = keys.feed("", 1.6, EMPTY)

    assert ([], "void", [StrikeOut(7)]) == (first, armed, second)


def test_a_loaf_that_comes_in_between_stands_it_down() -> None:
    keys = LoafKeys()
    keys.feed("v", 1.0, EMPTY)
    later = replace(EMPTY, known_number=8)
    stood_down = (keys.feed("", 1.1, later), keys.picture(1.1, later).armed)
    again = keys.feed("v", 3.0, later)

    assert (([], ""), []) == (stood_down, again)
    assert "void" == keys.picture(3.0, later).armed


def test_without_a_loaf_there_is_nothing_to_strike_out() -> None:
    none = replace(EMPTY, known_number=None, known_mg=None)
    keys = LoafKeys()
    asked = keys.feed("v", 1.0, none)
    notices = [keys.picture(t_s, none).notice for t_s in (1.0, 1.0 + ARMED_S)]

    assert [] == asked
    assert ["No loaf can be struck out.", ""] == notices


def test_twice_e_ends_and_other_keys_do_nothing() -> None:
    keys = LoafKeys()
    ends = [*keys.feed("e", 1.0, EMPTY), *keys.feed("e", 3.0, EMPTY)]
    nothing = [*keys.feed("bp x", 9.0, EMPTY), *keys.feed("", 11.0, EMPTY)]

    assert [Control.END] == ends
    assert [] == nothing


def test_digits_are_passed_on_and_those_of_an_arrow_key_are_not() -> None:
    keys = LoafKeys()

    assert [Typed("1"), Typed("2"), Typed("\r")] == keys.feed("12\r", 1.0, EMPTY)
    assert [] == keys.feed("\x1b[3~\x1b[1;5C\x1bOP", 5.0, EMPTY)


def test_the_picture_stays_the_same_while_nothing_changes() -> None:
    keys = LoafKeys()

    assert keys.picture(1.0, EMPTY) is keys.picture(2.0, EMPTY)

"""Letters keep their shape when they grow."""

from __future__ import annotations

import pytest

from weighstation.station.bench.wording import WORDS
from weighstation.station.panel.glyphs import (
    GLYPHS,
    HEIGHT,
    Pixels,
    cells,
    enlarged,
    hollow,
    joined,
    letters,
    scaled,
    smoothed,
)
from weighstation.station.showing.told import ALL_CUT, SCENE_WORDS

SPOKEN = [
    *WORDS.values(),
    *(word for words in SCENE_WORDS.values() for word in words),
    *ALL_CUT,
    "CUT AGAIN",
    "+0123456789.",
    "\N{MINUS SIGN}",
]


def drawn(pixels: Pixels) -> list[str]:
    return ["".join("#" if pixel else "." for pixel in row) for row in pixels]


@pytest.mark.parametrize("name", GLYPHS)
def test_every_letter_is_a_rectangle_of_seven_rows(name: str) -> None:
    rows = GLYPHS[name]

    assert len(rows) == HEIGHT
    assert len({len(row) for row in rows}) == 1


@pytest.mark.parametrize("text", SPOKEN)
def test_every_word_of_the_panel_can_be_drawn(text: str) -> None:
    assert len(text) == len(letters(text))


def test_no_two_letters_look_the_same() -> None:
    shapes = {name: rows for name, rows in GLYPHS.items() if name not in ("0", "1", "O", "I")}

    assert len(shapes) == len(set(shapes.values()))


def test_half_blocks_hold_two_rows_of_pixels() -> None:
    rows = ((True, True, False, False), (True, False, True, False), (False, True, True, False))

    assert ["█▀▄ ", " ▀▀ "] == cells(rows)


def test_letters_stand_apart_by_one_pixel() -> None:
    one = letters("II")

    assert ["#.#"] * HEIGHT == drawn(joined(one))


@pytest.mark.parametrize("scale", [1, 2, 3, 4, 6])
def test_letters_grow_by_whole_numbers(scale: int) -> None:
    word = joined(letters("TRIM"))
    bigger = smoothed(word, scale)

    assert len(bigger) == HEIGHT * scale
    assert {len(row) for row in bigger} == {len(word[0]) * scale}


def test_a_slope_is_smoothed_and_a_straight_stroke_is_not() -> None:
    slope = ((False, True), (True, False))
    stroke = letters("I")[0]

    assert scaled(slope, 2) != smoothed(slope, 2)
    assert scaled(stroke, 2) == smoothed(stroke, 2)


def test_a_hollow_letter_keeps_its_outline_and_loses_its_inside() -> None:
    block = scaled(((True,),), 4)

    assert ["####", "#..#", "#..#", "####"] == drawn(hollow(block, 4))
    assert block == hollow(block, 2)


def test_signs_keep_their_square_corners() -> None:
    assert scaled(GLYPHS["+"], 4) == enlarged("+", 4)


@pytest.mark.parametrize("scale", [1, 2, 3, 4])
def test_big_letters_stand_apart_by_one_big_pixel(scale: int) -> None:
    assert ["#" * scale + "." * scale + "#" * scale] * HEIGHT * scale == drawn(
        enlarged("II", scale)
    )

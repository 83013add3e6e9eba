"""Colours can be read, and told apart by everyone."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from weighstation.events import Cue, Verdict
from weighstation.station.panel.palette import IN_COLOUR, WITHOUT_COLOUR, Palette

if TYPE_CHECKING:
    from rich.style import Style

# Okabe and Ito, Color Universal Design (2008): the eight colours of their set.
OKABE_ITO = {
    "#000000",
    "#e69f00",
    "#56b4e9",
    "#009e73",
    "#f0e442",
    "#0072b2",
    "#d55e00",
    "#cc79a7",
}
PLACES = [name for name in Palette.__dataclass_fields__ if name != "ground"]
BIG = {"keep", "keep_soon", "add", "trim", "odd"}


def luminance(hexadecimal: str) -> float:
    """Relative luminance: WCAG 2.2, definition of that name."""
    parts = [int(hexadecimal[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def colours(style: Style) -> tuple[str, str]:
    assert style.color is not None
    assert style.bgcolor is not None
    return style.color.get_truecolor().hex, style.bgcolor.get_truecolor().hex


def contrast(style: Style) -> float:
    """Contrast ratio: WCAG 2.2, definition of that name."""
    dark, light = sorted(map(luminance, colours(style)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("place", PLACES)
def test_letters_stand_out_from_what_is_behind_them(place: str) -> None:
    """WCAG 2.2, criterion 1.4.3: at least 4.5 to 1, for large letters 3 to 1."""
    assert contrast(getattr(IN_COLOUR, place)) >= (3.0 if place in BIG else 4.5)


@pytest.mark.parametrize("place", ["keep_soon", "add", "trim", "odd"])
def test_a_cue_is_in_a_colour_of_the_set(place: str) -> None:
    assert colours(getattr(IN_COLOUR, place))[0] in OKABE_ITO


@pytest.mark.parametrize("place", ["keep", "alarm", "ask"])
def test_a_field_is_filled_with_a_colour_of_the_set(place: str) -> None:
    assert colours(getattr(IN_COLOUR, place))[1] in OKABE_ITO


def test_no_two_cues_share_a_colour() -> None:
    cues = [
        Cue(0.0, 1, 0, 1, verdict, 0, firm)
        for verdict in Verdict
        for firm in (True, False)
        if verdict is Verdict.KEEP or firm
    ]
    pairs = combinations([colours(IN_COLOUR.cue(cue)) for cue in cues], 2)

    assert all(one != other for one, other in pairs)


def test_a_piece_to_be_cut_again_is_neither_add_nor_trim() -> None:
    again = Cue(0.0, 1, 3, 1, Verdict.ADD, -9, firm=True, cut_again=True)

    assert IN_COLOUR.cue(again) == IN_COLOUR.odd


@pytest.mark.parametrize("place", PLACES)
def test_without_colour_there_is_none(place: str) -> None:
    style = getattr(WITHOUT_COLOUR, place)

    assert (None, None) == (style.color, style.bgcolor)

"""A control chart as SVG: nothing beyond a limit is lost, and nothing in it is styled or unescaped.

Held against the standard reader of XML and against SVG 2, section 8.2: y grows downwards.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.station.pages.office.drawing import (
    HIGH_PX,
    LOW_PX,
    MOST_SINGLE,
    apart,
    chart_drawn,
    nice_step,
)


def chart(points: list[float], *, odd: list[int] | None = None, title: str = "x") -> dict[str, Any]:
    """Return a chart as the command gives it: mean 900, limits 870 and 930."""
    n = len(points)
    track = {
        "name": "first cut",
        "points_g": points,
        "centre_g": [900.0] * n,
        "lower_g": [870.0] * n,
        "upper_g": [930.0] * n,
        "beyond_or_signalled": odd or [],
    }
    return {
        "title": title,
        "counts": "piece",
        "numbers": list(range(1, n + 1)),
        "tracks": [track],
    }


def drawn(said: dict[str, Any], decimal: str = ".") -> ET.Element:
    return ET.fromstring(chart_drawn(said, decimal=decimal)[0].svg)


def places(svg: ET.Element, kind: str, across: str, down: str) -> list[tuple[float, float]]:
    return [
        (float(each.attrib[across].rstrip("%")), float(each.attrib[down]))
        for each in svg.iter()
        if each.get("class") == kind
    ]


@given(
    st.lists(st.floats(800, 1000).map(lambda grams: round(grams, 1)), min_size=2, max_size=1500),
    st.randoms(use_true_random=False),
)
def test_every_point_beyond_a_limit_is_drawn(points: list[float], chance: Any) -> None:
    """However many there are, and whatever was left together of the rest."""
    odd = [place + 1 for place in range(len(points)) if chance.random() < 0.1]
    svg = drawn(chart(points, odd=odd))
    found = places(svg, "odd", "x", "y")

    assert len(odd) == len(found)
    assert sorted(found) == found
    assert all(0 <= across <= 100 for across, _ in found)
    if len(points) <= MOST_SINGLE:
        assert len(points) - len(odd) == len(places(svg, "point", "cx", "cy"))


def test_what_weighs_more_stands_higher_and_later_further_to_the_right() -> None:
    found = places(drawn(chart([880.0, 900.0, 890.0, 920.0])), "point", "cx", "cy")
    downs = [down for _, down in found]

    assert sorted(found) == found
    assert [880.0, 890.0, 900.0, 920.0] == [
        grams for _, grams in sorted(zip(downs, [880.0, 900.0, 890.0, 920.0], strict=True))[::-1]
    ]
    assert all(HIGH_PX <= down <= LOW_PX for down in downs)


def test_lines_are_straight_in_grams() -> None:
    """Mean 900 lies halfway between limits at 870 and 930, which are the ends of the field."""
    svg = drawn(chart([900.0, 900.0]))
    limits, mean = places(svg, "limit", "x1", "y1"), places(svg, "mean", "x1", "y1")

    assert [HIGH_PX, LOW_PX] == [down for _, down in limits]
    assert [(HIGH_PX + LOW_PX) / 2] == [down for _, down in mean]


def test_very_many_points_make_a_small_picture() -> None:
    points = [900.0 + (7 * place) % 23 for place in range(10_000)]
    svg = str(chart_drawn(chart(points, odd=[5000]))[0].svg)

    assert len(svg) < 40_000
    assert 1 == svg.count('class="odd"')


def test_nothing_is_styled_in_it_and_no_name_becomes_markup() -> None:
    """What the page's Content-Security-Policy would refuse is not there."""
    evil = '</title><script>alert(1)</script> "&'
    svg = drawn(chart([880.0, 950.0], odd=[2], title=evil))
    title = next(each for each in svg.iter() if each.tag.endswith("title"))

    assert title.text is not None
    assert title.text.startswith(evil)
    assert [] == [each.tag for each in svg.iter() if each.tag.endswith(("script", "style"))]
    assert [] == [
        name
        for each in svg.iter()
        for name in each.attrib
        if name == "style" or name.startswith("on")
    ]


def test_it_says_what_it_shows_to_whoever_cannot_see_it() -> None:
    found = chart_drawn(chart([880.0, 950.5], odd=[2]), decimal=",")[0]
    svg = ET.fromstring(found.svg)
    said = next(each.text for each in svg.iter() if each.tag.endswith("desc"))

    assert "img" == svg.attrib["role"]
    assert said is not None
    assert "limits 870,0 and 930,0 g" in said
    assert said.endswith("piece 2.")
    assert (("1", "880,00", ""), ("2", "950,50", "beyond or signalled")) == found.rows


def test_weights_on_the_axis_have_their_unit_and_the_shop_s_sign() -> None:
    svg = drawn(chart([899.9, 900.1]) | {}, ",")
    axis = [each.text or "" for each in svg.iter() if each.get("class") == "axis scale"]

    assert len(axis) > 1
    assert [] == [text for text in axis if not re.fullmatch(r"\d+(,\d+)? g", text)]


@pytest.mark.parametrize("points", [[900.0], [900.0, 900.0]])
def test_points_without_spread_are_drawn(points: list[float]) -> None:
    said = chart(points)
    for key in ("centre_g", "lower_g", "upper_g"):
        said["tracks"][0][key] = [900.0] * len(points)

    assert len(points) == len(places(drawn(said), "point", "cx", "cy"))


@given(st.lists(st.floats(0, 300), min_size=1, max_size=5).map(sorted), st.floats(1, 60))
def test_names_keep_apart_and_move_no_further_than_they_must(
    wanted: list[float], least: float
) -> None:
    """In their order, within the field; where all had room already, none moves."""
    moved = apart(wanted, least, (0.0, 300.0))
    steps = [after - before for before, after in pairwise(moved)]

    assert all(step >= least - 1e-6 for step in steps)
    assert all(-1e-6 <= place <= 300 + 1e-6 for place in moved)
    if all(after - before >= least for before, after in pairwise(wanted)):
        assert wanted == pytest.approx(list(moved))


def test_names_nearer_than_they_have_room_stand_around_their_middle() -> None:
    """By hand: 90 and 110 are 20 apart and need 40, so each goes 10 further."""
    assert (80.0, 120.0, 200.0) == apart([90.0, 110.0, 200.0], 40.0, (0.0, 300.0))


@given(st.floats(1e-3, 1e6), st.integers(2, 10))
def test_steps_are_round_and_few(reach: float, lines: int) -> None:
    step = nice_step(reach, lines)
    mantissa = f"{step:e}".partition("e")[0].rstrip("0").rstrip(".")

    assert mantissa in ("1", "2", "5")
    assert step * lines >= reach * (1 - 1e-6)
    assert step * lines <= reach * 10

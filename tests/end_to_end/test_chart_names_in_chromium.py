"""Words of a chart as a browser sets them: none lies on another, and no line runs through one."""

from __future__ import annotations

import random
from importlib import resources
from itertools import combinations
from typing import TYPE_CHECKING, Any

import pytest
from chromium_pages import launched

from weighstation.station.pages.office.drawing import chart_drawn

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

    Box = tuple[float, float, float, float]

CHANCE = random.Random(11)
BOXES = """kind => [...document.querySelectorAll(kind)].map(each => {
  const box = each.getBoundingClientRect();
  return [box.left, box.top, box.right, box.bottom];
})"""
LINES = ".chart line, .chart path.lead, .chart circle, .chart .odd path"


def around(mean_g: float, sd_g: float, count: int) -> list[float]:
    return [round(CHANCE.gauss(mean_g, sd_g), 1) for _ in range(count)]


CASES: dict[str, tuple[list[float], float, float]] = {
    "narrow limits, one far above": ([*around(900, 1, 30), 1000.0], 900.0, 2.0),
    "narrow limits, one far below": ([*around(900, 1, 30), 700.0], 900.0, 2.0),
    "wide limits": (around(900, 10, 40), 900.0, 30.0),
    "two pieces": ([70.0, 70.5], 70.25, 2.4),
    "one piece": ([1195.0], 1195.0, 15.0),
    "all the same": ([900.0] * 5, 900.0, 0.0),
    "many heavy pieces": (around(12_000, 10, 900), 12_000.0, 30.0),
    "a mean on a grid line": (around(70, 0.8, 40), 70.0, 2.0),
}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as found:
        yield found


def page_of(points: list[float], mean_g: float, reach_g: float) -> str:
    count = len(points)
    track: dict[str, Any] = {
        "name": "first cut",
        "points_g": points,
        "centre_g": [mean_g] * count,
        "lower_g": [mean_g - reach_g] * count,
        "upper_g": [mean_g + reach_g] * count,
        "beyond_or_signalled": [
            place for place, g in enumerate(points, 1) if abs(g - mean_g) > reach_g
        ],
    }
    chart = {
        "title": "x",
        "counts": "piece",
        "numbers": list(range(1, count + 1)),
        "tracks": [track],
    }
    static = resources.files("weighstation.station.pages") / "static"
    css = "".join((static / name).read_text("utf-8") for name in ("station.css", "office.css"))
    svg = chart_drawn(chart)[0].svg
    return f'<meta charset="utf-8"><style>{css}</style><main class="office">{svg}</main>'


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize(("wide_px", "letter"), [(390, "100%"), (1280, "100%"), (800, "150%")])
def test_no_word_of_a_chart_is_crossed(
    browser: Browser, case: str, wide_px: int, letter: str
) -> None:
    """Also where letters are half as large again, as some people set them."""
    page = browser.new_page(viewport={"width": wide_px, "height": 600})
    page.set_content(f'<html style="font-size: {letter}">{page_of(*CASES[case])}')
    words, lines = page.evaluate(BOXES, ".chart text"), page.evaluate(BOXES, LINES)
    ((left, top, right, bottom),) = page.evaluate(BOXES, ".chart")
    page.close()

    assert len(words) >= 8
    assert len(lines) > len(words) / 2
    assert [] == [pair for pair in combinations(words, 2) if _touch(*pair)]
    assert [] == [(word, line) for word in words for line in lines if _touch(word, line)]
    assert all(left <= word[0] and word[2] <= right for word in words)
    assert all(top <= word[1] and word[3] <= bottom for word in words)


def _touch(one: Box, other: Box) -> bool:
    """Return whether two boxes share more than an edge; the letters' own box has some air."""
    air = 2.0
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > 0
        and min(one[3], other[3]) - max(one[1], other[1]) > air
    )

"""A divide followed on its page in a real browser, and what the page does when it is let down."""

from __future__ import annotations

import json
import os
import statistics
from itertools import groupby
from typing import TYPE_CHECKING, Any

import pytest
from chromium_pages import Complaints, barriers, launched, until
from station_process import weighstation
from watched_page import (
    BACK_S,
    CUT_OFF_S,
    WiredScale,
    divided,
    free_port,
    look,
    silent,
    started_anew,
    stopped,
    word_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

PIECES = 6
TRIALS = 3
BETWEEN_MS = 600
FOLLOWED = """
window.followed = [];
document.addEventListener("station-state", () => queueMicrotask(() => {
  const shown = (id) => document.getElementById(id).textContent;
  const {unit} = document.getElementById("grams").dataset;
  const firm = document.getElementById("cue").dataset.firm;
  if (unit === "yes") window.followed.push([shown("word"), shown("grams"), firm === "yes"]);
}));
"""
"""Notes what stands on the page, each time that it was drawn."""
WORDS = {"keep": "KEEP", "add": "ADD", "trim": "TRIM"}

pytestmark = pytest.mark.skipif(os.name != "posix", reason="stops a process, and plays a terminal")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 800, "height": 480}, has_touch=True)
    page = context.new_page()
    page.add_init_script(FOLLOWED)
    yield page
    context.close()


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("bench") / "home"
    assert 0 == weighstation("init", home=home).returncode
    return home


def counted(page: Page) -> int:
    said = page.locator("#counted b").text_content() or "0"
    return int(said.split(" ")[0])


def lines_of(home: Path) -> list[dict[str, Any]]:
    shown = weighstation("journal", "show", "--json", home=home).stdout.splitlines()
    return [json.loads(line) for line in shown]


def test_a_divide_is_followed_cue_by_cue_and_what_is_touched_is_written_down(
    page: Page, home: Path, tmp_path: Path
) -> None:
    told = tmp_path / "events.jsonl"
    with divided(home, told=told, pieces=PIECES) as station:
        complaints = Complaints(page, station.url)
        look(page, station.url)
        until(lambda: counted(page) >= 3)
        pause(page)
        strike_out(page)
        close_board(page)
        go_on(page)
        before = counted(page)
        until(lambda: counted(page) >= before + 2)
        found = {scheme: barriers_in(page, scheme) for scheme in ("light", "dark")}
        followed, said = page.evaluate("followed"), complaints.said[:]
        end(page)
        assert 0 == station.process.wait(30)
    kinds = [line["kind"] for line in lines_of(home)]

    assert [] == said
    assert {"light": [], "dark": []} == found
    assert_told(followed, told)
    assert "run_ended" == kinds[-1]
    assert {"voided", "gap", "board_closed", "piece_kept"} <= set(kinds)


def pause(page: Page) -> None:
    page.locator('[data-control="pause"]').tap()
    until(lambda: page.locator("#word").text_content() == "PAUSED")


def strike_out(page: Page) -> None:
    before = counted(page)
    page.locator('[data-control="void"]').tap()
    page.wait_for_timeout(BETWEEN_MS)
    page.locator("#yes").tap()
    until(lambda: counted(page) == before - 1)


def close_board(page: Page) -> None:
    for _ in range(2):
        page.keyboard.press("c")
        page.wait_for_timeout(BETWEEN_MS)
    until(lambda: page.locator('[data-control="close"]').is_disabled())


def go_on(page: Page) -> None:
    page.keyboard.press("p")
    until(lambda: page.locator("#word").text_content() != "PAUSED")


def end(page: Page) -> None:
    page.locator('[data-control="end"]').tap()
    page.wait_for_timeout(BETWEEN_MS)
    page.locator("#yes").tap()


def barriers_in(page: Page, scheme: Any) -> list[Any]:
    page.emulate_media(color_scheme=scheme)
    return barriers(page)


def assert_told(followed: list[list[Any]], told: Path) -> None:
    """Everything that was shown is a line of the station, in its order; some may be passed over."""
    cues = [line for line in lines_in(told) if line["event"] == "cue" and line["verdict"] in WORDS]
    left = iter([[WORDS[cue["verdict"]], error_text(cue["error"]), cue["firm"]] for cue in cues])
    shown = [each for each, _ in groupby(followed)]

    assert [] == [each for each in shown if each not in left]
    assert len([each for each in shown if each[2]]) >= 4


def lines_in(told: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in told.read_text().splitlines()]


def error_text(error_g: float) -> str:
    return f"{error_g:+.0f}".replace("-", "\N{MINUS SIGN}") if round(error_g) else "0"


def is_always_within(limit_s: float, trial: Callable[[], float]) -> bool:
    """Tell whether it is done in time each time."""
    return max(trial() for _ in range(TRIALS)) < limit_s


def is_mostly_within(limit_s: float, trial: Callable[[], float]) -> bool:
    """Tell whether it is done in time as a rule: the median of some trials.

    For what takes the processor as long as a program takes to start.
    """
    return statistics.median(trial() for _ in range(TRIALS)) < limit_s


def test_a_process_that_stands_still_is_cut_off_and_comes_back_by_itself(
    page: Page, home: Path
) -> None:
    with divided(home, pieces=PIECES) as station:
        look(page, station.url)

        assert is_always_within(CUT_OFF_S, lambda: stopped(page, station))


def test_a_page_is_back_soon_after_its_station_was_started_anew(page: Page, home: Path) -> None:
    port = free_port()
    with divided(home, port=port, pieces=PIECES) as station:
        look(page, station.url)

    assert is_mostly_within(BACK_S, lambda: started_anew(page, home, port, pieces=PIECES))


def test_a_scale_that_falls_silent_takes_its_cue_with_it(page: Page, home: Path) -> None:
    scale = WiredScale()
    with divided(home, "--port", scale.url, pieces=PIECES) as station:
        look(page, station.url)

        assert is_always_within(CUT_OFF_S, lambda: silent(page, scale))
        assert ("SCALE", "LOST") == (word_of(page), page.locator("#grams").text_content())

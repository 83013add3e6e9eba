"""The page of a statement in a real browser: on a screen, on paper, and to assistive technology."""

from __future__ import annotations

import io
import os
import re
import shutil
from importlib import resources
from typing import TYPE_CHECKING, Any

import pytest
from station_process import weighstation
from weeks_of_a_shop import SPAN, weeks

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

SERIOUS = ("serious", "critical")
EVIL = '<img src="https://example.org/x.png" onerror="console.error(1)">'


def chromium() -> str:
    """Return where the browser is; without one skip, but never where everything must run."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        reason = "a page is looked at in Chromium: apt-get install chromium"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    path = chromium()
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - it takes 300 ms

    with sync_playwright() as driver:
        words = ["--no-sandbox", "--disable-dev-shm-usage"]
        opened = driver.chromium.launch(executable_path=path, args=words)
        yield opened
        opened.close()


@pytest.fixture(scope="module")
def statement(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("owner")
    home = weeks(folder / "bench", renamed=("Sesame roll", EVIL))
    path = folder / "week.html"
    result = weighstation("giveaway", *SPAN, "--out", str(path), home=home)
    assert (0, "") == (result.returncode, result.stderr)
    return path


@pytest.fixture(params=["light", "dark", "phone"])
def page(request: pytest.FixtureRequest, browser: Browser, statement: Path) -> Iterator[Page]:
    """The page as it is shown, with all that it asked for and complained of."""
    looks: dict[str, Any] = {
        "light": {"viewport": {"width": 1000, "height": 800}},
        "dark": {"viewport": {"width": 1000, "height": 800}, "color_scheme": "dark"},
        "phone": {"viewport": {"width": 360, "height": 740}, "has_touch": True},
    }
    context = browser.new_context(**looks[request.param])
    shown = context.new_page()
    complaints: list[str] = []
    shown.on("console", lambda message: complaints.append(message.text))
    shown.on("pageerror", lambda error: complaints.append(str(error)))
    shown.on("request", lambda asked: complaints.append(asked.url))
    shown.goto(statement.as_uri())
    asked = [told for told in complaints if not told.startswith("data:")]
    assert [statement.as_uri()] == asked
    yield shown
    context.close()


def test_nothing_serious_stands_in_the_way_of_anybody(page: Page) -> None:
    """By axe-core, the open rules of accessibility, with every folded table opened."""
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    script = resources.files("axe_core_python") / "axe.min.js"
    page.evaluate(script.read_text("utf-8"))
    found = page.evaluate("axe.run()")

    assert [] == [
        (each["id"], [node["html"][:120] for node in each["nodes"]])
        for each in found["violations"]
        if each["impact"] in SERIOUS
    ]
    assert 10 < len(found["passes"])


def test_nothing_sticks_out_to_the_side(page: Page) -> None:
    wide, seen = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")

    assert seen == wide


def test_pictures_say_what_they_show_and_no_name_is_used_twice(page: Page) -> None:
    pictures = page.get_by_role("img")
    names = page.evaluate("[...document.querySelectorAll('[id]')].map(each => each.id)")

    assert 5 == pictures.count()
    assert "Give-away of a piece, cause by cause" in page.content()
    assert len(set(names)) == len(names)
    assert 5 == page.locator("figure details table").count()
    assert 0 == page.locator("img").count()


@pytest.mark.parametrize(
    ("form", "width_pt", "inside_px"), [("A4", 595.3, 680), ("Letter", 612, 702)]
)
def test_it_prints_whole_on_both_sizes_of_paper(
    browser: Browser, statement: Path, form: str, width_pt: float, inside_px: int
) -> None:
    """Every word that is not folded is on paper, and nothing reaches over 15 mm of margin."""
    from pypdf import PdfReader  # noqa: PLC0415 - only here

    context = browser.new_context(viewport={"width": inside_px, "height": 900})
    shown = context.new_page()
    shown.goto(statement.as_uri())
    shown.emulate_media(media="print")
    words = shown.evaluate(
        "[...document.querySelectorAll('h1, h2, p, th, td, figcaption, svg text')]"
        ".filter(each => each.checkVisibility()).map(each => each.textContent)"
    )
    ends = shown.evaluate(
        "[...document.querySelectorAll('main *')].map(each => each.getBoundingClientRect().right)"
    )
    reader = PdfReader(io.BytesIO(shown.pdf(format=form, prefer_css_page_size=False)))
    context.close()
    printed = "".join(_letters(sheet.extract_text()) for sheet in reader.pages)

    for sheet in reader.pages:
        assert width_pt == pytest.approx(float(sheet.mediabox.width), abs=1)
    assert 100 < len(words)
    assert [] == [word for word in words if _letters(word) not in printed]
    assert max(ends) < inside_px + 1


def _letters(text: str) -> str:
    return re.sub(r"\s+", "", text)

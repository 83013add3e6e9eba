"""Statement and dossier in a real browser: on a screen, on paper, to assistive technology."""

from __future__ import annotations

import io
import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest
from audited_bench import FIRST_DAY, LAST_DAY, audited_home
from chromium_pages import barriers, launched
from station_process import weighstation
from weeks_of_a_shop import SPAN, weeks

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

EVIL = '<img src="https://example.org/x.png" onerror="console.error(1)">'


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as found:
        yield found


@dataclass(frozen=True)
class Written:
    """A page in a file, and what is on it."""

    path: Path
    pictures: int
    tables_of_pictures: int
    says: str


@pytest.fixture(scope="module", params=["giveaway", "dossier"])
def written(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Written:
    """Each page, with a product whose name would be a picture from elsewhere were it not text."""
    folder = tmp_path_factory.mktemp("office")
    path = folder / "page.html"
    if request.param == "giveaway":
        home = weeks(folder / "bench", renamed=("Sesame roll", EVIL))
        words, code = SPAN, 0
        found = Written(path, 5, 5, "Give-away of a piece, cause by cause")
    else:
        home = audited_home(folder / "bench", product=EVIL)
        words, code = ("--from", FIRST_DAY, "--to", LAST_DAY), 1  # pieces are doubtful
        found = Written(path, 4, 0, "Signals, and what was done")
    result = weighstation(request.param, *words, "--out", str(path), home=home)
    assert (code, "") == (result.returncode, result.stderr)
    return found


@pytest.fixture(params=["light", "dark", "phone"])
def page(request: pytest.FixtureRequest, browser: Browser, written: Written) -> Iterator[Page]:
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
    shown.goto(written.path.as_uri())
    asked = [told for told in complaints if not told.startswith("data:")]
    assert [written.path.as_uri()] == asked
    yield shown
    context.close()


def test_nothing_serious_stands_in_the_way_of_anybody(page: Page) -> None:
    """By axe-core, the open rules of accessibility, with every folded table opened."""
    assert [] == barriers(page)


def test_nothing_sticks_out_to_the_side(page: Page) -> None:
    wide, seen = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")

    assert seen == wide


def test_pictures_say_what_they_show_and_no_name_is_used_twice(
    page: Page, written: Written
) -> None:
    pictures = page.get_by_role("img")
    names = page.evaluate("[...document.querySelectorAll('[id]')].map(each => each.id)")

    assert written.pictures == pictures.count()
    for each in pictures.all():
        said = (each.get_attribute("aria-labelledby") or "none").split()
        assert all(page.locator(f"#{name}").text_content() for name in said)
    assert written.says in page.content()
    assert len(set(names)) == len(names)
    assert written.tables_of_pictures == page.locator("figure details table").count()
    assert 0 == page.locator("img").count()


@pytest.mark.parametrize(
    ("form", "width_pt", "inside_px"), [("A4", 595.3, 680), ("Letter", 612, 702)]
)
def test_it_prints_whole_on_both_sizes_of_paper(
    browser: Browser, written: Written, form: str, width_pt: float, inside_px: int
) -> None:
    """Every word that is not folded is on paper, and nothing reaches over 15 mm of margin."""
    from pypdf import PdfReader  # noqa: PLC0415 - only here

    context = browser.new_context(viewport={"width": inside_px, "height": 900})
    shown = context.new_page()
    shown.goto(written.path.as_uri())
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
    """Return what is not space, with letters that a font draws as one told apart again."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))

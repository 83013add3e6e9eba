"""The bench page on every screen: whole, still, big enough, and to be told apart by anybody."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from bench_pictures import CLOCKS, CUES, NOT_SPACED, PICTURES, SAID, SCENES
from bench_stand import Stand, standing
from chromium_pages import Complaints, barriers, launched

from weighstation.station.bench.snapshot import Scene

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PIL.Image import Image
    from playwright.sync_api import Browser, Page

    from weighstation.station.bench.snapshot import Snapshot

EYES = (Path(__file__).parent / "bench_eyes.js").read_text("utf-8")
SIZES = [(800, 480), (1024, 600), (1280, 800), (800, 1280), (1920, 1080), (390, 844), (480, 800)]
SHARE = 0.25
"""Of the short side, that word, sign and grams are high at least."""
BIG = ("keep", "add, about", "trim", "cut again", "kilogram heavy")
MM_12_PX = 12 / 25.4 * (800**2 + 480**2) ** 0.5 / 7
"""12 mm on a tablet of 800 by 480 dots whose screen is 7 inches across."""
LEAST_CONTRAST = 4.5
"""Web Content Accessibility Guidelines 2.2, success criterion 1.4.3, for text of any size."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


@pytest.fixture(scope="module")
def stand() -> Iterator[Stand]:
    with standing() as stand:
        yield stand


def opened(browser: Browser, stand: Stand, scheme: Any = "light") -> Page:
    context = browser.new_context(color_scheme=scheme, reduced_motion="reduce")
    page = context.new_page()
    page.goto(f"{stand.url}bench")
    page.evaluate(EYES)
    return page


def show(stand: Stand, page: Page, picture: Snapshot) -> None:
    """Show a picture, and wait until the page has drawn it."""
    page.evaluate("text => eyes.drawn(text)", stand.show(picture))


def looked_at(stand: Stand, page: Page, picture: Snapshot) -> dict[str, Any]:
    """Return where the parts of a picture stand, what is wrong with them, and their colours."""
    found: dict[str, Any] = page.evaluate("text => eyes.look(text)", stand.show(picture))
    return found


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_nothing_is_cut_and_nothing_moves(
    browser: Browser, stand: Stand, size: tuple[int, int]
) -> None:
    """Whatever is told: every text is whole, and every part keeps its place."""
    page = opened(browser, stand)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    found = {name: looked_at(stand, page, picture) for name, picture in PICTURES.items()}
    page.context.close()

    assert {} == {name: seen["faults"] for name, seen in found.items() if seen["faults"]}
    for has_boards in (True, False):
        alike = [
            (name, seen["places"])
            for name, seen in found.items()
            if has_boards == (PICTURES[name].clocks.record is not None)
        ]
        assert [] == [name for name, places in alike if places != alike[0][1]]


def test_two_kinds_of_benches_differ_in_their_keys_alone(browser: Browser, stand: Stand) -> None:
    page = opened(browser, stand)
    found = []
    for name in ("next", "no boards"):
        found.append(looked_at(stand, page, PICTURES[name])["places"])
        found[-1].pop("keys")
    page.context.close()

    assert found[0] == found[1]


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_word_sign_and_grams_are_a_quarter_of_the_short_side_high_as_drawn(
    browser: Browser, stand: Stand, size: tuple[int, int]
) -> None:
    """Measured on the dots of the screen, not on boxes."""
    page = opened(browser, stand)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    low = {}
    for name in BIG:
        show(stand, page, CUES[name])
        high = {part: dots / min(size) for part, dots in heights_of(page).items()}
        low[name] = {part: share for part, share in high.items() if share < SHARE}
    page.context.close()

    assert {} == {name: parts for name, parts in low.items() if parts}


def heights_of(page: Page) -> dict[str, int]:
    """Return how many rows of dots of each part of a cue differ from its ground."""
    boxes = {part: marks.getbbox() for part, marks in marks_of(page).items()}
    return {part: box[3] - box[1] for part, box in boxes.items() if box is not None}


def marks_of(page: Page) -> dict[str, Image]:
    """Return each part of a cue as it is drawn, all that stands out from its ground in white."""
    cue, drawn = box_of(page, "cue"), cue_as_drawn(page)
    shades = drawn.histogram()
    ground = shades.index(max(shades))
    ink = drawn.point([255 if abs(grey - ground) > 40 else 0 for grey in range(256)])
    found = {}
    for part in ("sign", "word", "grams"):
        box = box_of(page, part)
        left, top = round(box["x"] - cue["x"]), round(box["y"] - cue["y"]) - 2
        right, bottom = left + round(box["width"]), top + round(box["height"]) + 4
        found[part] = ink.crop((left, max(top, 0), right, bottom))
    return found


def box_of(page: Page, name: str) -> dict[str, float]:
    box: dict[str, float] = page.evaluate(
        "name => document.getElementById(name).getBoundingClientRect().toJSON()", name
    )
    return box


def cue_as_drawn(page: Page) -> Image:
    """Return the cue as it is drawn, in grey."""
    from PIL import Image  # noqa: PLC0415 - only here

    box = box_of(page, "cue")
    clip: Any = {side: box[side] for side in ("x", "y", "width", "height")}
    return Image.open(io.BytesIO(page.screenshot(clip=clip))).convert("L")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_stands_out_from_its_ground(browser: Browser, stand: Stand, scheme: str) -> None:
    page = opened(browser, stand, scheme)
    found = {
        tuple(each)
        for picture in PICTURES.values()
        for each in looked_at(stand, page, picture)["colours"]
    }
    page.context.close()
    faint = {each for each in found if contrast(each[1], each[2]) < LEAST_CONTRAST}

    assert 20 < len(found)
    assert set() == faint


def contrast(one: str, other: str) -> float:
    """Return the contrast of two colours, as the same guidelines define it."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def luminance(colour: str) -> float:
    red, green, blue = (int(part) / 255 for part in colour[4:-1].split(","))
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (red, green, blue)
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_the_measure_of_contrast_is_that_of_the_guidelines() -> None:
    """21 and 1 are the ends of its scale; #767676 is the lightest grey on white that passes."""
    assert 21 == pytest.approx(contrast("rgb(0, 0, 0)", "rgb(255, 255, 255)"))
    assert 1 == contrast("rgb(9, 9, 9)", "rgb(9, 9, 9)")
    assert 4.54 == pytest.approx(contrast("rgb(118, 118, 118)", "rgb(255, 255, 255)"), abs=0.005)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_serious_stands_in_the_way_of_anybody(
    browser: Browser, stand: Stand, scheme: str
) -> None:
    """In every kind of state, and while a question stands."""
    page = opened(browser, stand, scheme)
    complaints = Complaints(page, stand.url)
    found = {}
    for name in ("keep", "trim, about", "cut again", "scale lost", "lifted"):
        show(stand, page, PICTURES[name])
        found[name] = barriers(page)
    page.keyboard.press("e")
    found["asked"] = barriers(page)
    page.context.close()

    assert {} == {name: faults for name, faults in found.items() if faults}
    assert [] == complaints.said


def test_every_cue_has_a_sign_and_a_word_of_its_own(browser: Browser, stand: Stand) -> None:
    """So that none is told by its colour alone."""
    page = opened(browser, stand)
    signs, words = {}, {}
    for name in ("keep", "add", "trim", "cut again", "scale lost", "next", "paused", "wait"):
        show(stand, page, PICTURES[name])
        signs[name] = page.evaluate(
            "[...document.querySelectorAll('#sign path')].find(each => each.checkVisibility())"
            ".className.baseVal"
        )
        words[name] = page.evaluate("document.getElementById('word').textContent")
    page.context.close()

    assert len(signs) == len(set(signs.values()))
    assert len(words) == len(set(words.values()))


def test_firm_and_provisional_differ_in_grey(browser: Browser, stand: Stand) -> None:
    """A firm cue fills its place, a provisional one has a broken edge and a hollow sign."""
    page = opened(browser, stand)
    shares = {}
    for name in ("keep", "add", "trim", "keep, about", "add, about", "trim, about"):
        show(stand, page, PICTURES[name])
        shares[name] = marks_of(page)["sign"].histogram()[255]
    outline = page.evaluate("getComputedStyle(document.getElementById('cue')).outlineStyle")
    page.context.close()

    assert "dashed" == outline
    for name in ("keep", "add", "trim"):
        assert shares[f"{name}, about"] < 0.75 * shares[name]


def test_the_name_of_the_product_is_always_whole(browser: Browser, stand: Stand) -> None:
    page = opened(browser, stand)
    name = page.locator("#product")
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        show(stand, page, SAID["long name"])
        whole = name.evaluate("each => each.scrollHeight <= each.parentElement.clientHeight")
        assert (SAID["long name"].product, True) == (name.text_content(), whole)
        show(stand, page, SAID["long word"])
        assert NOT_SPACED == name.text_content()
    page.context.close()


def test_markup_in_a_name_is_only_a_name(browser: Browser, stand: Stand) -> None:
    page = opened(browser, stand)
    show(stand, page, SAID["markup"])

    assert SAID["markup"].product == page.locator("#product").text_content()
    assert 0 == page.locator("img").count()
    page.context.close()


@pytest.mark.parametrize("products", [[], [{"name": "Bap", "aim": "80 g"}]], ids=["", "with N"])
def test_a_gloved_finger_hits_every_key_of_a_small_tablet(
    browser: Browser, stand: Stand, products: list[dict[str, str]]
) -> None:
    """12 mm both ways, lying and upright, with boards and without, where N is a key and not."""
    page = opened(browser, stand)
    stand.wait_with({"products": products})
    small, faults = {}, []
    for width, height in ((800, 480), (480, 800)):
        page.set_viewport_size({"width": width, "height": height})
        for name in ("next", "no boards"):
            faults += looked_at(stand, page, PICTURES[name])["faults"]
            keys = page.locator("#keys button:visible")
            count = keys.count()
            boxes: dict[Any, Any] = {key: keys.nth(key).bounding_box() for key in range(count)}
            page.locator('[data-control="end"]').click()
            boxes |= {key: page.locator(key).bounding_box() for key in ("#yes", "#no")}
            page.keyboard.press("Escape")
            assert count == (6 if name == "no boards" else 10) + len(products)
            for key, box in boxes.items():
                if min(box["width"], box["height"]) < MM_12_PX:
                    small[width, name, key] = box
    stand.wait_with({})
    page.context.close()

    assert ({}, []) == (small, faults)


def test_every_scene_and_cue_is_among_the_pictures() -> None:
    scenes = {picture.scene for picture in PICTURES.values()}

    assert set(Scene) == scenes
    assert {*CUES, *SCENES, *SAID, *CLOCKS} == set(PICTURES)

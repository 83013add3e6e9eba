"""Fingers, gloves, pedals and keys at the bench page: what is meant arrives once, a slip never."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from bench_pictures import CUES, PICTURES, SAID, SCENES, USUAL
from bench_stand import Stand, standing
from chromium_pages import launched, until

from weighstation.station.bench.keys import ARMED_S, KEYS, REPEAT_DELAY_S, TWICE, Control
from weighstation.station.bench.messages import BoardAsked, StrikeOut

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from weighstation.station.bench.messages import Asked
    from weighstation.station.bench.snapshot import Snapshot

LYING: Any = {"width": 800, "height": 480}
ALL_CAN = PICTURES["in the oven"]
"""A picture in which every key for boards means one."""
MEANT: dict[Control, Asked] = {
    Control.VOID: StrikeOut(22),
    Control.END: Control.END,
    Control.CLOSE: BoardAsked(Control.CLOSE, 7),
    Control.BENCH: BoardAsked(Control.BENCH, 4),
    Control.OVEN_IN: BoardAsked(Control.OVEN_IN, 3),
    Control.OVEN_OUT: BoardAsked(Control.OVEN_OUT, 1),
}
BETWEEN_MS = 500
"""Nobody's slip, and no second thought either."""
FROM_THE_TOP = """(() => {
  const header = document.querySelector("header");
  header.tabIndex = -1;
  header.focus();
  header.blur();
})()"""
DRAWN = "said => JSON.stringify(state) === JSON.stringify(JSON.parse(said))"
PEDAL = """async ([key, times, everyMs, delayMs]) => {
  const event = {key, bubbles: true};
  const type = () => document.body.dispatchEvent(new KeyboardEvent("keydown", event));
  type();
  await new Promise((go) => setTimeout(go, delayMs));
  for (let time = 0; time < times; time += 1) {
    type();
    await new Promise((go) => setTimeout(go, everyMs));
  }
  await new Promise((go) => setTimeout(go, 300));
}"""
LISTENING = """
window.played = [];
window.contexts = 0;
const Oscillator = window.OscillatorNode;
window.OscillatorNode = class extends Oscillator {
  constructor(context, options) {
    super(context, options);
    window.played.push(options.frequency);
  }
};
const Context = window.AudioContext;
window.AudioContext = class extends Context {
  constructor() { super(); window.contexts += 1; }
};
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


@pytest.fixture(scope="module")
def module_stand() -> Iterator[Stand]:
    with standing() as stand:
        yield stand


@pytest.fixture
def stand(module_stand: Stand) -> Stand:
    module_stand.asked.clear()
    module_stand.show(ALL_CAN)
    return module_stand


@pytest.fixture(scope="module")
def module_page(browser: Browser, module_stand: Stand) -> Iterator[Page]:
    page = opened(browser, module_stand)
    yield page
    page.context.close()


@pytest.fixture
def page(module_page: Page, stand: Stand) -> Page:
    """A page on which nothing was touched for a long time."""
    module_page.set_viewport_size(LYING)
    module_page.keyboard.press("Escape")
    module_page.evaluate(FROM_THE_TOP)
    long_ago(module_page)
    show(stand, module_page, ALL_CAN)
    return module_page


def opened(browser: Browser, stand: Stand) -> Page:
    page = browser.new_context(has_touch=True, viewport=LYING).new_page()
    page.add_init_script(LISTENING)
    page.goto(f"{stand.url}bench")
    until(lambda: page.evaluate("document.body.dataset.state") == "following")
    return page


def long_ago(page: Page) -> None:
    """Have every key that was pressed be one of long ago."""
    page.evaluate("for (const key in pressed) delete pressed[key]")


def key_of(page: Page, control: Control) -> Any:
    return page.locator(f'#keys [data-control="{control.value}"]')


def show(stand: Stand, page: Page, picture: Snapshot) -> None:
    """Show a picture, and wait until the page has drawn it."""
    said = stand.show(picture)
    until(lambda: page.evaluate(DRAWN, said))


@pytest.mark.parametrize("control", TWICE, ids=lambda control: control.value)
def test_what_cannot_be_taken_back_takes_a_second_touch(
    stand: Stand, page: Page, control: Control
) -> None:
    key_of(page, control).tap()
    page.wait_for_timeout(BETWEEN_MS)

    assert [] == stand.asked
    page.locator("#yes").tap()
    until(lambda: stand.asked)
    assert [MEANT[control]] == stand.asked


@pytest.mark.parametrize("size", [(800, 480), (480, 800)], ids=["lying", "upright"])
def test_a_double_tap_confirms_nothing(stand: Stand, page: Page, size: tuple[int, int]) -> None:
    """Neither at once, nor later: where the finger still is, no button does it."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    for control in TWICE:
        box = key_of(page, control).bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.touchscreen.tap(x, y)
        page.touchscreen.tap(x, y)
        under = page.evaluate("([x, y]) => document.elementFromPoint(x, y).closest('#yes')", [x, y])
        asks = page.locator("#question").is_visible()
        page.keyboard.press("Escape")
        assert (None, True) == (under, asks), control

    assert [] == stand.asked


def test_the_second_touch_of_a_double_one_on_the_answer_is_not_heard(
    stand: Stand, page: Page
) -> None:
    page.evaluate("""() => {
      document.querySelector('[data-control="void"]').click();
      document.getElementById("yes").click();
    }""")
    page.wait_for_timeout(BETWEEN_MS)

    assert page.locator("#question").is_visible()
    assert [] == stand.asked


def test_another_board_is_chosen_by_touch(stand: Stand, page: Page) -> None:
    key_of(page, Control.BENCH).tap()
    page.wait_for_timeout(BETWEEN_MS)
    page.locator("#others button", has_text="6").tap()

    assert (
        "S again takes board 6 to the bench (6 pieces)" == page.locator("#question").text_content()
    )
    page.wait_for_timeout(BETWEEN_MS)
    page.locator("#yes").tap()
    until(lambda: stand.asked)
    assert [BoardAsked(Control.BENCH, 6)] == stand.asked


def test_another_board_is_chosen_by_its_number(stand: Stand, page: Page) -> None:
    page.keyboard.press("s")
    page.keyboard.press("5")
    page.wait_for_timeout(BETWEEN_MS)
    page.keyboard.press("s")
    until(lambda: stand.asked)

    assert [BoardAsked(Control.BENCH, 5)] == stand.asked


def test_a_board_that_cannot_be_meant_is_not_taken(stand: Stand, page: Page) -> None:
    page.keyboard.press("s")
    page.keyboard.press("9")
    page.wait_for_timeout(BETWEEN_MS)
    page.keyboard.press("s")
    page.wait_for_timeout(BETWEEN_MS)

    assert "Board 9 cannot be meant: type another number" == (
        page.locator("#question").text_content()
    )
    assert [] == stand.asked


def test_a_question_goes_when_what_it_names_is_no_longer_so(stand: Stand, page: Page) -> None:
    key_of(page, Control.VOID).tap()
    stand.show(replace(ALL_CAN, known_number=23, counted=23))
    until(lambda: page.locator("#keys").is_visible())
    page.wait_for_timeout(BETWEEN_MS)

    assert [] == stand.asked


def test_a_question_that_nobody_answers_goes(stand: Stand, page: Page) -> None:
    key_of(page, Control.END).tap()
    assert page.locator("#question").is_visible()
    page.evaluate("asked.sinceMs -= ASK_MS")
    until(lambda: page.locator("#keys").is_visible(), 2.0)

    assert [] == stand.asked
    assert page.evaluate("ASK_MS") >= 1000 * ARMED_S


@pytest.mark.parametrize("key", ["b", "v", "p"])
def test_a_pedal_that_repeats_does_nothing_twice(stand: Stand, page: Page, key: str) -> None:
    """It waits half a second, and then types its letter 30 times a second."""
    show(stand, page, SAID["lifted"])
    page.evaluate(PEDAL, [key, 8, 33, 500])
    at_once = [KEYS[key]] if KEYS[key] not in TWICE else []

    assert at_once == stand.asked
    assert page.evaluate("REPEAT_MS") >= 1000 * REPEAT_DELAY_S


def test_a_key_held_down_does_nothing_twice(stand: Stand, page: Page) -> None:
    for _ in range(5):
        page.keyboard.down("p")
    page.keyboard.up("p")
    page.wait_for_timeout(BETWEEN_MS)

    assert [Control.PAUSE] == stand.asked


def test_a_second_press_that_is_meant_is_heard(stand: Stand, page: Page) -> None:
    for _ in range(2):
        page.keyboard.press("p")
        page.wait_for_timeout(BETWEEN_MS)
    until(lambda: len(stand.asked) == 2)

    assert [Control.PAUSE, Control.PAUSE] == stand.asked


@pytest.mark.parametrize("touched", ["#tones", '[data-control="pause"]', "#no"])
def test_after_a_touch_the_space_of_a_pedal_still_turns(
    stand: Stand, page: Page, touched: str
) -> None:
    show(stand, page, SAID["lifted"])
    if touched == "#no":
        key_of(page, Control.VOID).tap()
    page.locator(touched).tap()
    page.keyboard.press("Space")
    until(lambda: Control.TURN in stand.asked)

    assert [] == [asked for asked in stand.asked if asked not in (Control.TURN, Control.PAUSE)]


def test_every_key_of_the_panel_is_a_key_of_the_page(stand: Stand, page: Page) -> None:
    show(stand, page, replace(ALL_CAN, lifted=SAID["lifted"].lifted))
    names = {" ": "Space", "\x7f": "Backspace", "\x08": "Backspace"}
    for char, control in KEYS.items():
        stand.asked.clear()
        long_ago(page)
        page.keyboard.press(names.get(char, char))
        if control in TWICE:
            assert page.locator("#question").is_visible(), char
            page.evaluate("asked.sinceMs -= SLIP_MS")
            long_ago(page)
            page.keyboard.press(names.get(char, char))
        until(lambda: stand.asked)
        assert [MEANT.get(control, control)] == stand.asked


def test_tab_and_enter_alone_strike_a_piece_out(stand: Stand, page: Page) -> None:
    """Focus is seen, goes to the harmless answer first, and comes back."""
    show(stand, page, USUAL)
    page.keyboard.press("Tab")
    focused = page.evaluate("document.activeElement.dataset.control")
    outline_px = page.evaluate("parseFloat(getComputedStyle(document.activeElement).outlineWidth)")
    page.keyboard.press("Enter")
    first = page.evaluate("document.activeElement.id")
    page.wait_for_timeout(BETWEEN_MS)
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    until(lambda: stand.asked)

    assert ("void", "no") == (focused, first)
    assert outline_px >= 2
    assert [StrikeOut(22)] == stand.asked
    assert "void" == page.evaluate("document.activeElement.dataset.control")


def test_tab_reaches_every_key_in_its_order(page: Page) -> None:
    wanted = page.evaluate(
        "[...document.querySelectorAll('#keys button:not(:disabled)')]"
        ".filter(each => !each.hidden).map(each => each.textContent)"
    )
    reached = []
    for _ in wanted:
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.textContent"))

    assert wanted == reached
    assert len(wanted) >= 9


def test_escape_asks_nothing_more(stand: Stand, page: Page) -> None:
    page.keyboard.press("e")
    page.keyboard.press("Escape")

    assert page.locator("#keys").is_visible()
    assert [] == stand.asked


def test_a_tablet_that_wakes_shows_nothing_from_before(page: Page) -> None:
    """Its clock may have slept as well, so that it cannot tell how long it was."""
    woken = page.evaluate("""() => {
      document.dispatchEvent(new Event("visibilitychange"));
      return document.body.dataset.state;
    }""")
    until(lambda: page.evaluate("document.body.dataset.state") == "following", 2.0)

    assert "cut-off" == woken


def test_a_page_stays_cut_off_while_only_the_web_server_is_alive(stand: Stand, page: Page) -> None:
    """It asks anew every 4 s, is answered, and must not take an old picture for a sign of life."""
    page.evaluate("""() => {
      window.states = [];
      window.noting = setInterval(() => states.push(document.body.dataset.state), 50);
    }""")
    stand.turns = False
    until(lambda: page.evaluate("document.body.dataset.state") == "cut-off")
    page.evaluate("states.length = 0")
    with page.expect_request("**/bench/stream"):
        pass
    page.wait_for_timeout(1000)
    states = page.evaluate("clearInterval(noting), states")
    stand.turns = True
    until(lambda: page.evaluate("document.body.dataset.state") == "following")

    assert {"cut-off"} == set(states)


def test_a_touch_on_a_batch_that_is_over_says_so(stand: Stand, page: Page) -> None:
    stand.is_over = True
    key_of(page, Control.PAUSE).tap()
    until(lambda: "That batch is over." in (page.locator("#says").text_content() or ""))
    stand.is_over = False

    assert [] == stand.asked


def test_tones_are_off_until_they_are_touched_and_can_be_told_apart(
    stand: Stand, browser: Browser
) -> None:
    """An octave and more apart, and one tone against two: one short high, two low."""
    page = opened(browser, stand)
    show(stand, page, CUES["trim"])
    show(stand, page, SCENES["next"])
    silent = page.evaluate("[contexts, played.length]")
    page.locator("#tones").tap()
    until(lambda: page.evaluate("sound && sound.state") == "running")
    until(lambda: page.evaluate("played.length"))
    tones = {}
    for name in ("keep", "trim", "add", "keep, about"):
        page.evaluate("played.length = 0")
        show(stand, page, CUES[name])
        tones[name] = page.evaluate("played")
        show(stand, page, SCENES["next"])
    page.keyboard.press("t")
    until(lambda: page.evaluate("sound.state") == "suspended")
    page.context.close()

    assert [0, 0] == silent
    assert (1, 2) == (len(tones["keep"]), len(tones["trim"]))
    assert min(tones["keep"]) > 2 * max(tones["trim"])
    assert tones["trim"] == tones["add"]
    assert [] == tones["keep, about"]

"""The bench page from the touch that begins a batch to its first cue, filmed."""

from __future__ import annotations

import os
import socket
import threading
import time
import tty
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, NamedTuple

import pytest
from chromium_pages import Complaints, launched, until
from served_station import served
from station_process import weighstation

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

FILM = """
window.film = [];
setInterval(() => {
  const shown = (id) => document.getElementById(id).textContent;
  const picture = [document.body.dataset.state, `${shown("word")} ${shown("grams")}`.trim(),
                   shown("caption"), !document.getElementById("start").hidden];
  if (JSON.stringify(picture) !== JSON.stringify(film.at(-1))) film.push(picture);
}, 50);
"""
"""A look every 50 ms; kept is what has changed."""
CUT_OFF_S = 2.5
OPENING = "the scale is being opened"
EMPTY_S = 4.0

pytestmark = pytest.mark.skipif(os.name != "posix", reason="plays a terminal")


class Picture(NamedTuple):
    """What a page showed."""

    state: str
    words: str
    caption: str
    asks: bool


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as browser:
        yield browser


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 800, "height": 480}, has_touch=True)
    page = context.new_page()
    page.add_init_script(f"addEventListener('DOMContentLoaded', () => {{{FILM}}})")
    yield page
    context.close()


class Film:
    """What a page shows from the touch that begins a batch."""

    def __init__(self, page: Page, complaints: Complaints) -> None:
        self._page = page
        self._complaints = complaints

    @property
    def pictures(self) -> list[Picture]:
        return [Picture(*each) for each in self._page.evaluate("film")]

    def wait_for(self, words: str) -> None:
        until(lambda: words in [each.words for each in self.pictures])

    def assert_never_cut_off(self) -> None:
        assert [] == [each for each in self.pictures if each.state == "cut-off"]
        assert [] == self._complaints.said


@contextmanager
def filmed(page: Page, home: Path, scale: str) -> Iterator[Film]:
    """Begin a batch by touch at a station that waits for one; show it until left."""
    with served("serve", "--port", "0", "--scale", scale, home=home) as station:
        complaints = Complaints(page, station.url)
        page.goto(f"{station.url}/bench")
        until(lambda: page.locator("#start-products button").count() > 0)
        page.locator("#start-products button").first.tap()
        page.evaluate("film.length = 0")
        page.locator("#start-begin").tap()
        yield Film(page, complaints)


def home_in(folder: Path) -> Path:
    assert 0 == weighstation("init", home=folder / "home").returncode
    return folder / "home"


def spoken(grams: int) -> bytes:
    return f"S {grams:+06d} g\r\n".encode()


class LateAnswers:
    """A scale at a pseudo-terminal that is asked, and answers late at first."""

    def __init__(self, late_s: float) -> None:
        self._near, far = os.openpty()
        tty.setraw(far)
        self.url = f"serial://{os.ttyname(far)}?ask=P%0D%0A"
        self._late_s = late_s
        threading.Thread(target=self._answer, daemon=True).start()

    def _answer(self) -> None:
        os.read(self._near, 64)
        time.sleep(self._late_s)
        began_s = time.monotonic()
        while True:
            os.write(self._near, spoken(0 if time.monotonic() - began_s < EMPTY_S else 700))
            os.read(self._near, 64)


class LateConnection:
    """A scale behind a network adapter that lets nobody in at first: its queue is full.

    Linux answers nothing to who comes to a full queue (listen(2)), and he tries again after 1 and
    3 s (RFC 6298).
    """

    def __init__(self) -> None:
        self._listener = socket.create_server(("127.0.0.1", 0), backlog=0)
        place = self._listener.getsockname()
        self.url = f"tcp://127.0.0.1:{place[1]}"
        self._filling = [socket.socket() for _ in range(2)]
        for each in self._filling:
            each.setblocking(False)
            each.connect_ex(place)

    def let_in(self) -> None:
        """Let in whoever comes, from now on."""
        for each in self._filling:
            each.close()
        threading.Thread(target=self._let_in, daemon=True).start()

    def _let_in(self) -> None:
        with suppress(OSError):
            while True:
                connection, _ = self._listener.accept()
                threading.Thread(target=self._speak, args=(connection,), daemon=True).start()

    def _speak(self, connection: socket.socket) -> None:
        began_s = time.monotonic()
        with suppress(OSError), connection:
            while True:
                connection.sendall(spoken(0 if time.monotonic() - began_s < EMPTY_S else 700))
                time.sleep(0.1)

    def close(self) -> None:
        for each in (self._listener, *self._filling):
            each.close()


def test_a_simulated_scale_is_followed_from_the_touch_to_the_first_cue(
    page: Page, tmp_path: Path
) -> None:
    with filmed(page, home_in(tmp_path), "simulated://?seed=3&speed=2") as film:
        film.wait_for("WAIT")

        film.assert_never_cut_off()
        assert {"waiting", "following"} == {each.state for each in film.pictures}


def test_a_scale_that_answers_late_is_waited_for(page: Page, tmp_path: Path) -> None:
    scale = LateAnswers(CUT_OFF_S + 1)
    with filmed(page, home_in(tmp_path), scale.url) as film:
        film.wait_for("NEXT")

        film.assert_never_cut_off()
        assert "NO SCALE YET" in [each.words for each in film.pictures]


def test_a_scale_that_opens_late_is_said_to_be_opened_for_so_many_seconds(
    page: Page, tmp_path: Path
) -> None:
    scale = LateConnection()
    with filmed(page, home_in(tmp_path), scale.url) as film:
        until(lambda: f"{OPENING}, 2 s" in [each.caption for each in film.pictures])
        scale.let_in()
        film.wait_for("NEXT")
        pictures = film.pictures

        film.assert_never_cut_off()
    scale.close()
    opening = [each for each in pictures if OPENING in each.caption]

    assert {"ONE MOMENT"} == {each.words for each in opening}
    assert {f"{OPENING}, 1 s", f"{OPENING}, 2 s"} <= {each.caption for each in opening}
    assert not any(each.asks for each in opening), "another batch is asked for meanwhile"


def test_a_scale_that_does_not_open_is_said_so_and_another_batch_can_be_begun(
    page: Page, tmp_path: Path
) -> None:
    scale = LateConnection()
    with filmed(page, home_in(tmp_path), scale.url) as film:
        until(lambda: "Nobody answers" in (page.locator("#start-said").text_content() or ""))

        film.assert_never_cut_off()
        assert page.locator("#start").is_visible()
        assert any(each.caption.startswith(OPENING) for each in film.pictures)
    scale.close()

"""A bench page let down in every way that it can be, and how late it says so or is back."""

from __future__ import annotations

import os
import signal
import socket
import threading
import tty
from typing import TYPE_CHECKING, Any

from chromium_pages import until
from served_station import served

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from own_network import Lost, OwnNetwork
    from playwright.sync_api import Page
    from served_station import Station

SCALE = "simulated://?seed=3&speed=4"
CUT_OFF_S = 2.5
BACK_S = 1.0
"""After the station was started anew: so long after it says where it is shown."""
BACK_ON_LINE_S = 3.0
"""After packets flow again; a try that was lost is made again by the system after 1 and 3 s (RFC
6298), and by the page, with a new connection, every 4 s."""
STEADY_MS = 2500
"""After so long a wired scale is known to speak all the time."""
HIDDEN = "document.elementFromPoint(innerWidth / 2, innerHeight / 3).closest('#cut-off') !== null"
SERVER = "document.querySelector('meta[name=station-server]').content"
FIRM = "document.getElementById('cue').dataset.firm"


def divided(
    home: Path,
    *words: str,
    pieces: int,
    port: int = 0,
    told: Path | None = None,
    within: Sequence[str] = (),
) -> Any:
    """Divide with pages until left."""
    plan = ("divide", "Tin loaf", "--pieces", str(pieces), "--fresh")
    pages = ("--pages", "--page-port", str(port))
    view = "--plain" if told is None else "--events"
    scale = () if "--port" in words else ("--port", SCALE)
    return served(*plan, view, *pages, *scale, *words, home=home, told=told, within=within)


def look(page: Page, url: str) -> None:
    """Open the bench page and wait until it follows."""
    page.goto(f"{url}/bench")
    wait_for_state(page, "following")


def wait_for_state(page: Page, state: str, within_s: float = 30.0) -> float:
    """Return how long it took until the page was in a state."""
    return until(lambda: page.evaluate("document.body.dataset.state") == state, within_s)


def word_of(page: Page) -> str | None:
    """Return the word of the cue."""
    return page.locator("#word").text_content()


def free_port() -> int:
    """Return a port that nobody has now."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port: int = taken.getsockname()[1]
        return port


# ---- the ways


def stopped(page: Page, station: Station) -> float:
    """Return how late a page says that its station stands still; let both go on."""
    os.kill(station.process.pid, signal.SIGSTOP)
    late_s = wait_for_state(page, "cut-off")
    assert page.evaluate(HIDDEN)
    os.kill(station.process.pid, signal.SIGCONT)
    wait_for_state(page, "following")
    return late_s


def lost(page: Page, network: OwnNetwork, which: Lost, *, for_ms: float) -> tuple[float, float]:
    """Drop packets; return how late the page says it, and how late it is back afterwards."""
    with network.dropping(which):
        late_s = wait_for_state(page, "cut-off")
        assert page.evaluate(HIDDEN)
        page.wait_for_timeout(for_ms)
        assert page.evaluate(HIDDEN)
    return late_s, wait_for_state(page, "following")


def started_anew(page: Page, home: Path, port: int, *, pieces: int) -> float:
    """Start a station at which a page has already looked; return how late the page is there."""
    server = page.evaluate(SERVER)
    with divided(home, port=port, pieces=pieces):
        return until(lambda: _is_at_another(page, server))


def _is_at_another(page: Page, server: str) -> bool:
    from playwright.sync_api import Error  # noqa: PLC0415

    try:
        found, state = page.evaluate(f"[{SERVER}, document.body.dataset.state]")
    except Error:  # between two pages
        return False
    return bool(found != server and state == "following")


class WiredScale:
    """A scale at a pseudo-terminal, that says ten times a second what a test lays on it."""

    def __init__(self) -> None:
        self._near, far = os.openpty()
        tty.setraw(far)
        self.url = f"serial://{os.ttyname(far)}"
        self.grams = 0
        self._is_silent = threading.Event()

    def speak(self) -> None:
        """Say it, from now on."""
        self._is_silent.clear()
        self._thread = threading.Thread(target=self._speak, daemon=True)
        self._thread.start()

    def fall_silent(self) -> None:
        """Say nothing any more."""
        self._is_silent.set()
        self._thread.join()

    def _speak(self) -> None:
        while not self._is_silent.wait(0.1):
            os.write(self._near, f"S {self.grams:+06d} g\r\n".encode())


def silent(page: Page, scale: WiredScale) -> float:
    """Let a silent scale speak of a piece and fall silent; return how late its cue is gone."""
    scale.grams = 0
    scale.speak()
    until(lambda: word_of(page) == "NEXT")
    page.wait_for_timeout(STEADY_MS)
    scale.grams = 700
    until(lambda: page.evaluate(FIRM) == "yes")
    word = word_of(page)
    scale.fall_silent()
    return until(lambda: word_of(page) != word)

"""Somebody else's page in the owner's own browser, on the station: it gets and does nothing."""

from __future__ import annotations

import re
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest
from chromium_pages import launched, until
from pages_station import PagesStation

if TYPE_CHECKING:
    from collections.abc import Iterator

PAGE = Path(__file__).with_name("foreign_page.html")
LINE = re.compile(r"\S+ 127\.0\.0\.1 \"([^\"]*)\" (\S+) (\S+) ([0-9]+)")


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture
def elsewhere() -> Iterator[int]:
    """The port of a server that the page comes from."""
    handler = partial(_Quiet, directory=str(PAGE.parent))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield server.server_port
        server.shutdown()
        thread.join()


@pytest.mark.parametrize("name", ["localhost", "127.0.0.1"], ids=["cross-site", "same-site"])
def test_it_reads_touches_and_frames_nothing(tmp_path: Path, elsewhere: int, name: str) -> None:
    """The browser sits where the owner does, and holds no key: only who asks is foreign."""
    station = PagesStation(tmp_path / "home")
    asked = urlencode({"station": station.url.rstrip("/")})
    log = station.home / "requests.log"
    try:
        with launched() as browser:
            page = browser.new_page()
            page.goto(f"http://{name}:{elsewhere}/{PAGE.name}?{asked}")
            got = page.evaluate("over")
            until(lambda: 2 <= log.read_text().count("GET /owner "))
            until(lambda: 3 <= log.read_text().count("POST /bench/ask "))
        answers = [line.groups() for line in map(LINE.match, log.read_text().splitlines()) if line]
    finally:
        station.end()

    assert [] == got
    assert {"403", "405"} == {status for _, _, place, status in answers if place != "(no page)"}
    assert {"/bench", "/bench/ask", "/bench/stream", "/owner", "/static"} <= {
        place for _, _, place, _ in answers
    }
    assert 2 == sum(place == "/bench/stream" for _, _, place, _ in answers), "a socket's too"

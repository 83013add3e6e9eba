"""Pages of a station in Debian's Chromium, watched for what no page of it may do."""

from __future__ import annotations

import os
import shutil
import time
from contextlib import contextmanager
from importlib import resources
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, Page

SERIOUS = ("serious", "critical")
WORDS = ["--no-sandbox", "--disable-dev-shm-usage"]
PATIENCE_S = 30.0
"""A busy machine is waited for; every wait ends with what it waits for."""
LOOK_EVERY_S = 0.01
HELD_UP_S = 0.1
"""A look that comes later than this after the last was held up by others, as the page was."""


def chromium() -> str:
    """Return where the browser is; without one skip, but never where everything must run."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        reason = "a page is looked at in Chromium: apt-get install chromium"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return found


@contextmanager
def launched(at: str = "") -> Iterator[Browser]:
    """Run the browser, or a command that runs it, until left."""
    path = at or chromium()
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - it takes 300 ms

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=WORDS)
        yield browser
        browser.close()


class Complaints:
    """What a page said on its console, and whom it asked that is not its station."""

    def __init__(self, page: Page, url: str) -> None:
        self.said: list[str] = []
        self._host = urlsplit(url).netloc
        page.on("console", lambda message: self.said.append(f"{message.type}: {message.text}"))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.on("request", lambda asked: self._asked(asked.url))

    def _asked(self, url: str) -> None:
        if urlsplit(url).netloc != self._host:
            self.said.append(f"asked {url}")


def until(holds: Callable[[], Any], within_s: float = PATIENCE_S) -> float:
    """Wait until something holds; return how long that took, but for what a busy machine took."""
    begun_s = looked_s = time.monotonic()
    took_s = 0.0
    while not holds():
        assert time.monotonic() - begun_s < within_s, "it never came to hold"
        time.sleep(LOOK_EVERY_S)
        before_s, looked_s = looked_s, time.monotonic()
        took_s += min(looked_s - before_s, HELD_UP_S)
    return took_s


def barriers(page: Page) -> list[tuple[str, list[str]]]:
    """Return what axe-core, the open rules of accessibility, finds serious on a page.

    Whatever is folded is opened first.
    """
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    if not page.evaluate("'axe' in window"):
        script = resources.files("axe_core_python") / "axe.min.js"
        page.evaluate(script.read_text("utf-8"))
    found = page.evaluate("axe.run()")
    assert len(found["passes"]) > 10
    return [
        (each["id"], [node["html"][:120] for node in each["nodes"]])
        for each in found["violations"]
        if each["impact"] in SERIOUS
    ]

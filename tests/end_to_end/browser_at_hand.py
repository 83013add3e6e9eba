"""Debian's own Chromium, driven by Playwright, and what axe-core says of a page in it."""

from __future__ import annotations

import os
import shutil
from contextlib import contextmanager
from importlib import resources
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

SERIOUS = ("serious", "critical")


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
def opened() -> Iterator[Browser]:
    """Open the browser until left."""
    path = chromium()
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - it takes 300 ms

    with sync_playwright() as driver:
        words = ["--no-sandbox", "--disable-dev-shm-usage"]
        browser = driver.chromium.launch(executable_path=path, args=words)
        yield browser
        browser.close()


def in_the_way(page: Page) -> list[tuple[str, list[str]]]:
    """Return what axe-core, the open rules of accessibility, finds serious on a page."""
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    script = resources.files("axe_core_python") / "axe.min.js"
    page.evaluate(script.read_text("utf-8"))
    found: dict[str, Any] = page.evaluate("axe.run()")
    assert len(found["passes"]) > 10
    return [
        (each["id"], [node["html"][:120] for node in each["nodes"]])
        for each in found["violations"]
        if each["impact"] in SERIOUS
    ]

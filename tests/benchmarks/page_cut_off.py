"""How late the bench page in Chromium says that it is cut off, and how late it is back.

Each way is tried so many times, at a station in a process of its own: the process is stopped; its
packets are dropped both ways, or one way, in a network of its own; its scale falls silent; it is
started anew. Late by the clock: from what was done to the first look that finds the page changed,
with a look every 10 ms. A stop or a loss begins at any moment between two beats. Of a start anew it
is from the moment at which the station says where it is shown.

Run: ``python tests/benchmarks/page_cut_off.py [TRIES]`` (Linux; iptables and the right to make a
network).
"""

from __future__ import annotations

import math
import random
import statistics
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "end_to_end"))

import chromium_pages
from chromium_pages import chromium, launched
from own_network import Lost, own_network
from station_process import weighstation
from watched_page import (
    BACK_ON_LINE_S,
    BACK_S,
    CUT_OFF_S,
    WiredScale,
    divided,
    free_port,
    look,
    lost,
    silent,
    started_anew,
    stopped,
)

if TYPE_CHECKING:
    from playwright.sync_api import Page

ENDLESS = 10_000
PORT = 7070
BEAT_MS = 500
MOST_LOST_MS = 8000


def report(what: str, late_s: list[float], limit_s: float) -> None:
    """Print how late it was."""
    over = sum(each > limit_s for each in late_s)
    print(
        f"{what:58s} n {len(late_s)}  p50 {statistics.median(late_s):.2f} s"
        f"  max {max(late_s):.2f} s  over {limit_s:g} s: {over}",
        flush=True,
    )


def between_beats(page: Page) -> None:
    """Wait until some moment between two beats."""
    page.wait_for_timeout(random.uniform(1, 2) * BEAT_MS)


def stops(page: Page, home: Path, tries: int) -> None:
    """Stop the process."""
    with divided(home, pieces=ENDLESS) as station:
        look(page, station.url)
        late_s = []
        for _ in range(tries):
            between_beats(page)
            late_s.append(stopped(page, station))
    report("cut off after the process was stopped", late_s, CUT_OFF_S)


def losses(home: Path, tries: int) -> None:
    """Drop packets, for up to twice the time after which the page tries again."""
    with own_network(PORT) as network:
        browser = network.browser_at(home / "chromium", chromium())
        weighing = divided(home, port=PORT, pieces=ENDLESS, within=network.within)
        with launched(browser) as opened, weighing:
            page = opened.new_page()
            look(page, network.url)
            for which in Lost:
                late_s, back_s = [], []
                for _ in range(tries):
                    between_beats(page)
                    for_ms = random.uniform(0, MOST_LOST_MS)
                    late, back = lost(page, network, which, for_ms=for_ms)
                    late_s.append(late)
                    back_s.append(back)
                report(f"cut off after packets were lost {which.value}", late_s, CUT_OFF_S)
                report("  back after they flowed again", back_s, BACK_ON_LINE_S)


def silences(page: Page, home: Path, tries: int) -> None:
    """Let the scale fall silent."""
    scale = WiredScale()
    with divided(home, "--port", scale.url, pieces=ENDLESS) as station:
        look(page, station.url)
        report(
            "cue gone after the scale fell silent",
            [silent(page, scale) for _ in range(tries)],
            CUT_OFF_S,
        )


def starts(page: Page, home: Path, tries: int) -> None:
    """Start the station anew."""
    port = free_port()
    with divided(home, port=port, pieces=ENDLESS) as station:
        look(page, station.url)
    late_s = []
    for _ in range(tries):
        late_s.append(started_anew(page, home, port, pieces=ENDLESS))
        page.wait_for_timeout(random.uniform(0, 10) * BEAT_MS)
    report("back after the station was started anew", late_s, BACK_S)


def main() -> None:
    """Try each way."""
    tries = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    chromium_pages.HELD_UP_S = math.inf  # by the clock, whatever else the machine does
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        assert weighstation("init", home=home).returncode == 0
        with launched() as browser:
            for way in (stops, silences, starts):
                page = browser.new_page()
                way(page, home, tries)
                page.close()
        losses(home, tries)


if __name__ == "__main__":
    main()

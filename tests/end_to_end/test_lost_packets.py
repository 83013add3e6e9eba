"""A bench page whose packets are lost without a word, and the weighing that goes on meanwhile."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING, Any

import pytest
from chromium_pages import chromium, launched
from own_network import Lost, own_network
from station_process import events_of, of_kind, weighstation
from watched_page import BACK_ON_LINE_S, CUT_OFF_S, divided, look, lost

if TYPE_CHECKING:
    from pathlib import Path

PORT = 7070
"""In a network of its own every port is free."""
LONGER = 9
MORNING = f"simulated://?seed=3&pieces={LONGER}"
ALONE = ("divide", "Tin loaf", "--fresh", "--events", "--port", f"{MORNING}&speed=max")
LOST_MS = 4000
DIVISION_G = 1.0
LATE_S = 2.0
"""By the clock of the morning, which runs twice as fast; what a busy machine may do."""

pytestmark = pytest.mark.skipif(os.name != "posix", reason="takes a network of Linux")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    assert 0 == weighstation("init", home=tmp_path / "home").returncode
    return tmp_path / "home"


def kept_in(home: Path) -> list[int]:
    """Return the numbers of the pieces in a journal whose lines follow from each other."""
    assert 0 == weighstation("journal", "verify", home=home).returncode
    shown = weighstation("journal", "show", "--json", home=home).stdout.splitlines()
    lines = [json.loads(line) for line in shown]
    return [line["body"]["number"] for line in lines if line["kind"] == "piece_kept"]


def test_packets_that_are_lost_cut_the_page_off_and_never_hold_weighing_up(
    home: Path, tmp_path: Path
) -> None:
    """Both ways or one, neither end is told; what is weighed meanwhile is what was to be weighed.

    That is known from the same morning weighed in its own time, which nobody looks at.
    """
    told = tmp_path / "events.jsonl"
    with own_network(PORT) as network:
        browser = network.browser_at(tmp_path / "chromium", chromium())
        weighing = divided(
            *(home, "--port", f"{MORNING}&speed=2"),
            pieces=LONGER,
            port=PORT,
            told=told,
            within=network.within,
        )
        with launched(browser) as opened, weighing as station:
            page = opened.new_page()
            look(page, network.url)
            tries = {which: lost(page, network, which, for_ms=LOST_MS) for which in Lost}
            assert station.process.poll() is None, "the morning was too short"
            assert 0 == station.process.wait(60)
    journal = kept_in(home)
    alone = events_of(weighstation(*ALONE, home=home))

    assert dict.fromkeys(Lost, True) == {
        which: cut_s < CUT_OFF_S and back_s < BACK_ON_LINE_S
        for which, (cut_s, back_s) in tries.items()
    }, tries
    lines = [json.loads(line) for line in told.read_text().splitlines()]
    assert_weighed_alike(of_kind(alone, "piece"), of_kind(lines, "piece"))
    assert of_kind(alone, "end")[0]["frames"] == of_kind(lines, "end")[0]["frames"]
    assert journal == list(range(1, LONGER + 1))


def assert_weighed_alike(alone: list[dict[str, Any]], told: list[dict[str, Any]]) -> None:
    """Every piece is the same, at the same time of the morning.

    It is the same to a division: which line settles it hangs on when the lines come.
    """
    assert [(each["number"], each["verdict"]) for each in alone] == [
        (each["number"], each["verdict"]) for each in told
    ]
    for one, other in zip(alone, told, strict=True):
        assert one["grams"] == pytest.approx(other["grams"], abs=DIVISION_G)
        assert one["t"] == pytest.approx(other["t"], abs=LATE_S)

"""What pages are told while a batch is being begun, and for how long."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any, cast

from weighstation.station.commands.dividing import begun as begun_module
from weighstation.station.commands.dividing.begun import ASKING, JOURNAL, SCALE, Begun

if TYPE_CHECKING:
    import pytest

    from weighstation.station.pages.bench.feed import Feed

PATIENCE_S = 10.0


class Told:
    """In the place of a feed."""

    def __init__(self) -> None:
        self.said: list[Any] = []
        self.turns = 0

    def prepare(self, said: Any) -> None:
        self.said.append(said)

    def turned(self) -> None:
        self.turns += 1

    def wait_for(self, said: str) -> None:
        until_s = time.monotonic() + PATIENCE_S
        while {"product": "Bap", "said": said} not in self.said:
            assert time.monotonic() < until_s, self.said
            time.sleep(0.01)


def test_it_tells_what_is_done_now_until_it_is_done(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(begun_module, "SAY_S", 0.01)
    told = Told()
    with Begun(cast("Feed", told), "Bap") as begun:
        told.wait_for(JOURNAL)
        begun.does(ASKING)
        told.wait_for(ASKING)
        turns = told.turns
        told.wait_for(f"{ASKING}, 1 s")

    assert told.turns > turns, "it is alive while nothing new is said"
    assert told.said[-1] is None


def test_of_a_scale_that_takes_long_it_tells_what_to_look_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(begun_module, "PATIENT_S", 1)
    told = Told()
    with Begun(cast("Feed", told), "Bap") as begun:
        begun.does(SCALE)
        told.wait_for(f"{SCALE}, 1 s: see that it is switched on")


def test_without_pages_it_tells_nobody() -> None:
    with Begun(None, "Bap") as begun:
        begun.does(SCALE)

        assert not begun.has_pages

"""Viewers get the newest picture, never those they were too slow for, and a beat only from life."""

from __future__ import annotations

import asyncio
import json
import threading
import time
from dataclasses import replace
from queue import SimpleQueue
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, cast

import pytest

from weighstation.specification import Limits
from weighstation.station.bench.keys import Control
from weighstation.station.bench.messages import StrikeOut
from weighstation.station.bench.snapshot import Scene, Snapshot
from weighstation.station.pages.bench import feed as feed_module
from weighstation.station.pages.bench.feed import Feed
from weighstation.station.pages.bench.starting import Start

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from weighstation.station.bench.runner import Runner
    from weighstation.station.bench.session import Session
    from weighstation.station.pages.bench.feed import Shown

ROLL = Snapshot(0.0, "Roll", Limits(62_000, 1_500, 2_000), 1000, Scene.EMPTY)


class Bench:
    """As much of a runner as is followed."""

    def __init__(self) -> None:
        self.session = SimpleNamespace(snapshot=ROLL)
        self.on_turn: Any = None
        self.is_over = False
        self.told: list[object] = []

    def tell(self, asked: object) -> None:
        self.told.append(asked)

    def turn(self, **news: Any) -> None:
        self.session.snapshot = replace(self.session.snapshot, **news)
        self.on_turn()


def followed(feed: Feed) -> Bench:
    bench = Bench()
    feed.follow(cast("Runner[Session]", bench))
    return bench


def product_of(shown: Shown | None) -> object:
    return None if shown is None else json.loads(shown.text).get("product")


async def first_of(bench: Bench, news: AsyncIterator[Shown | None]) -> Shown | None:
    """Return what a viewer gets when it comes, once the loop has turned."""
    coming = asyncio.ensure_future(next_of(news))
    await asyncio.sleep(0)
    await asyncio.sleep(0)
    bench.turn()
    return await coming


async def next_of(news: AsyncIterator[Shown | None]) -> Shown | None:
    return await asyncio.wait_for(anext(news), 5.0)


def test_a_viewer_gets_the_newest_picture_and_none_of_those_before_it() -> None:
    async def viewed() -> list[object]:
        feed = Feed()
        feed.serve_on(asyncio.get_running_loop())
        bench, news = followed(feed), feed.news()
        seen = [product_of(await first_of(bench, news))]
        for name in ("Batard", "Bloomer", "Bap"):
            bench.turn(product=name)
        return [*seen, product_of(await next_of(news))]

    assert ["Roll", "Bap"] == asyncio.run(viewed())


def test_a_scale_that_is_faster_than_pictures_are_drawn_leaves_room_for_everything_else() -> None:
    """Else one viewer that is never out of news would keep the event loop to itself."""

    async def viewed(over: threading.Event) -> tuple[int, int]:
        feed = Feed()
        feed.serve_on(asyncio.get_running_loop())
        bench, news = followed(feed), feed.news()
        threading.Thread(target=turn_on, args=(bench, over), daemon=True).start()
        ticking = asyncio.ensure_future(ticked())
        until_s, pictures = time.monotonic() + 1.0, 0
        while time.monotonic() < until_s:
            pictures += await next_of(news) is not None
        ticking.cancel()
        return pictures, len(ticks)

    async def ticked() -> None:
        while True:
            ticks.append(0)
            await asyncio.sleep(0.01)

    ticks: list[int] = []
    over = threading.Event()
    try:
        pictures, count = asyncio.run(viewed(over))
    finally:
        over.set()

    assert 5 <= pictures <= 1 / feed_module.GAP_S + 2
    assert count > pictures / 2


def turn_on(bench: Bench, over: threading.Event) -> None:
    while not over.is_set():
        bench.turn(product=str(time.monotonic_ns()))


def test_an_equal_picture_is_not_sent_again() -> None:
    async def viewed() -> tuple[int, int]:
        feed = Feed()
        bench = followed(feed)
        before = feed.shown()
        bench.turn(t_s=0.001)
        return before.version, feed.shown().version

    before, after = asyncio.run(viewed())

    assert before == after


def test_a_beat_comes_only_where_the_loop_has_turned(monkeypatch: pytest.MonkeyPatch) -> None:
    """A loop that stands still sends nothing at all, so a page that waits knows it."""
    monkeypatch.setattr(feed_module, "BEAT_S", 0.02)

    async def viewed() -> tuple[Shown | None, bool, Shown | None]:
        feed = Feed()
        feed.serve_on(asyncio.get_running_loop())
        bench, news = followed(feed), feed.news()
        first = await first_of(bench, news)
        waiting = asyncio.ensure_future(anext(news))
        await asyncio.sleep(0.3)
        was_still = not waiting.done()
        bench.turn()
        return first, was_still, await asyncio.wait_for(waiting, 5.0)

    first, was_still, beat = asyncio.run(viewed())

    assert first is not None
    assert was_still
    assert beat is None


def test_a_viewer_that_comes_while_the_loop_stands_still_is_told_nothing() -> None:
    """A picture that nobody drew anew may be gone by; a new viewer cannot know how old it is."""

    async def viewed() -> tuple[bool, object]:
        feed = Feed()
        feed.serve_on(asyncio.get_running_loop())
        bench, news = followed(feed), feed.news()
        waiting = asyncio.ensure_future(next_of(news))
        await asyncio.sleep(0.1)
        was_still = not waiting.done()
        bench.turn()
        return was_still, product_of(await waiting)

    assert (True, "Roll") == asyncio.run(viewed())


def test_what_is_done_before_a_batch_is_said_until_it_is_done() -> None:
    feed = Feed(SimpleQueue())
    feed.wait_with({"products": []})
    feed.prepare({"product": "Bap", "said": "the scale is being opened"})
    during = json.loads(feed.shown().text)
    feed.prepare(None)
    after = json.loads(feed.shown().text)

    assert (0, "Bap") == (during["batch"], during["preparing"]["product"])
    assert (None, {"products": []}) == (after["preparing"], after["idle"])


def test_the_loop_is_never_held_up_by_pages_that_have_closed() -> None:
    feed = Feed()
    loop = asyncio.new_event_loop()
    feed.serve_on(loop)
    loop.close()
    followed(feed).turn()

    assert 2 == feed.turns


def test_what_was_touched_on_another_batch_is_not_passed_on() -> None:
    feed = Feed()
    first = followed(feed)
    feed.leave()
    second = followed(feed)

    assert not feed.ask(StrikeOut(3), batch=1)
    assert feed.ask(StrikeOut(4), batch=2)
    assert ([], [StrikeOut(4)]) == (first.told, second.told)


def test_a_batch_that_is_over_is_asked_nothing() -> None:
    feed = Feed()
    bench = followed(feed)
    bench.is_over = True

    assert not feed.ask(Control.PAUSE, batch=1)


def test_another_batch_ends_the_one_that_goes_on() -> None:
    starts: SimpleQueue[Start] = SimpleQueue()
    feed = Feed(starts)
    bench = followed(feed)

    assert feed.begin(Start("Bap", batch=1))
    assert [Control.END] == bench.told
    assert not feed.begin(Start("Bap", batch=1)), "a second touch before it began"
    assert Start("Bap", batch=1) == starts.get_nowait()


def test_a_second_touch_while_the_batch_is_being_begun_begins_no_other_after_it() -> None:
    starts: SimpleQueue[Start] = SimpleQueue()
    feed = Feed(starts)
    feed.begin(Start("Bap"))
    starts.get_nowait()
    feed.begin(Start("Bap"))
    followed(feed)

    assert starts.empty()


@pytest.mark.parametrize(
    ("starts", "batch"), [(None, 0), (SimpleQueue(), 7)], ids=["by command", "old page"]
)
def test_nothing_is_begun_where_it_cannot_be(starts: SimpleQueue[Start] | None, batch: int) -> None:
    assert not Feed(starts).begin(Start("Bap", batch=batch))


def test_while_nothing_is_divided_what_can_be_is_shown() -> None:
    feed = Feed(SimpleQueue())
    feed.wait_with({"products": [{"name": "Bap", "aim": "80 g"}]})
    said = json.loads(feed.shown().text)

    assert (0, "Bap") == (said["batch"], said["idle"]["products"][0]["name"])

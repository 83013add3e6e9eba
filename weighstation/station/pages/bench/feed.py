"""The newest picture of the weighing loop, handed to any number of viewers on an event loop.

``weighing loop -> turned() -> event loop -> each viewer``. The weighing loop never waits: it counts
its turn and, unless a wake-up is already on its way, leaves one. A viewer that is slow finds the
newest picture when it comes back, and those between are never sent. Nor does a fast scale, or a
slow machine, fill the event loop with drawing: one picture is drawn for all viewers, and the next
no sooner than ``GAP_S`` after it.

Pictures and beats are sent only where the weighing loop has turned since the last one, and since
the viewer came: whoever hears something knows that weighing goes on, not only the web server.
"""

from __future__ import annotations

import asyncio
import json
import math
from contextlib import suppress
from typing import TYPE_CHECKING, NamedTuple

from weighstation.station.bench.keys import Control
from weighstation.station.pages.bench.state import bench_state

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Mapping
    from queue import SimpleQueue

    from weighstation.station.bench.messages import Asked
    from weighstation.station.bench.runner import Runner
    from weighstation.station.bench.session import Session
    from weighstation.station.bench.snapshot import Snapshot
    from weighstation.station.pages.bench.starting import Start

BEAT_S = 0.5
"""So often a viewer hears that weighing goes on; a page calls itself cut off after 2 s."""
GAP_S = 0.02
"""Between two pictures; fifty in a second are more than an eye follows (from memory)."""


class Shown(NamedTuple):
    """What a page shows.

    Parameters
    ----------
    version : int
        Grows whenever it changes.
    text : str
        JSON.
    """

    version: int
    text: str


class _Seen(NamedTuple):
    """What a page was made of."""

    snapshot: Snapshot | None
    idle: Mapping[str, object]
    preparing: Mapping[str, object] | None

    def is_same(self, other: _Seen | None) -> bool:
        """Return whether each part is the very same object."""
        return other is not None and all(a is b for a, b in zip(self, other, strict=True))


class Feed:
    """Pictures from one thread to the viewers on another.

    Attributes
    ----------
    turns : int
        Of the weighing loop, or of whoever waits for the next batch in its stead.
    batch : int
        Number of the batch that is followed, from 1; 0 where none is.
    starts : SimpleQueue of Start or None
        What is to be divided next, as it is asked; None where nothing can be begun from a page.
    """

    def __init__(self, starts: SimpleQueue[Start] | None = None) -> None:
        self.starts = starts
        self.turns = 0
        self.batch = 0
        self._batches = 0
        self._runner: Runner[Session] | None = None
        self._loop: asyncio.AbstractEventLoop | None = None
        self._news = asyncio.Event()
        self._is_waking = False
        self._woken_s = -math.inf
        self._is_old = True
        self._drawn: _Seen | None = None
        self._idle: Mapping[str, object] = {}
        self._preparing: Mapping[str, object] | None = None
        self._shown = Shown(0, "")

    # ---- on the threads of the bench

    def follow(self, runner: Runner[Session]) -> None:
        """Follow a batch that has not started yet.

        What was asked to be begun before it could be seen is forgotten: a second touch is no wish
        for a batch after this one.

        Parameters
        ----------
        runner : Runner of Session
        """
        while self.starts is not None and not self.starts.empty():
            self.starts.get_nowait()
        runner.on_turn = self.turned
        self._batches += 1
        self._runner, self.batch = runner, self._batches
        self.turned()

    def leave(self) -> None:
        """Follow nothing: the batch is over, and what was shown before it is no longer so."""
        self._runner, self.batch, self._idle = None, 0, {}
        self.turned()

    def wait_with(self, said: Mapping[str, object]) -> None:
        """Say what is to be shown while nothing is divided.

        Parameters
        ----------
        said : mapping
            What JSON can hold.
        """
        self._idle = said
        self.turned()

    def prepare(self, said: Mapping[str, object] | None) -> None:
        """Say what is done before a batch can be followed.

        Parameters
        ----------
        said : mapping or None
            What JSON can hold; None when it is done.
        """
        self._preparing = said
        self.turned()

    def turned(self) -> None:
        """Note that whoever weighs is alive; never waits and never fails."""
        self.turns += 1
        if self._loop is None or self._is_waking:
            return
        self._is_waking = True
        with suppress(RuntimeError):  # pages have closed
            self._loop.call_soon_threadsafe(self._wake)

    # ---- on the thread of the pages

    def serve_on(self, loop: asyncio.AbstractEventLoop) -> None:
        """Begin to wake viewers.

        Parameters
        ----------
        loop : asyncio.AbstractEventLoop
            That which runs them.
        """
        self._loop = loop

    def _wake(self) -> None:
        early_s = self._woken_s + GAP_S - self._now_s()
        if early_s > 0:
            asyncio.get_running_loop().call_later(early_s, self._wake_now)
        else:
            self._wake_now()

    def _wake_now(self) -> None:
        self._is_waking, self._is_old, self._woken_s = False, True, self._now_s()
        news, self._news = self._news, asyncio.Event()
        news.set()

    def ask(self, asked: Asked, batch: int) -> bool:
        """Pass on what a person asks for, unless it was meant for another batch.

        Parameters
        ----------
        asked : Asked
        batch : int
            That the person saw.

        Returns
        -------
        bool
            Whether it was passed on.
        """
        runner = self._runner
        if runner is None or batch != self.batch or runner.is_over:
            return False
        runner.tell(asked)
        return True

    def begin(self, start: Start) -> bool:
        """Have another batch begun; one that is going on ends first.

        Parameters
        ----------
        start : Start

        Returns
        -------
        bool
            Whether it was passed on: not where none can be begun from a page, or something else
            is divided by now than was shown.
        """
        runner = self._runner
        if self.starts is None or start.batch != self.batch or not self.starts.empty():
            return False
        self.starts.put(start)
        if runner is not None:
            runner.tell(Control.END)
        return True

    def shown(self) -> Shown:
        """Return what a page shows now; the same object while nothing changes.

        Returns
        -------
        Shown
        """
        runner, batch = self._runner, self.batch
        snapshot = None if runner is None else runner.session.snapshot
        seen = _Seen(snapshot, self._idle, self._preparing)
        if not seen.is_same(self._drawn):
            self._drawn = seen
            now = {"batch": 0} if snapshot is None else {"batch": batch, **bench_state(snapshot)}
            said = {**now, "idle": seen.idle, "preparing": seen.preparing}
            text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
            if text != self._shown.text:
                self._shown = Shown(self._shown.version + 1, text)
        return self._shown

    async def news(self) -> AsyncIterator[Shown | None]:
        """Yield what a page shows, whenever it has changed, and None for a beat between.

        Nothing comes before a turn: what stands still when a viewer comes is no news.

        Yields
        ------
        Shown or None
        """
        sent, turns, beat_s = None, self.turns, self._now_s()
        while True:
            news, shown, now_s = self._news, self._newest(), self._now_s()
            has_turned = self.turns != turns
            if has_turned and shown is not sent:
                sent, turns, beat_s = shown, self.turns, now_s
                yield shown
            elif has_turned and now_s - beat_s >= BEAT_S:
                turns, beat_s = self.turns, now_s
                yield None
            else:
                with suppress(TimeoutError):
                    async with asyncio.timeout(BEAT_S):  # wait_for would swallow a cancelling
                        await news.wait()

    def _newest(self) -> Shown:
        """Return what is shown since the last wake-up, drawn by the first viewer that asks."""
        if self._is_old:
            self._is_old = False
            self.shown()
        return self._shown

    @staticmethod
    def _now_s() -> float:
        return asyncio.get_running_loop().time()

"""Pictures -> a stream of server-sent events, for a few viewers at a time.

The format is that of the HTML standard, section 9.2 "Server-sent events".
"""

from __future__ import annotations

import asyncio
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from starlette.responses import Response

if TYPE_CHECKING:
    from collections.abc import Iterator

    from starlette.types import Receive, Scope, Send

    from weighstation.station.pages.bench.feed import Feed, Shown

MOST_STREAMS = 20
STUCK_S = 10.0
"""A viewer that takes nothing for so long is let go of."""
_HEADERS = {"content-type": "text/event-stream; charset=utf-8", "x-accel-buffering": "no"}


class Streams:
    """Counts those that are open.

    Attributes
    ----------
    open : int
    """

    def __init__(self) -> None:
        self.open = 0

    @contextmanager
    def one_more(self) -> Iterator[None]:
        """Count one while it is open."""
        self.open += 1
        try:
            yield
        finally:
            self.open -= 1


class BenchStream(Response):
    """What the bench page follows.

    Parameters
    ----------
    feed : Feed
    streams : Streams
    server : str
        Differs after every start, so that a page notices that it is an old one.
    """

    def __init__(self, feed: Feed, streams: Streams, server: str) -> None:
        super().__init__(headers=_HEADERS)
        del self.headers["content-length"]
        self._feed = feed
        self._streams = streams
        self._server = server

    async def __call__(self, _scope: Scope, receive: Receive, send: Send) -> None:
        """Stream until the viewer goes, takes nothing any more, or the server ends."""
        with self._streams.one_more():
            await send({"type": "http.response.start", "status": 200, "headers": self.raw_headers})
            streaming = asyncio.ensure_future(self._stream(send))
            leaving = asyncio.ensure_future(_gone(receive))
            try:
                await asyncio.wait((streaming, leaving), return_when=asyncio.FIRST_COMPLETED)
            finally:
                streaming.cancel()
                leaving.cancel()
                await asyncio.gather(streaming, leaving, return_exceptions=True)
            if streaming.cancelled():
                with suppress(TimeoutError):
                    await _send(send, "", is_last=True)

    async def _stream(self, send: Send) -> None:
        await _send(send, f"event: server\ndata: {self._server}\n\n")
        async for shown in self._feed.news():
            await _send(send, _event(shown))


async def _send(send: Send, text: str, *, is_last: bool = False) -> None:
    body = {"type": "http.response.body", "body": text.encode(), "more_body": not is_last}
    async with asyncio.timeout(STUCK_S):  # wait_for would swallow a cancelling
        await send(body)


async def _gone(receive: Receive) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass


def _event(shown: Shown | None) -> str:
    if shown is None:
        return "event: beat\ndata:\n\n"
    return f"event: bench\nid: {shown.version}\ndata: {shown.text}\n\n"

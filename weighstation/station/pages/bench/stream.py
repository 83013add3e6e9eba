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
MOST_OF_ONE = 6
"""So many are one paired device's; no browser keeps more connections to one place."""
STUCK_S = 10.0
"""A viewer that takes nothing for so long is let go of."""
_HEADERS = {"content-type": "text/event-stream; charset=utf-8", "x-accel-buffering": "no"}


class Streams:
    """Knows those that are open, and whose they are."""

    def __init__(self) -> None:
        self._open: list[tuple[str, asyncio.Future[None]]] = []

    def has_room(self, device: str) -> bool:
        """Return whether there may be one more.

        Parameters
        ----------
        device : str
            Empty for this machine.

        Returns
        -------
        bool
        """
        return len(self._open) < MOST_STREAMS or self._too_old(device) is not None

    @contextmanager
    def one_more(self, device: str, leaving: asyncio.Future[None]) -> Iterator[None]:
        """Keep one while it is open; the oldest of a device that has too many is let go of.

        A tablet that lost its Wi-Fi leaves a stream behind of which nobody hears for minutes.

        Parameters
        ----------
        device : str
            Empty for this machine.
        leaving : asyncio.Future
            Done, or cancelled from here, when the stream is to end.
        """
        too_old = self._too_old(device)
        if too_old is not None:
            self._open.remove(too_old)
            too_old[1].cancel()
        mine = (device, leaving)
        self._open.append(mine)
        try:
            yield
        finally:
            with suppress(ValueError):  # let go of before
                self._open.remove(mine)

    def _too_old(self, device: str) -> tuple[str, asyncio.Future[None]] | None:
        mine = [each for each in self._open if device and each[0] == device]
        return mine[0] if len(mine) >= MOST_OF_ONE else None


class BenchStream(Response):
    """What the bench page follows.

    Parameters
    ----------
    feed : Feed
    streams : Streams
    server : str
        Differs after every start, so that a page notices that it is an old one.
    device : str
        Who follows; empty for this machine.
    """

    def __init__(self, feed: Feed, streams: Streams, server: str, device: str) -> None:
        super().__init__(headers=_HEADERS)
        del self.headers["content-length"]
        self._feed = feed
        self._streams = streams
        self._server = server
        self._device = device

    async def __call__(self, _scope: Scope, receive: Receive, send: Send) -> None:
        """Stream until the viewer goes, takes nothing any more, or the server ends."""
        leaving = asyncio.ensure_future(_gone(receive))
        with self._streams.one_more(self._device, leaving):
            try:
                await send(
                    {"type": "http.response.start", "status": 200, "headers": self.raw_headers}
                )
                await self._stream_until(leaving, send)
            finally:
                leaving.cancel()
                await asyncio.gather(leaving, return_exceptions=True)

    async def _stream_until(self, leaving: asyncio.Future[None], send: Send) -> None:
        streaming = asyncio.ensure_future(self._stream(send))
        try:
            await asyncio.wait((streaming, leaving), return_when=asyncio.FIRST_COMPLETED)
        finally:
            streaming.cancel()
            await asyncio.gather(streaming, return_exceptions=True)
        with suppress(TimeoutError):  # it took nothing any more
            if streaming.cancelled():
                await _send(send, "", is_last=True)
            else:
                streaming.result()

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

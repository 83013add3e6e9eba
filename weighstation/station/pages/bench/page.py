"""The addresses of the bench page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from weighstation.errors import SpecificationError
from weighstation.station.pages.bench.asking import touch_from
from weighstation.station.pages.bench.starting import start_from
from weighstation.station.pages.bench.stream import BenchStream, Streams
from weighstation.station.pages.door.roles import Opening, Role

if TYPE_CHECKING:
    from collections.abc import Sequence

    from starlette.requests import Request

    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.paper import Paper

TOO_MANY = "Too many pages follow the bench: close some.\n"
OVER = "That batch is over.\n"
NOT_HERE = "No batch can be begun from this page now: look at what it shows.\n"


class BenchPage:
    """What is shown at the bench, and asked of it.

    Parameters
    ----------
    feed : Feed
    paper : Paper
    """

    def __init__(self, feed: Feed, paper: Paper) -> None:
        self._feed = feed
        self._paper = paper
        self._streams = Streams()

    @property
    def openings(self) -> Sequence[Opening]:
        """The addresses that are answered here."""
        return (
            Opening(Role.READER, Route("/bench", self._page)),
            Opening(Role.READER, Route("/bench/stream", self._stream), is_logged=False),
            Opening(Role.BENCH, Route("/bench/ask", self._ask, methods=["POST"])),
            Opening(Role.BENCH, Route("/bench/start", self._start, methods=["POST"])),
        )

    async def _page(self, request: Request) -> Response:
        may_weigh = request.state.role.may(Role.BENCH)
        return self._paper.page("bench.html", may="weigh" if may_weigh else "look")

    async def _stream(self, request: Request) -> Response:
        device = request.state.device
        if not self._streams.has_room(device):
            return PlainTextResponse(TOO_MANY, 503, {"Retry-After": "5"})
        return BenchStream(self._feed, self._streams, self._paper.server, device)

    async def _ask(self, request: Request) -> Response:
        try:
            touch = touch_from(await request.body())
        except SpecificationError as exc:
            return PlainTextResponse(f"{exc}\n", 400)
        if not self._feed.ask(touch.asked, touch.batch):
            return PlainTextResponse(OVER, 409)
        return Response(status_code=202)

    async def _start(self, request: Request) -> Response:
        try:
            start = start_from(await request.body())
        except SpecificationError as exc:
            return PlainTextResponse(f"{exc}\n", 400)
        if not self._feed.begin(start):
            return PlainTextResponse(NOT_HERE, 409)
        return Response(status_code=202)

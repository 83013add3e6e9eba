"""The pages of one station, put together."""

from __future__ import annotations

import secrets
from importlib import resources
from typing import TYPE_CHECKING

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from weighstation.errors import SpecificationError
from weighstation.station.pages.asking import touch_from
from weighstation.station.pages.guarding import Guarding
from weighstation.station.pages.stream import MOST_STREAMS, BenchStream, Streams

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.types import ASGIApp

    from weighstation.station.pages.feed import Feed

_PACKAGE = "weighstation.station.pages"
TOO_MANY = "Too many pages follow the bench: close some.\n"


class Site:
    """What is answered at each address.

    Parameters
    ----------
    feed : Feed
    """

    def __init__(self, feed: Feed) -> None:
        self.token = secrets.token_urlsafe(24)
        self._server = secrets.token_hex(8)
        self._feed = feed
        self._streams = Streams()
        self._templates = Environment(
            loader=PackageLoader(_PACKAGE),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )

    def app(self, hosts: tuple[str, ...]) -> ASGIApp:
        """Return the site behind its door.

        Parameters
        ----------
        hosts : tuple of str
            Names and addresses by which this station may be asked.

        Returns
        -------
        ASGIApp
        """
        static = StaticFiles(directory=str(resources.files(_PACKAGE) / "static"))
        routes = [
            Route("/", self._home),
            Route("/bench", self._bench),
            Route("/bench/stream", self._bench_stream),
            Route("/bench/ask", self._bench_ask, methods=["POST"]),
            Route("/healthz", self._health),
            Mount("/static", static),
        ]
        return Guarding(Starlette(routes=routes), hosts=hosts, token=self.token)

    async def _home(self, _request: Request) -> Response:
        return RedirectResponse("/bench", 303)

    async def _bench(self, _request: Request) -> Response:
        return self._page("bench.html")

    async def _bench_stream(self, _request: Request) -> Response:
        if self._streams.open >= MOST_STREAMS:
            return PlainTextResponse(TOO_MANY, 503, {"Retry-After": "5"})
        return BenchStream(self._feed, self._streams, self._server)

    async def _bench_ask(self, request: Request) -> Response:
        try:
            touch = touch_from(await request.body())
        except SpecificationError as exc:
            return PlainTextResponse(f"{exc}\n", 400)
        if not self._feed.ask(touch.asked, touch.batch):
            return PlainTextResponse("That batch is over.\n", 409)
        return Response(status_code=202)

    async def _health(self, _request: Request) -> Response:
        return PlainTextResponse(f"turns {self._feed.turns}\n")

    def _page(self, name: str, **said: object) -> Response:
        template = self._templates.get_template(name)
        return HTMLResponse(template.render(token=self.token, server=self._server, **said))

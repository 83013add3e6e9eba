"""The pages of one station, put together behind its door."""

from __future__ import annotations

from importlib import resources
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from weighstation.station.pages.bench.page import BenchPage
from weighstation.station.pages.door.guarding import Guarding
from weighstation.station.pages.paper import PACKAGE, Paper

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.types import ASGIApp

    from weighstation.station.pages.bench.feed import Feed


def site(feed: Feed, hosts: tuple[str, ...]) -> ASGIApp:
    """Return everything that is answered.

    Parameters
    ----------
    feed : Feed
    hosts : tuple of str
        Names and addresses by which this station may be asked.

    Returns
    -------
    ASGIApp
    """
    paper = Paper()

    async def health(_request: Request) -> Response:
        return PlainTextResponse(f"turns {feed.turns}\n")

    async def home(_request: Request) -> Response:
        return RedirectResponse("/bench", 303)

    static = StaticFiles(directory=str(resources.files(PACKAGE) / "static"))
    routes = [
        Route("/", home),
        *BenchPage(feed, paper).routes,
        Route("/healthz", health),
        Mount("/static", static),
    ]
    return Guarding(Starlette(routes=routes), hosts=hosts, token=paper.token)

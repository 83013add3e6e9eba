"""The pages of one station, put together behind its door."""

from __future__ import annotations

from importlib import resources
from typing import TYPE_CHECKING, NamedTuple

from starlette.applications import Starlette
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from weighstation.station.pages.bench.page import BenchPage
from weighstation.station.pages.door.guarding import Guarding, Site
from weighstation.station.pages.door.pairing import pairing
from weighstation.station.pages.door.roles import ANYBODY, Opening, Role
from weighstation.station.pages.office.page import OfficePages
from weighstation.station.pages.paper import PACKAGE, Paper

if TYPE_CHECKING:
    from pathlib import Path

    from starlette.requests import Request
    from starlette.types import ASGIApp

    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.door.doorkeeper import Doorkeeper
    from weighstation.station.pages.door.logbook import Logbook


class Door(NamedTuple):
    """What the door needs.

    Parameters
    ----------
    hosts : frozenset of str
        Names by which this station may be asked, in small letters.
    doorkeeper : Doorkeeper
    logbook : Logbook
    """

    hosts: frozenset[str]
    doorkeeper: Doorkeeper
    logbook: Logbook


def site(feed: Feed, door: Door, folder: Path) -> ASGIApp:
    """Return everything that is answered.

    Parameters
    ----------
    feed : Feed
    door : Door
    folder : Path
        Home of the station.

    Returns
    -------
    ASGIApp
    """
    paper = Paper()
    pages = openings(feed, door.doorkeeper, paper, folder)
    app = Starlette(routes=[page.route for page in pages])
    behind = Site(app, pages, door.hosts, paper.token, lambda: paper.closed("unknown"))
    return Guarding(behind, door.doorkeeper, door.logbook)


def openings(feed: Feed, doorkeeper: Doorkeeper, paper: Paper, folder: Path) -> tuple[Opening, ...]:
    """Return every page there is, and who may open it.

    Parameters
    ----------
    feed : Feed
    doorkeeper : Doorkeeper
    paper : Paper
    folder : Path
        Home of the station.

    Returns
    -------
    tuple of Opening
    """

    async def health(_request: Request) -> Response:
        return PlainTextResponse(f"turns {feed.turns}\n")

    async def home(_request: Request) -> Response:
        return RedirectResponse("/bench", 303)

    static = StaticFiles(directory=str(resources.files(PACKAGE) / "static"))
    return (
        Opening(Role.READER, Route("/", home)),
        *BenchPage(feed, paper).openings,
        *OfficePages(folder, paper).openings,
        pairing(doorkeeper, lambda: paper.closed("spent")),
        Opening(ANYBODY, Route("/healthz", health), is_logged=False),
        Opening(ANYBODY, Mount("/static", static), is_logged=False),
    )

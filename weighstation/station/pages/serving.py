"""A site served on a thread of its own, beside the bench."""

from __future__ import annotations

import asyncio
import socket
import threading
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

import uvicorn

from weighstation.station.pages.door.certificate import refuse_bad
from weighstation.station.pages.door.dawdling import Impatient, ImpatientLoop
from weighstation.station.pages.door.doorkeeper import Doorkeeper
from weighstation.station.pages.door.listening import WAITING, listening
from weighstation.station.pages.door.logbook import kept
from weighstation.station.pages.place import in_url, parsed
from weighstation.station.pages.site import Door, site
from weighstation.station.stores.pairs import Pairs

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from starlette.types import ASGIApp

    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.place import Place

LEAVE_S = 1
"""Viewers that are connected have so long to take what is on its way to them."""
ASKED_AT_ONCE = 80
"""So many connections are answered; the few more that come in are told to come again."""
MOST_HEAD_BYTES = 16_384
LOG = "requests.log"
_LOCAL = frozenset({"localhost", "127.0.0.1", "[::1]"})
_NOWHERE = ("192.0.2.1", 9)
"""An address that nobody has (RFC 5737); nothing is sent to find out which way it would go."""


@contextmanager
def serving(place: Place, feed: Feed, folder: Path) -> Iterator[str]:
    """Serve pages until left.

    Parameters
    ----------
    place : Place
    feed : Feed
    folder : Path
        Home of the station: who may come in, the request log, and what is read.

    Yields
    ------
    str
        Their URL.

    Raises
    ------
    SpecificationError
        If nothing can be served there.
    JournalFullError
        If the home folder cannot be written to.
    SchemaTooNewError
        If the file of devices was written by a newer weighstation.
    """
    if place.certificate:
        refuse_bad(place.certificate)
    pairs = Pairs(folder)
    with listening(place) as listener, kept(folder / LOG) as logbook:
        url = _url(place, listener)
        if place.is_on_network:
            pairs.serve_at(url, time.time_ns() // 1_000_000)
        keeper = Doorkeeper(pairs)
        server = _Server(
            site(feed, Door(_names(place), keeper, logbook), folder), feed, keeper, place
        )
        thread = threading.Thread(target=_run, args=(server, listener), name="pages", daemon=True)
        thread.start()
        try:
            yield url
        finally:
            server.should_exit = True
            thread.join()


def _names(place: Place) -> frozenset[str]:
    """Return the names by which it may be asked, besides the address that is connected to."""
    if not place.is_on_network:
        return _LOCAL
    mine = socket.gethostname().lower()
    return _LOCAL | {mine, f"{mine.partition('.')[0]}.local", in_url(place.host.lower())}


def _url(place: Place, listener: socket.socket) -> str:
    """Return what a person types to come here."""
    port = listener.getsockname()[1]
    return f"{place.scheme}://{in_url(_reached_at(place.host))}:{port}/"


def _reached_at(host: str) -> str:
    """Return an address of this machine, where it listens at all that it has."""
    address = parsed(host)
    if address is None or not address.is_unspecified:
        return host
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as looking:
        try:
            looking.connect(_NOWHERE)
        except OSError:
            return socket.gethostname()
        return str(looking.getsockname()[0])


def _run(server: uvicorn.Server, listener: socket.socket) -> None:
    with asyncio.Runner(loop_factory=ImpatientLoop) as runner:
        runner.run(server.serve([listener]))


class _Server(uvicorn.Server):
    """A server whose event loop wakes the viewers of a feed."""

    def __init__(self, app: ASGIApp, feed: Feed, keeper: Doorkeeper, place: Place) -> None:
        certificate = place.certificate
        config = uvicorn.Config(
            app,
            lifespan="off",
            http=Impatient,
            ws="none",
            log_config=None,
            access_log=False,
            proxy_headers=False,
            server_header=False,
            date_header=False,
            limit_concurrency=ASKED_AT_ONCE,
            backlog=WAITING,
            h11_max_incomplete_event_size=MOST_HEAD_BYTES,
            timeout_keep_alive=5,
            timeout_graceful_shutdown=LEAVE_S,
            ssl_certfile=certificate and certificate.path,
            ssl_keyfile=certificate and certificate.key_path,
        )
        super().__init__(config)
        self._feed = feed
        self._keeper = keeper

    async def serve(self, sockets: list[socket.socket] | None = None) -> None:
        """Serve until told to leave."""
        self._feed.serve_on(asyncio.get_running_loop())
        await super().serve(sockets)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Send the viewers away, and leave."""
        self._keeper.is_closing = True
        await super().shutdown(sockets)

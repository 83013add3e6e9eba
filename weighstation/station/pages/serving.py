"""A site served on a thread of its own, beside the bench."""

from __future__ import annotations

import asyncio
import socket
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

import uvicorn

from weighstation.errors import SpecificationError
from weighstation.station.pages.door.guarding import LOOPBACK
from weighstation.station.pages.site import site

if TYPE_CHECKING:
    from collections.abc import Iterator

    from starlette.types import ASGIApp

    from weighstation.station.pages.bench.feed import Feed
    from weighstation.station.pages.place import Place

LEAVE_S = 1
"""Viewers that are connected have so long to take what is on its way to them."""
MOST_CONNECTIONS = 64
WAITING = 32
ANY = ("0.0.0.0", "::")  # noqa: S104 - recognised here, never chosen


@contextmanager
def serving(place: Place, feed: Feed) -> Iterator[str]:
    """Serve pages until left.

    Parameters
    ----------
    place : Place
    feed : Feed

    Yields
    ------
    str
        Their URL.

    Raises
    ------
    SpecificationError
        If nothing can be served there.
    """
    with _listening(place) as listener:
        host, port = listener.getsockname()[:2]
        server = _Server(site(feed, _names(place.host)), feed)
        thread = threading.Thread(target=server.run, args=([listener],), name="pages", daemon=True)
        thread.start()
        try:
            yield f"http://{_in_url(host)}:{port}/"
        finally:
            server.should_exit = True
            thread.join()


def _listening(place: Place) -> socket.socket:
    family = socket.AF_INET6 if ":" in place.host else socket.AF_INET
    listener = socket.socket(family)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((place.host, place.port))
        listener.listen(WAITING)
    except OSError as exc:
        listener.close()
        raise SpecificationError(
            f"Pages cannot be served at {place.host} port {place.port}"
            f" ({(exc.strerror or str(exc)).lower()}).",
            hint="Give another port, or end the program that uses it.",
        ) from exc
    return listener


def _names(host: str) -> tuple[str, ...]:
    """Return the names by which a station that listens at a host may be asked."""
    if host in LOOPBACK:
        return LOOPBACK
    mine = socket.gethostname()
    return (*LOOPBACK, mine, f"{mine}.local", _in_url(host))


def _in_url(host: str) -> str:
    return f"[{host}]" if ":" in host else host


class _Server(uvicorn.Server):
    """A server whose event loop wakes the viewers of a feed."""

    def __init__(self, app: ASGIApp, feed: Feed) -> None:
        config = uvicorn.Config(
            app,
            lifespan="off",
            http="h11",
            ws="none",
            loop="asyncio",
            log_config=None,
            access_log=False,
            server_header=False,
            date_header=False,
            limit_concurrency=MOST_CONNECTIONS,
            timeout_keep_alive=5,
            timeout_graceful_shutdown=LEAVE_S,
        )
        super().__init__(config)
        self._feed = feed

    async def serve(self, sockets: list[socket.socket] | None = None) -> None:
        """Serve until told to leave."""
        self._feed.serve_on(asyncio.get_running_loop())
        await super().serve(sockets)

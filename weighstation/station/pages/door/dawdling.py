"""Connections that end where the other side dawdles.

The web server closes a connection on which nothing happens, but waits for ever for the rest of a
request that is sent a letter at a time, and for somebody who does not read what was asked for.
"""

from __future__ import annotations

import asyncio
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

LOOK_S = 1.0
SEND_S = 10.0
"""A request is wholly here so long after the connection, or the answer before it, or not at all."""
TAKE_S = 20.0
"""Something of what was written is taken at least once in so long."""
HANDSHAKE_S = 5.0
"""Who wants to speak TLS has so long to agree on how, or to say goodbye."""
_ASKING = (h11.IDLE, h11.SEND_BODY)


class ImpatientLoop(asyncio.SelectorEventLoop):
    """Waits for nobody who does not get on with TLS; and calls the listener for each connection."""

    async def create_server(self, *args: Any, **options: Any) -> asyncio.Server:  # noqa: ANN401 - as the loop has it
        """Return a server, as any loop does."""
        if options.get("ssl"):
            options["ssl_handshake_timeout"] = options["ssl_shutdown_timeout"] = HANDSHAKE_S
        return await super().create_server(*args, **options)


class Impatient(H11Protocol):
    """One connection, looked at once a second."""

    _asking_s = 0.0
    _taken_s = 0.0
    _left = 0
    _next_look: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Any) -> None:  # noqa: ANN401 - its type is a matter of the library
        """Begin to look."""
        super().connection_made(transport)
        self._asking_s = self._taken_s = self.loop.time()
        self._look()

    def connection_lost(self, exc: Exception | None) -> None:
        """Look no more."""
        if self._next_look:
            self._next_look.cancel()
        super().connection_lost(exc)

    def on_response_complete(self) -> None:
        """Wait for the next request anew."""
        self._asking_s = self.loop.time()
        super().on_response_complete()

    def _look(self) -> None:
        now_s, transport = self.loop.time(), self.transport
        left = transport.get_write_buffer_size()
        if left < self._left or not left:
            self._taken_s = now_s
        self._left = left
        is_asking = self.conn.their_state in _ASKING
        if (is_asking and now_s - self._asking_s > SEND_S) or now_s - self._taken_s > TAKE_S:
            transport.abort()
            return
        self._next_look = self.loop.call_later(LOOK_S, self._look)

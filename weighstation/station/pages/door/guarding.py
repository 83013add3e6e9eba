"""What every request must pass, and what every answer carries, before any page is asked.

- The Host must be a name of this station: a foreign one is how a page elsewhere would reach it
  (DNS rebinding).
- Whatever changes something is a POST whose Origin is that Host and which carries the page's own
  token in a header, which a foreign form cannot send.
- Bodies are small, and nothing is kept by the browser.
"""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

TOKEN_HEADER = "x-weighstation-token"  # noqa: S105 - the name of a header
MOST_BODY_BYTES = 4096
LOOPBACK = ("localhost", "127.0.0.1", "[::1]")
_SAFE = ("GET", "HEAD")
_ALWAYS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self';"
    " img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none';"
    " frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


class Guarding:
    """The station's door.

    Parameters
    ----------
    app : ASGIApp
        What is behind it.
    hosts : tuple of str
        Names and addresses by which this station may be asked, without a port.
    token : str
        That its own pages carry.
    """

    def __init__(self, app: ASGIApp, *, hosts: tuple[str, ...], token: str) -> None:
        self._app = app
        self._hosts = frozenset(host.lower() for host in hosts)
        self._token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it with why not."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        fault = self._fault(scope["method"], Headers(scope=scope))
        app = self._app if fault is None else fault
        await app(scope, _counted(receive), _with_headers(send))

    def _fault(self, method: str, headers: Headers) -> PlainTextResponse | None:
        host = headers.get("host", "")
        if _without_port(host) not in self._hosts:
            return PlainTextResponse("This station has another name.\n", 400)
        if method in _SAFE:
            return None
        if headers.get("origin") not in (f"http://{host}", f"https://{host}"):
            return PlainTextResponse("That was asked by a page of somebody else.\n", 403)
        if not secrets.compare_digest(headers.get(TOKEN_HEADER, "").encode(), self._token.encode()):
            return PlainTextResponse("Load the page again.\n", 403)
        if _is_too_long(headers.get("content-length", "")):
            return PlainTextResponse("That is too long.\n", 413)
        return None


def _is_too_long(length: str) -> bool:
    """Return whether a body says that it is; one that does not say it is counted as it comes."""
    return length.isdecimal() and (len(length) > 9 or int(length) > MOST_BODY_BYTES)


def _without_port(host: str) -> str:
    name, colon, port = host.lower().rpartition(":")
    return name if colon and port.isdecimal() else host.lower()


def _counted(receive: Receive) -> Receive:
    """Return a receiver that ends a body that is longer than it may be."""
    left = MOST_BODY_BYTES

    async def counted() -> Message:
        nonlocal left
        message = await receive()
        if message["type"] == "http.request":
            left -= len(message.get("body", b""))
            if left < 0:
                return {"type": "http.disconnect"}
        return message

    return counted


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _ALWAYS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "no-store")
        await send(message)

    return sent

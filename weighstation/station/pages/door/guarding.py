"""What every request must pass, and what every answer carries, before any page is asked.

In this order, and whatever is not plainly allowed is refused:

- The Host must be a name of this station, or the very address that was connected to: a foreign name
  is how a page elsewhere would reach it (DNS rebinding).
- A page of somebody else may link here, and neither embed nor fetch anything.
- The page must be one of those on the site, and whoever asks must be what it needs.
- Whatever changes something is a POST whose Origin is that Host and which carries the page's own
  token in a header, which a foreign form cannot send. Its body is short.
"""

from __future__ import annotations

import asyncio
import secrets
from typing import TYPE_CHECKING, NamedTuple

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Match

from weighstation.station.pages.door.doorkeeper import (
    TOO_MANY_KEYS,
    Visitor,
    address_of,
    cookie_name,
)
from weighstation.station.pages.place import parsed

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from starlette.types import ASGIApp, Message, Receive, Scope, Send

    from weighstation.station.pages.door.doorkeeper import Doorkeeper
    from weighstation.station.pages.door.logbook import Logbook
    from weighstation.station.pages.door.roles import Opening, Role

TOKEN_HEADER = "x-weighstation-token"  # noqa: S105 - the name of a header
MOST_BODY_BYTES = 4096
LOOK_S = 0.5
"""So often it is looked at whether somebody who follows a page may still do so."""
NO_PAGE = "(no page)"
_METHODS = ("GET", "HEAD", "POST")
_ALWAYS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self';"
    " img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none';"
    " frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


class Site(NamedTuple):
    """What is behind the door.

    Parameters
    ----------
    app : ASGIApp
    openings : sequence of Opening
        The pages of the app, all of them.
    hosts : frozenset of str
        Names by which this station may be asked, in small letters and without a port.
    token : str
        That its own pages carry.
    closed : callable
        Gives the page that is shown to somebody we do not know.
    """

    app: ASGIApp
    openings: Sequence[Opening]
    hosts: frozenset[str]
    token: str
    closed: Callable[[], Response]


class Guarding:
    """The station's door.

    Parameters
    ----------
    site : Site
    doorkeeper : Doorkeeper
    logbook : Logbook
    """

    def __init__(self, site: Site, doorkeeper: Doorkeeper, logbook: Logbook) -> None:
        self._site = site
        self._doorkeeper = doorkeeper
        self._logbook = logbook

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it with why not; nothing but HTTP is answered."""
        if scope["type"] != "http":
            return
        visitor, opening = Visitor(address_of(scope)), self._opening(scope)
        app: ASGIApp | None = self._stranger(scope)
        if app is None and opening is None:
            app = _refusal("There is no such page.", 404)
        if app is None and opening and opening.needs:
            visitor = self._doorkeeper.visitor(scope)
            app = self._unfit(opening.needs, visitor, scope)
        app = app or self._foreign_post(scope)
        if app is None:
            device = visitor.name if visitor.key else ""
            scope.setdefault("state", {}).update(role=visitor.role, device=device)
            app, receive = await self._let_in(scope, receive, visitor)
        await app(scope, receive, self._sending(send, scope, opening, visitor))

    def _opening(self, scope: Scope) -> Opening | None:
        matching = (
            each for each in self._site.openings if each.route.matches(scope)[0] != Match.NONE
        )
        return next(matching, None)

    def _stranger(self, scope: Scope) -> Response | None:
        """Return what is answered to a request that cannot come from a page of ours."""
        headers = Headers(scope=scope)
        if not self._is_ours(headers.get("host", ""), scope):
            return _refusal("This station has another name.", 400)
        if scope["method"] not in _METHODS:
            return _refusal("That cannot be done here.", 405, {"Allow": ", ".join(_METHODS)})
        if _is_foreign(headers, _own_origin(scope, headers)):
            return _refusal("That was asked by a page of somebody else.", 403)
        return None

    def _is_ours(self, host: str, scope: Scope) -> bool:
        name = _without_port(host)
        if name in self._site.hosts:
            return True
        address = parsed(name.strip("[]"))
        return address is not None and address == parsed(scope["server"][0])

    def _unfit(self, needs: Role, visitor: Visitor, scope: Scope) -> Response | None:
        """Return what is answered to somebody who is not what a page needs."""
        if visitor.is_unheard:
            return PlainTextResponse(TOO_MANY_KEYS, 429, {"Retry-After": "60"})
        if visitor.role is None:
            answer = self._site.closed()
            if visitor.key:  # it fits nothing any more: let it not be shown again and again
                answer.delete_cookie(cookie_name(scope))
            return answer
        if not visitor.role.may(needs):
            said = f"This device is paired as {visitor.role.value}: it may not do that."
            return _refusal(said, 403)
        return None

    def _foreign_post(self, scope: Scope) -> Response | None:
        if scope["method"] != "POST":
            return None
        headers = Headers(scope=scope)
        if headers.get("origin") != _own_origin(scope, headers):
            return _refusal("That was asked by a page of somebody else.", 403)
        if not secrets.compare_digest(
            headers.get(TOKEN_HEADER, "").encode(), self._site.token.encode()
        ):
            return _refusal("Load the page again.", 403)
        if _is_too_long(headers.get("content-length", "")):
            return _too_long()
        return None

    async def _let_in(
        self, scope: Scope, receive: Receive, visitor: Visitor
    ) -> tuple[ASGIApp, Receive]:
        watched = _watched(receive, lambda: self._doorkeeper.still_in(visitor))
        if scope["method"] != "POST":
            return self._site.app, watched
        body = await _body(receive)
        if body is None:
            return _too_long(), receive
        return self._site.app, _after(body, watched)

    def _sending(self, send: Send, scope: Scope, opening: Opening | None, visitor: Visitor) -> Send:
        """Return a sender that puts on what every answer carries, and notes it."""
        pattern = opening.route.path if opening else NO_PAGE

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                _put_on(MutableHeaders(scope=message))
                status = message["status"]
                if status >= 400 or opening is None or opening.is_logged:
                    method = scope["method"] if scope["method"] in _METHODS else "?"
                    self._logbook.note(visitor.address, visitor.name, method, pattern, status)
            await send(message)

        return sent


def _own_origin(scope: Scope, headers: Headers) -> str:
    return f"{scope['scheme']}://{headers.get('host')}"


def _is_foreign(headers: Headers, own_origin: str) -> bool:
    """Return whether another site's page asks for more than to be left for a page of ours.

    Where a browser says too little of who asks (over plain HTTP on a network, or for a WebSocket),
    it names the origin at least.
    """
    if headers.get("origin", own_origin) != own_origin:
        return True
    if headers.get("sec-fetch-site") not in ("cross-site", "same-site"):
        return False
    is_left = headers.get("sec-fetch-mode") == "navigate"
    return not is_left or headers.get("sec-fetch-dest", "document") != "document"


def _refusal(said: str, status: int, headers: dict[str, str] | None = None) -> Response:
    return PlainTextResponse(f"{said}\n", status, headers)


def _too_long() -> Response:
    return _refusal("That is too long.", 413, {"Connection": "close"})


def _is_too_long(length: str) -> bool:
    """Return whether a body says that it is; one that does not say it is counted as it comes."""
    return length.isdecimal() and (len(length) > 9 or int(length) > MOST_BODY_BYTES)


def _without_port(host: str) -> str:
    name, colon, port = host.lower().rpartition(":")
    return name if colon and port.isdecimal() else host.lower()


def _put_on(headers: MutableHeaders) -> None:
    for name, value in _ALWAYS.items():
        headers.setdefault(name, value)
    headers.setdefault("Cache-Control", "no-store")


# ---- what is still to come of a request


async def _body(receive: Receive) -> bytes | None:
    """Return a body; None where it is too long."""
    body = b""
    while True:
        message = await receive()
        body += bytes(message.get("body", b""))
        if len(body) > MOST_BODY_BYTES:
            return None
        if not message.get("more_body"):
            return body


def _after(body: bytes, receive: Receive) -> Receive:
    """Return a receiver that gives a body first."""
    bodies = [body]

    async def received() -> Message:
        if bodies:
            return {"type": "http.request", "body": bodies.pop(), "more_body": False}
        return await receive()

    return received


def _watched(receive: Receive, may_stay: Callable[[], bool]) -> Receive:
    """Return a receiver for whom the other side is gone once it may not stay."""

    async def received() -> Message:
        coming = asyncio.ensure_future(receive())
        try:
            while may_stay():
                if (await asyncio.wait({coming}, timeout=LOOK_S))[0]:
                    return coming.result()
        finally:
            coming.cancel()
        return {"type": "http.disconnect"}

    return received

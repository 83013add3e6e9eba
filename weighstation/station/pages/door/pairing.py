"""The page behind a pairing link: the link is used up, and the browser keeps a key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from weighstation.errors import WeighstationError
from weighstation.station.pages.door.doorkeeper import TOO_MANY_KEYS, cookie_name
from weighstation.station.pages.door.roles import ANYBODY, Opening
from weighstation.station.stores.pairs import KEY_S

if TYPE_CHECKING:
    from collections.abc import Callable

    from starlette.requests import Request

    from weighstation.station.pages.door.doorkeeper import Doorkeeper

PREFIX = "/pair/"
NOT_LOOKED_UP = (
    "The station cannot look up whom it lets in: type 'weighstation pair --list' there.\n"
)


def pairing(doorkeeper: Doorkeeper, spent: Callable[[], Response]) -> Opening:
    """Return the page that a pairing link leads to.

    Parameters
    ----------
    doorkeeper : Doorkeeper
    spent : callable
        Gives the page that is shown where a link is no good.

    Returns
    -------
    Opening
    """

    async def pair(request: Request) -> Response:
        if request.method == "HEAD":  # a look ahead uses nothing up
            return Response(status_code=204)
        if not doorkeeper.hears(request.scope):
            return PlainTextResponse(TOO_MANY_KEYS, 429, {"Retry-After": "60"})
        try:
            paired = doorkeeper.pair(request.path_params["secret"], request.scope)
        except WeighstationError:  # its sentence names files, and a stranger asks
            return PlainTextResponse(NOT_LOOKED_UP, 503)
        return spent() if paired is None else _keyed(request, paired[0])

    return Opening(ANYBODY, Route(PREFIX + "{secret}", pair))


def _keyed(request: Request, key: str) -> Response:
    """Return the way on to a URL that has no secret in it, with the key in a cookie."""
    answer = RedirectResponse("/", 303)
    answer.set_cookie(
        cookie_name(request.scope),
        key,
        max_age=KEY_S,
        secure=request.url.scheme == "https",
        httponly=True,
        samesite="strict",
    )
    return answer

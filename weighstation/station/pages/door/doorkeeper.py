"""A request -> who asks: somebody on this machine, a paired device, or nobody we know."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, NamedTuple

from starlette.datastructures import Headers
from starlette.requests import cookie_parser

from weighstation.errors import WeighstationError
from weighstation.station.pages.door.guesses import Guesses
from weighstation.station.pages.door.roles import Role
from weighstation.station.pages.place import is_here

if TYPE_CHECKING:
    from starlette.types import Scope

    from weighstation.station.stores.pairs import Device, Pairs

HERE = "this machine"
TOO_MANY_KEYS = "Too many keys were tried: wait a minute.\n"
_PASSED_ON = ("forwarded", "via", "x-forwarded", "x-real-ip", "x-client-ip", "x-original-")
"""How what some other program hands on is marked: it was not asked on this machine."""
_OLD = "1.0"
"""The HTTP that no browser speaks, and many a proxy to what is behind it."""


class Visitor(NamedTuple):
    """Who asks.

    Parameters
    ----------
    address : str
        Where from.
    name : str
    role : Role or None
        None for somebody we do not know.
    key : str
        That was shown, and looked up; empty on this machine.
    is_unheard : bool
        Too many wrong keys came from there.
    """

    address: str
    name: str = ""
    role: Role | None = None
    key: str = ""
    is_unheard: bool = False


class Doorkeeper:
    """Knows who may come in.

    Parameters
    ----------
    pairs : Pairs
    """

    def __init__(self, pairs: Pairs) -> None:
        self._pairs = pairs
        self._guesses = Guesses()
        self.is_closing = False

    def visitor(self, scope: Scope) -> Visitor:
        """Return who asks.

        A good key is heard whatever else came from its address: a page of somebody else, open on
        the same device, can send wrong ones.

        Parameters
        ----------
        scope : Scope
            Of a request.

        Returns
        -------
        Visitor
        """
        address, headers = address_of(scope), Headers(scope=scope)
        if is_here(address) and not _is_passed_on(scope, headers):
            return Visitor(address, HERE, Role.OWNER)
        key = cookie_parser(headers.get("cookie", "")).get(cookie_name(scope), "")
        if not key:
            return Visitor(address)
        known = self._known(key)
        if known.role is not None or not known.key:  # good, or nobody can tell
            return known._replace(address=address)
        if not self.hears(scope):
            return Visitor(address, is_unheard=True)
        self._guesses.failed(address, time.monotonic())
        return known._replace(address=address)

    def still_in(self, visitor: Visitor) -> bool:
        """Return whether somebody who was let in may stay.

        Parameters
        ----------
        visitor : Visitor

        Returns
        -------
        bool
        """
        if self.is_closing:
            return False
        return not visitor.key or self._known(visitor.key).role is visitor.role

    def hears(self, scope: Scope) -> bool:
        """Return whether a link from there is looked at, and a wrong key counted.

        Parameters
        ----------
        scope : Scope
            Of the request that brings it.

        Returns
        -------
        bool
        """
        return self._guesses.may_try(address_of(scope), time.monotonic())

    def pair(self, secret: str, scope: Scope) -> tuple[str, Device] | None:
        """Use a pairing link up.

        Parameters
        ----------
        secret : str
        scope : Scope
            Of the request that brought it.

        Returns
        -------
        tuple of str and Device, or None
            The key of a device from now on; None where the link is no good.

        Raises
        ------
        JournalFullError
            If it cannot be kept.
        SchemaTooNewError
            If the file of devices was written by a newer weighstation.
        """
        paired = self._pairs.use(secret, _now_ms())
        if paired is None:
            self._guesses.failed(address_of(scope), time.monotonic())
        return paired

    def _known(self, key: str) -> Visitor:
        try:
            device = self._pairs.device(key, _now_ms())
            role = None if device is None else Role(device.role)
        except (WeighstationError, ValueError):  # a file that cannot be read lets nobody in
            return Visitor("")
        return Visitor("", device.name if device else "", role, key)


def _is_passed_on(scope: Scope, headers: Headers) -> bool:
    marked = any(name.startswith(_PASSED_ON) for name in headers)
    return marked or scope["http_version"] == _OLD


def address_of(scope: Scope) -> str:
    """Return where a request comes from.

    Parameters
    ----------
    scope : Scope

    Returns
    -------
    str
    """
    client = scope.get("client")
    return client[0] if client else ""


def cookie_name(scope: Scope) -> str:
    """Return the cookie that holds a key; other ports of this machine have other ones.

    Parameters
    ----------
    scope : Scope

    Returns
    -------
    str
    """
    return f"weighstation-{scope['server'][1]}"


def _now_ms() -> int:
    return time.time_ns() // 1_000_000

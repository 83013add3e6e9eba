"""Where connections come in, and no more of them than a bench can spare."""

from __future__ import annotations

import errno
import socket
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from weighstation.errors import SpecificationError
from weighstation.station.pages.place import is_here

if TYPE_CHECKING:
    from weighstation.station.pages.place import Place

WAITING = 32
MOST = 96
"""So many connections there are at most; files that the journal needs stay free."""
MOST_OF_ONE = 48
"""So many of them are one address's, so that others get in."""
MOST_OF_OTHERS = 72
"""So many of them are other machines', so that a flood from the network keeps nobody out here."""
SEND_BYTES = 65_536
"""The system keeps so much for somebody who does not read; then we notice."""
GONE_S = 20
"""Who has not said for so long that it got what was sent is gone: switched off, or out of reach."""
_HINTS = {
    errno.EADDRINUSE: "Give another port, or end the program that uses it.",
    errno.EADDRNOTAVAIL: "Give an address of this machine, or 0.0.0.0 for all that it has.",
    errno.EACCES: "Ports below 1024 are the system's own: give one above.",
}


class Listener(socket.socket):
    """A socket that hangs up on those who are too many."""

    def __init__(self, family: int) -> None:
        super().__init__(family, socket.SOCK_STREAM)
        self._open: WeakKeyDictionary[socket.socket, str] = WeakKeyDictionary()

    def accept(self) -> tuple[socket.socket, Any]:
        """Return the next connection.

        Returns
        -------
        tuple of socket and address

        Raises
        ------
        BlockingIOError
            If there is none, or it was hung up on.
        """
        connection, address = super().accept()
        if not self._has_room(address[0]):
            connection.close()
            raise BlockingIOError
        self._open[connection] = address[0]
        return connection, address

    def _has_room(self, address: str) -> bool:
        inside = [host for each, host in self._open.items() if each.fileno() >= 0]
        if len(inside) >= MOST or inside.count(address) >= MOST_OF_ONE:
            return False
        return is_here(address) or sum(not is_here(each) for each in inside) < MOST_OF_OTHERS


def listening(place: Place) -> Listener:
    """Return a socket that listens at a place.

    Parameters
    ----------
    place : Place

    Returns
    -------
    Listener

    Raises
    ------
    SpecificationError
        If nothing can.
    """
    listener = None
    try:
        family, address = _found(place)
        listener = Listener(family)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BYTES)
        if hasattr(socket, "TCP_USER_TIMEOUT"):  # else it takes the system a quarter of an hour
            listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, GONE_S * 1000)
        listener.bind(address)
        listener.listen(WAITING)
    except OSError as exc:
        if listener is not None:
            listener.close()
        why = (exc.strerror or str(exc)).lower()
        hint = "There is no such name: " if isinstance(exc, socket.gaierror) else ""
        hint += _HINTS.get(exc.errno or 0, _HINTS[errno.EADDRNOTAVAIL])
        raise SpecificationError(
            f"Pages cannot be served at {place.host} port {place.port} ({why}).", hint=hint
        ) from exc
    return listener


def _found(place: Place) -> tuple[int, Any]:
    if not place.host:
        raise _no_name()
    try:
        found = socket.getaddrinfo(place.host, place.port, type=socket.SOCK_STREAM)
    except UnicodeError as exc:  # no name can look like that
        raise _no_name() from exc
    family, _, _, _, address = found[0]
    return family, address


def _no_name() -> socket.gaierror:
    return socket.gaierror(socket.EAI_NONAME, "Name or service not known")

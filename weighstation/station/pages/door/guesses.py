"""Keys that fit nothing, counted: who tries too many is not heard for a while.

A secret of 192 bits is not found by trying. The limit keeps the trying from costing anything.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from ipaddress import IPv6Address

from weighstation.station.pages.place import parsed

OF_ONE = 10
"""So many wrong keys in a row are one address's to try."""
FORGIVEN_S = 6.0
"""One of them is forgotten after so long."""
OF_ALL = 100
ALL_FORGIVEN_S = 1.0
MOST_ADDRESSES = 256


class _Leaking:
    """A count that goes down by itself."""

    def __init__(self, forgiven_s: float) -> None:
        self._forgiven_s = forgiven_s
        self._level = 0.0
        self._at_s = -math.inf

    def level(self, now_s: float) -> float:
        gone = (now_s - self._at_s) / self._forgiven_s
        return max(0.0, self._level - gone)

    def add(self, now_s: float) -> None:
        self._level, self._at_s = self.level(now_s) + 1, now_s


class Guesses:
    """Who has tried how often; remembers a fixed number of addresses."""

    def __init__(self) -> None:
        self._all = _Leaking(ALL_FORGIVEN_S)
        self._of: OrderedDict[str, _Leaking] = OrderedDict()

    def may_try(self, address: str, now_s: float) -> bool:
        """Return whether a key from there is looked at.

        While all together try too often, only those are heard who have not failed lately.

        Parameters
        ----------
        address : str
        now_s : float, seconds

        Returns
        -------
        bool
        """
        tried = self._of.get(_neighbourhood(address))
        level = tried.level(now_s) if tried else 0.0
        if self._all.level(now_s) > OF_ALL - 1:
            return level == 0
        return level <= OF_ONE - 1

    def failed(self, address: str, now_s: float) -> None:
        """Count a key that fits nothing.

        Parameters
        ----------
        address : str
        now_s : float, seconds
        """
        self._all.add(now_s)
        place = _neighbourhood(address)
        self._of.setdefault(place, _Leaking(FORGIVEN_S)).add(now_s)
        self._of.move_to_end(place)
        if len(self._of) > MOST_ADDRESSES:
            self._of.popitem(last=False)


def _neighbourhood(address: str) -> str:
    """Return what stands for an address: of IPv6 its first half, the rest is free to choose."""
    found = parsed(address)
    return str(found.exploded[:19]) if isinstance(found, IPv6Address) else address

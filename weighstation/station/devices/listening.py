"""An open port -> what came from it, while somebody is asked questions; and how it is to be set."""

from __future__ import annotations

import threading
import time
from collections import deque
from typing import TYPE_CHECKING, Protocol, Self

from weighstation.acquire import Arrival
from weighstation.acquire.framing import SPEEDS_BAUD, judge_framing, looks_like_text
from weighstation.errors import WeighstationError

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import TracebackType

    from weighstation.station.ports import Arrival as Came
    from weighstation.station.ports import Port

LISTEN_S = 1.5
"""For so long each speed is listened to,"""
SLOW_S = 8.0
"""and for so long where text comes, only slowly."""
_LOOK_S = 0.2
_MOST_ARRIVALS = 4000


class Tunable(Protocol):
    """A port whose speed and framing can be set while it is open."""

    def read(self, timeout_s: float) -> Came | None:
        """Return what has come, or None when nothing came in time."""

    def retune(self, baud: int, bits: int = 8, parity: str = "N") -> None:
        """Listen at another speed and framing."""


def find_settings(
    port: Tunable,
    tell: Callable[[str], None],
    clock: Callable[[], float] = time.monotonic,
) -> dict[str, str] | None:
    """Return the options of a port at which it speaks in weights, and leave it set so.

    Parameters
    ----------
    port : Tunable
        Open.
    tell : callable
        Is told what each speed gave, in a few words.
    clock : callable, seconds

    Returns
    -------
    dict of str, or None
        ``baud``, ``bits`` and ``parity``; None where no speed gave weights.
    """
    for baud in SPEEDS_BAUD:
        port.retune(baud)
        heard = _heard(port, clock)
        framing = judge_framing(heard)
        if framing is not None:
            tell(f"{baud} baud, {framing}: weights")
            port.retune(baud, framing.bits, framing.parity)
            return {"baud": str(baud), "bits": str(framing.bits), "parity": framing.parity}
        tell(f"{baud} baud: {'something, but no weights' if heard else 'nothing'}")
    return None


def _heard(port: Tunable, clock: Callable[[], float]) -> bytes:
    """Return what comes in a while, or as soon as it tells weights."""
    heard = b""
    began_s = clock()
    while clock() < began_s + (SLOW_S if looks_like_text(heard) else LISTEN_S):
        arrival = port.read(_LOOK_S)
        if arrival is not None:
            heard += arrival.data
            if judge_framing(heard) is not None:
                break
    return heard


class Listener:
    """Reads a port on a thread of its own and keeps the last that came.

    Parameters
    ----------
    port : Port
        Closed at the end.
    """

    def __init__(self, port: Port) -> None:
        self.failure: WeighstationError | None = None
        self._port = port
        self._came: deque[Arrival] = deque(maxlen=_MOST_ARRIVALS)
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, name="listener", daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        exc: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Stop reading and let go of the port."""
        self._over.set()
        self._thread.join()
        self._port.close()

    def arrivals(self) -> list[Arrival]:
        """Return what has come until now.

        Returns
        -------
        list of Arrival

        Raises
        ------
        ScaleError
            If the link was lost.
        """
        if self.failure is not None:
            raise self.failure
        return list(self._came)

    def _run(self) -> None:
        try:
            while not self._over.is_set() and not self._port.ended:
                arrival = self._port.read(_LOOK_S)
                if arrival is not None:
                    self._came.append(Arrival(arrival.t_s, arrival.data))
        except WeighstationError as exc:
            self.failure = exc

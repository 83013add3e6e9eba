"""Standard input as a port: another program reads the scale and passes its bytes on."""

from __future__ import annotations

import os
import threading
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING

from weighstation.errors import ScaleError, SpecificationError
from weighstation.station.ports.port import Arrival

if TYPE_CHECKING:
    from weighstation.station.ports.address import Address
    from weighstation.station.ports.port import Clock

_BLOCK = 4096


class StandardInput:
    """Bytes from standard input, with the times at which they came.

    A thread waits for them, because not every system can wait for a pipe with a time limit.

    Parameters
    ----------
    address : Address
        Without place and options.
    clock : callable, seconds
    source : int
        Descriptor to read from.

    Raises
    ------
    SpecificationError
        If a place or an option is given.
    ScaleError
        If standard input is closed.
    """

    descriptor: bytes | None = None

    def __init__(self, address: Address, clock: Clock, source: int = 0) -> None:
        address.expect()
        if address.place:
            raise SpecificationError("Standard input has no place.", hint="Write --port - for it.")
        try:
            os.fstat(source)
        except OSError as exc:
            raise ScaleError(
                "Standard input is closed.", hint="Pass the scale's bytes on with a pipe."
            ) from exc
        self.name = "standard input"
        self.ended = False
        self._clock = clock
        self._queue: SimpleQueue[Arrival | None] = SimpleQueue()
        self._source = source
        threading.Thread(target=self._run, name="standard input", daemon=True).start()

    def read(self, timeout_s: float) -> Arrival | None:
        """Return what has come, or None when nothing came in time or the input has ended.

        Parameters
        ----------
        timeout_s : float, seconds

        Returns
        -------
        Arrival or None
        """
        if self.ended:
            return None
        try:
            arrival = self._queue.get(timeout=timeout_s)
        except Empty:
            return None
        self.ended = arrival is None
        return arrival

    def close(self) -> None:
        """Read no more; the thread ends with the process."""
        self.ended = True

    def _run(self) -> None:
        try:
            while data := os.read(self._source, _BLOCK):
                self._queue.put(Arrival(self._clock(), data))
        except OSError:
            pass
        self._queue.put(None)

"""A simulated scale that another program plays into a line of this machine."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.station.ports.address import Address
from weighstation.station.ports.port import Arrival
from weighstation.station.ports.serial_line import open_serial

if TYPE_CHECKING:
    from weighstation.station.ports.port import Clock


_OF_A_BAKER = ("target", "under", "over", "pieces", "division", "way")
"""What a station adds for a simulated baker; here another program is the baker."""


class PlayedLine:
    """Bytes that come through a real line, and a clock that only they drive.

    Each line of the scale is 1/rate s of the bench's time, however fast it comes: a morning may be
    played in a minute, on a machine that is busy, and nothing is weighed otherwise than at the
    bench.

    Parameters
    ----------
    address : Address
        A terminal's path; options ``rate`` (10) in lines a second, and ``speed``, which is ``max``.
    clock : callable, seconds
        Not asked for times, only for timeouts.

    Raises
    ------
    SpecificationError
        If an option makes no sense.
    ScaleError
        If the line cannot be opened.
    """

    descriptor: bytes | None = None

    def __init__(self, address: Address, clock: Clock) -> None:
        address.expect("speed", "rate", *_OF_A_BAKER)
        if address.options.get("speed") != "max":
            raise SpecificationError(
                f"What is played into {address.place} keeps its own time.",
                hint=f"Write simulated://{address.place}?speed=max&rate=10.",
            )
        self.name = f"a scale played into {address.place}"
        self.ended = False
        self._rate_hz = address.number("rate", 10, least=0.1)
        self._lines = 0
        self._came: deque[bytes] = deque()
        self._port = open_serial(Address("serial", address.place), clock)

    def read(self, timeout_s: float) -> Arrival | None:
        """Return what has come, or None when nothing came in time.

        Parameters
        ----------
        timeout_s : float, seconds

        Returns
        -------
        Arrival or None

        Raises
        ------
        LinkLostError
            If the line broke.
        """
        if not self._came:
            arrival = self._port.read(timeout_s)
            self._came.extend(arrival.data.splitlines(keepends=True) if arrival else ())
        if not self._came:
            return None
        data = self._came.popleft()
        self._lines += data.endswith(b"\n")
        return Arrival(self._lines / self._rate_hz, data)

    def close(self) -> None:
        """Let go of the line."""
        self._port.close()

"""A recording, played as if the scale were there."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.station.ports.port import Arrival
from weighstation.station.recordings import read_recording

if TYPE_CHECKING:
    from weighstation.station.ports.address import Address
    from weighstation.station.ports.port import Clock


class ReplayPort:
    """The arrivals of a recording, with its own times.

    Parameters
    ----------
    address : Address
        The file; options ``speed`` (1; ``max`` does not wait) and ``from`` (seconds into it).
    clock : callable, seconds
        Paces the arrivals.

    Raises
    ------
    RecordingError
        If the file is not a recording.
    SpecificationError
        If an option makes no sense.
    """

    def __init__(self, address: Address, clock: Clock) -> None:
        address.expect("speed", "from")
        if not address.place:
            raise SpecificationError(
                "The port names no recording.", hint="Write one like replay://morning.jsonl."
            )
        self.name = address.place
        self._speed = (
            None
            if address.options.get("speed") == "max"
            else address.number("speed", 1, least=0.01)
        )
        self._from_s = address.number("from", 0)
        self.recording = read_recording(Path(address.place))
        self._coming = [item for item in self.recording.arrivals if item.t_s >= self._from_s]
        self._next = 0
        self._clock = clock
        self._began_s = clock()

    @property
    def descriptor(self) -> bytes | None:
        """What the recorded reports mean; None where lines were recorded."""
        return self.recording.header.descriptor if self.recording.header else None

    @property
    def ended(self) -> bool:
        """Whether the last byte has been given."""
        return self._next >= len(self._coming)

    def read(self, timeout_s: float) -> Arrival | None:
        """Return the next arrival once it is due.

        Parameters
        ----------
        timeout_s : float, seconds

        Returns
        -------
        Arrival or None
        """
        if self.ended:
            return None
        item = self._coming[self._next]
        if self._speed is not None:
            due_s = self._began_s + (item.t_s - self._from_s) / self._speed
            wait_s = due_s - self._clock()
            if wait_s > 0:
                time.sleep(min(wait_s, timeout_s))
            if wait_s > timeout_s:
                return None
        self._next += 1
        return Arrival(item.t_s, item.data)

    def close(self) -> None:
        """Forget what was still to come."""
        self._next = len(self._coming)

"""A scale that answers only when it is asked: the one case in which a byte is sent to a scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from weighstation.station.ports.address import Address

MOST_BYTES = 32
LEAST_S = 0.05


@dataclass(slots=True)
class Asking:
    """What to send, and how often.

    Parameters
    ----------
    command : bytes
    every_s : float, seconds
    """

    command: bytes
    every_s: float
    _next_s: float = 0.0

    @classmethod
    def of(cls, address: Address) -> Asking | None:
        """Return what an address asks for by its options ``ask`` and ``every``.

        Parameters
        ----------
        address : Address
            ``ask`` is percent-encoded, like ``P%0D%0A``, or in hexadecimal, like ``hex:05``;
            ``every`` is in seconds (0.2).

        Returns
        -------
        Asking or None
            None without ``ask``: then nothing is ever sent.

        Raises
        ------
        SpecificationError
            If ``ask`` is empty or long, or ``every`` is given alone or too small.
        """
        ask = address.options.get("ask")
        if ask is None:
            if "every" in address.options:
                raise SpecificationError("'every' in the port goes with 'ask', like ask=P%0D%0A.")
            return None
        command = _bytes(ask)
        if not 0 < len(command) <= MOST_BYTES:
            raise SpecificationError(
                f"'ask' in the port must be 1 to {MOST_BYTES} bytes, like P%0D%0A or hex:05."
            )
        return cls(command, address.number("every", 0.2, least=LEAST_S))

    def wait_s(self, now_s: float) -> float:
        """Return how long it is until the scale is to be asked again.

        Parameters
        ----------
        now_s : float, seconds
            On a steady clock.

        Returns
        -------
        float, seconds
        """
        return max(self._next_s - now_s, 0.0)

    def due(self, now_s: float) -> bytes:
        """Return what is to be sent now, which may be nothing.

        Parameters
        ----------
        now_s : float, seconds

        Returns
        -------
        bytes
        """
        if now_s < self._next_s:
            return b""
        self._next_s = now_s + self.every_s
        return self.command


def _bytes(ask: str) -> bytes:
    """Return what some text means; nothing where it means nothing."""
    try:
        return bytes.fromhex(ask[4:]) if ask.startswith("hex:") else ask.encode("latin-1")
    except ValueError:
        return b""

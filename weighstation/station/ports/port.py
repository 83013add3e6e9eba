"""The face that every port shows, and the table of those there are."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import NamedTuple, Protocol, cast

from weighstation.errors import SpecificationError
from weighstation.station.ports.address import EXAMPLE, Address

Clock = Callable[[], float]


class Arrival(NamedTuple):
    """Bytes and when they came.

    Parameters
    ----------
    t_s : float, seconds
        On the clock of the port.
    data : bytes
        As received; never empty.
    """

    t_s: float
    data: bytes


class Port(Protocol):
    """Something that bytes of a scale come out of.

    ``read`` is called from one thread only. A port that has ended never gives another byte; a
    port whose link is lost raises, and is opened again by its URL.
    """

    @property
    def name(self) -> str:
        """The port in words, for a sentence or a journal line."""

    @property
    def ended(self) -> bool:
        """Whether nothing more can ever come (a recording played to its end)."""

    @property
    def descriptor(self) -> bytes | None:
        """What reports mean, where the port brings reports and not lines; empty where unknown."""

    def read(self, timeout_s: float) -> Arrival | None:
        """Return what has come, or None when nothing came in time or the port has ended.

        Parameters
        ----------
        timeout_s : float, seconds
            How long to wait for the first byte.

        Returns
        -------
        Arrival or None

        Raises
        ------
        LinkLostError
            If the link went away.
        """

    def close(self) -> None:
        """Let go of the device; a second call does nothing."""


PORTS = {
    "serial": ("weighstation.station.ports.serial_line", "open_serial"),
    "tcp": ("weighstation.station.ports.network", "open_tcp"),
    "rfc2217": ("weighstation.station.ports.network", "open_rfc2217"),
    "stdin": ("weighstation.station.ports.standard_input", "StandardInput"),
    "hid": ("weighstation.station.ports.hid_device", "open_hid"),
    "replay": ("weighstation.station.ports.recording", "ReplayPort"),
    "simulated": ("weighstation.station.ports.simulated", "open_simulated"),
}


def open_port(url: str, clock: Clock) -> Port:
    """Open the port that a URL names.

    Parameters
    ----------
    url : str
        Like ``serial:///dev/ttyUSB0?baud=9600``, ``tcp://host:port``, ``hid://VID:PID``,
        ``replay://FILE?speed=max&from=0`` or ``simulated://?seed=1&speed=1``.
    clock : callable, seconds
        Gives the arrival times of live bytes; a recording brings its own.

    Returns
    -------
    Port

    Raises
    ------
    SpecificationError
        If the URL makes no sense.
    RecordingError
        If the file to replay is not a recording.
    ScaleError
        If the device cannot be opened.
    """
    address = Address.parse(url)
    if address.scheme not in PORTS:
        raise SpecificationError(
            f"There is no kind of port '{address.scheme}://'.",
            hint=f"Use one of {', '.join(f'{scheme}://' for scheme in PORTS)}, like {EXAMPLE}.",
        )
    module, name = PORTS[address.scheme]
    opener = cast("Callable[[Address, Clock], Port]", getattr(import_module(module), name))
    return opener(address, clock)

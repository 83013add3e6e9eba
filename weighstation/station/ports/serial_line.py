"""A serial line, or a network socket that stands for one."""

from __future__ import annotations

import errno
import sys
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import serial

from weighstation.errors import LinkLostError, ScaleAbsentError, ScaleError, SpecificationError
from weighstation.station.ports.holders import holder_of
from weighstation.station.ports.plugged import plugged_in
from weighstation.station.ports.port import Arrival
from weighstation.station.ports.rights import permission_cure

if TYPE_CHECKING:
    from weighstation.station.ports.address import Address
    from weighstation.station.ports.port import Clock

_FAULTS: tuple[type[Exception], ...] = (OSError, TypeError, ValueError)
with suppress(ImportError):
    import termios

    _FAULTS += (termios.error,)  # no OSError, although it carries the system's number

WAIT_S = 0.5


class SerialPort:
    """Bytes of a line that pyserial reads, as soon as there is one.

    Parameters
    ----------
    line : serial.SerialBase
        Open.
    name : str
    clock : callable, seconds
    """

    def __init__(self, line: Any, name: str, clock: Clock) -> None:  # noqa: ANN401 - no common type
        self.name = name
        self.ended = False
        self._line = line
        self._clock = clock

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
            If the device went away.
        """
        line = self._line
        try:
            if line.timeout != timeout_s:
                line.timeout = timeout_s  # setting it talks to the device, so only on a change
            data = line.read(line.in_waiting or 1)
        except _FAULTS as exc:
            # TypeError and ValueError: the descriptor was closed while it was waited for.
            raise LinkLostError(
                f"The link to the scale at {self.name} was lost.", hint="Check cable and power."
            ) from exc
        return Arrival(self._clock(), bytes(data)) if data else None

    def close(self) -> None:
        """Let go of the line."""
        with suppress(OSError):
            self._line.close()


def open_serial(address: Address, clock: Clock) -> SerialPort:
    """Open a serial device; nothing is ever sent to it.

    Parameters
    ----------
    address : Address
        Options ``baud`` (9600), ``bits`` (8), ``parity`` (N), ``stop`` (1), ``flow`` (none),
        ``dtr`` (on).
    clock : callable, seconds

    Returns
    -------
    SerialPort

    Raises
    ------
    SpecificationError
        If an option makes no sense.
    ScaleAbsentError
        If there is no such device.
    ScaleError
        If it is busy, or permission is refused.
    """
    address.expect("baud", "bits", "parity", "stop", "flow", "dtr")
    device = address.place
    if not device:
        raise SpecificationError("The port names no device.", hint=_what_is_there())
    line = serial.Serial()
    line.port = device
    line.baudrate = int(address.number("baud", 9600, least=1))
    line.bytesize = int(address.choice("bits", "8", ("7", "8")))
    line.parity = address.choice("parity", "N", ("N", "E", "O"))
    line.stopbits = int(address.choice("stop", "1", ("1", "2")))
    flow = address.choice("flow", "none", ("none", "rtscts", "xonxoff"))
    line.rtscts, line.xonxoff = flow == "rtscts", flow == "xonxoff"
    line.timeout = WAIT_S
    line.exclusive = True
    if address.choice("dtr", "on", ("on", "off")) == "off":
        line.dtr = False  # some converters reset the scale by this line
    try:
        line.open()
    except _FAULTS as exc:
        raise _refused(device, exc) from exc
    _pass_on_at_once(line)
    return SerialPort(line, device, clock)


def open_tcp(address: Address, clock: Clock) -> SerialPort:
    """Open a network socket that passes on the bytes of a scale.

    Parameters
    ----------
    address : Address
        ``host:port``.
    clock : callable, seconds

    Returns
    -------
    SerialPort

    Raises
    ------
    ScaleAbsentError
        If nobody answers there.
    """
    address.expect()
    try:
        line = serial.serial_for_url(f"socket://{address.place}", timeout=WAIT_S)
    except (OSError, ValueError) as exc:
        raise ScaleAbsentError(
            f"Nobody answers at {address.place}.",
            hint="Check the address (host:port), and that the scale's converter is switched on.",
        ) from exc
    return SerialPort(line, address.place, clock)


def _pass_on_at_once(line: serial.Serial) -> None:
    """Ask the driver not to save bytes up: some USB adapters hold them back for 16 ms."""
    with suppress(AttributeError, NotImplementedError, *_FAULTS):  # many systems and devices cannot
        line.set_low_latency_mode(True)


def _refused(device: str, exc: Exception) -> ScaleError:
    """Return the sentence for a device that did not open."""
    number = getattr(exc, "errno", None)
    if number == errno.EACCES and not sys.platform.startswith("win"):
        return ScaleError(f"You may not open {device}.", hint=permission_cure(device).sentence)
    if number in (errno.EBUSY, errno.EAGAIN, errno.EACCES) or "PermissionError" in str(exc):
        return ScaleError(
            f"{device} is busy: {holder_of(device) or 'another program'} has it.",
            hint="Close that program and start again.",
        )
    if number in (errno.ENOENT, errno.ENODEV, errno.ENXIO, errno.EIO) or "FileNotFound" in str(exc):
        return ScaleAbsentError(f"There is no port {device}.", hint=_what_is_there())
    return ScaleError(
        f"{device} is not a serial port, or not one with these settings.", hint=_what_is_there()
    )


def _what_is_there() -> str:
    """Return the ports of this machine in a sentence."""
    names = [port.device for port in plugged_in()]
    if not names:
        return "Plug the scale in, and check its cable; this machine has no serial port now."
    return f"This machine has {', '.join(names)}."

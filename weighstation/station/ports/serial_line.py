"""A serial line."""

from __future__ import annotations

import errno
import sys
import time
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import serial

from weighstation.errors import LinkLostError, ScaleAbsentError, ScaleError, SpecificationError
from weighstation.station.ports.asking import Asking
from weighstation.station.ports.holders import holder_of
from weighstation.station.ports.parity import parity_table
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
_MOST_MORE = 4096  # bytes; a line that never pauses is read on in pieces
SETTINGS = ("baud", "bits", "parity", "stop")


class SerialPort:
    """Bytes of a line that pyserial reads, as soon as there is one.

    Parameters
    ----------
    line : serial.SerialBase
        Open.
    name : str
    clock : callable, seconds
    asking : Asking or None
        For a scale that answers only when asked; None sends nothing, ever.
    parity : str
        ``E`` or ``O`` where seven bits and a parity bit come as eight, else ``N``.
    """

    descriptor: bytes | None = None

    def __init__(
        self,
        line: Any,  # noqa: ANN401 - no common type
        name: str,
        clock: Clock,
        asking: Asking | None = None,
        parity: str = "N",
    ) -> None:
        self.name = name
        self.ended = False
        self._line = line
        self._clock = clock
        self._asking = asking
        self._table = _table(parity)

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
            if self._asking is not None:
                timeout_s = self._ask(self._asking, timeout_s)
            if line.timeout != timeout_s:
                line.timeout = timeout_s  # setting it talks to the device, so only on a change
            data = line.read(line.in_waiting or 1)
        except _FAULTS as exc:
            # TypeError and ValueError: the descriptor was closed while it was waited for.
            raise self._lost() from exc
        if not data:
            return None
        data += self._more()
        return Arrival(self._clock(), bytes(data).translate(self._table))

    def _more(self) -> bytes:
        """Return what else is there already: a socket does not say how much that is."""
        line, more = self._line, b""
        with suppress(*_FAULTS):  # the next reading finds out, and what came is not lost
            while len(more) < _MOST_MORE and line.in_waiting:
                more += line.read(line.in_waiting)
        return more

    def retune(self, baud: int, bits: int = 8, parity: str = "N") -> None:
        """Listen at another speed and framing; what has come until now is forgotten.

        Parameters
        ----------
        baud, bits : int
        parity : str
            ``N``, ``E`` or ``O``.

        Raises
        ------
        LinkLostError
            If the device went away.
        """
        line = self._line
        try:
            line.baudrate = baud
            line.reset_input_buffer()
            self._table = _table(tune(line, bits, parity))
        except _FAULTS as exc:
            raise self._lost() from exc

    def _lost(self) -> LinkLostError:
        return LinkLostError(
            f"The link to the scale at {self.name} was lost.", hint="Check cable and power."
        )

    def _ask(self, asking: Asking, timeout_s: float) -> float:
        """Ask if it is time to; return for how long to wait for an answer, in seconds."""
        command = asking.due(time.monotonic())
        if command:
            self._line.write(command)
        return min(timeout_s, asking.wait_s(time.monotonic()))

    def close(self) -> None:
        """Let go of the line."""
        with suppress(OSError):
            self._line.close()


def open_serial(address: Address, clock: Clock) -> SerialPort:
    """Open a serial device; nothing is sent to it, but what ``ask`` says.

    Parameters
    ----------
    address : Address
        Options ``baud`` (9600), ``bits`` (8), ``parity`` (N), ``stop`` (1), ``flow`` (none),
        ``dtr`` (on), ``ask`` and ``every`` (see `Asking`).
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
    address.expect(*SETTINGS, "flow", "dtr", "ask", "every")
    device, asking = address.place, Asking.of(address)
    if not device:
        raise SpecificationError("The port names no device.", hint=_what_is_there())
    line = serial.Serial()
    line.port = device
    parity = set_up(line, address)
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
    return SerialPort(line, device, clock, asking, parity)


def set_up(line: Any, address: Address) -> str:  # noqa: ANN401 - no common type
    """Give a line that is not open its speed and framing; return the parity that is left to check.

    Parameters
    ----------
    line : serial.SerialBase
    address : Address
        Options of ``SETTINGS``.

    Returns
    -------
    str
        As `tune` says.

    Raises
    ------
    SpecificationError
        If one makes no sense.
    """
    line.baudrate = int(address.number("baud", 9600, least=1))
    line.stopbits = int(address.choice("stop", "1", ("1", "2")))
    bits = int(address.choice("bits", "8", ("7", "8")))
    return tune(line, bits, address.choice("parity", "N", ("N", "E", "O")))


def tune(line: Any, bits: int, parity: str) -> str:  # noqa: ANN401 - no common type
    """Set bits and parity of a line so that every parity error shows, where that can be done.

    Parameters
    ----------
    line : serial.SerialBase
    bits : int
    parity : str
        ``N``, ``E`` or ``O``.

    Returns
    -------
    str
        The parity to be checked in what comes; ``N`` where there is none, or the driver has it.
    """
    checked_here = bits == 7 and parity != "N"
    line.bytesize, line.parity = (8, "N") if checked_here else (bits, parity)
    return parity if checked_here else "N"


def _table(parity: str) -> bytes | None:
    return None if parity == "N" else parity_table(parity)


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

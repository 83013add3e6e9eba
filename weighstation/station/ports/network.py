"""A network socket, or a serial line behind a network converter, that stands for a serial line.

Neither is encrypted, and neither asks who is there: for this machine and for trusted networks only.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import serial

from weighstation.errors import ScaleAbsentError, SpecificationError
from weighstation.station.ports.asking import Asking
from weighstation.station.ports.serial_line import SETTINGS, WAIT_S, SerialPort, set_up

if TYPE_CHECKING:
    from weighstation.station.ports.address import Address
    from weighstation.station.ports.port import Clock

_PLACE = re.compile(r"(?:[^:/\[\]]+|\[[0-9a-fA-F:.]+\]):([0-9]{1,5})")


def open_tcp(address: Address, clock: Clock) -> SerialPort:
    """Open a network socket that passes on the bytes of a scale.

    Parameters
    ----------
    address : Address
        ``host:port``; options ``ask`` and ``every`` (see `Asking`).
    clock : callable, seconds

    Returns
    -------
    SerialPort

    Raises
    ------
    SpecificationError
        If it is no host and port, or an option makes no sense.
    ScaleAbsentError
        If nobody answers there.
    """
    address.expect("ask", "every")
    _check_place(address)
    asking = Asking.of(address)
    try:
        line = serial.serial_for_url(f"socket://{address.place}", timeout=WAIT_S)
    except (OSError, ValueError) as exc:
        raise _nobody(address) from exc
    return SerialPort(line, address.place, clock, asking)


def open_rfc2217(address: Address, clock: Clock) -> SerialPort:
    """Open a serial line behind a converter that speaks RFC 2217, and set its speed and framing.

    Parameters
    ----------
    address : Address
        ``host:port``; options ``baud``, ``bits``, ``parity``, ``stop``, ``ask`` and ``every``.
    clock : callable, seconds

    Returns
    -------
    SerialPort

    Raises
    ------
    SpecificationError
        If it is no host and port, or an option makes no sense.
    ScaleAbsentError
        If nobody answers there, or not in the way of RFC 2217.
    """
    address.expect(*SETTINGS, "ask", "every")
    _check_place(address)
    asking = Asking.of(address)
    line = serial.serial_for_url(f"rfc2217://{address.place}", do_not_open=True, timeout=WAIT_S)
    parity = set_up(line, address)
    try:
        line.open()
    except (OSError, ValueError) as exc:
        raise (_not_rfc2217(address) if "RFC2217" in str(exc) else _nobody(address)) from exc
    return SerialPort(line, address.place, clock, asking, parity)


def _check_place(address: Address) -> None:
    found = _PLACE.fullmatch(address.place)
    if not found or not 0 < int(found[1]) < 65536:
        raise SpecificationError(
            f"'{address.place}' is no host and port.",
            hint=f"Write them like {address.scheme}://192.168.1.20:4001.",
        )


def _nobody(address: Address) -> ScaleAbsentError:
    return ScaleAbsentError(
        f"Nobody answers at {address.place}.",
        hint="Check the address (host:port), and that the scale's converter is switched on.",
    )


def _not_rfc2217(address: Address) -> ScaleAbsentError:
    return ScaleAbsentError(
        f"What answers at {address.place} does not speak RFC 2217.",
        hint=f"Set the speed at the converter and give tcp://{address.place}.",
    )

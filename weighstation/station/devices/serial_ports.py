"""The serial ports of this machine, each with who it is and what stands in its way."""

from __future__ import annotations

import os
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.station.devices.identity import Identity
from weighstation.station.devices.links import BY_NAME, BY_PLACE, links_to
from weighstation.station.devices.meddlers import (
    BRLTTY,
    MODEM_MANAGER,
    braille_trouble,
    modem_caution,
    taken_for_braille,
)
from weighstation.station.devices.roots import Roots
from weighstation.station.devices.trouble import Trouble
from weighstation.station.ports.address import Address
from weighstation.station.ports.holders import holders_of, running
from weighstation.station.ports.plugged import plugged_in
from weighstation.station.ports.rights import may_open, permission_cure

if TYPE_CHECKING:
    from collections.abc import Callable

    from serial.tools.list_ports_common import ListPortInfo

    from weighstation.station.ports.plugged import Comports

_HERE = Roots()
ADAPTER = "USB serial adapter"
MODEM = "modem?"
_KINDS = (
    (r"ttyUSB|ttyXRUSB|cu\.usbserial|cu\.wchusbserial", ADAPTER),
    (r"ttyACM|cu\.usbmodem", "USB device with a serial port"),
    (r"rfcomm|cu\.Bluetooth", "Bluetooth serial port"),
    (r"ttyS|ttyAMA|ttyAP", "built-in serial port"),
)
_MODEM_DRIVERS = ("option", "qcserial", "sierra", "hso")


@dataclass(frozen=True, slots=True)
class SerialDevice:
    """A serial port.

    Parameters
    ----------
    device : str
        Its name now; empty where another program has taken the port away.
    identity : Identity
        Who it is, whatever its name.
    stable_path : str
        A name that stays when it is plugged in again, or its name now where there is none.
    description : str
        What the device says of itself; often empty.
    looks_like : str
        What it seems to be, such as ``USB serial adapter``.
    trouble : Trouble or None
        Why it cannot be opened.
    caution : Trouble or None
        What may go wrong although it can be.
    """

    device: str
    identity: Identity
    stable_path: str
    description: str
    looks_like: str
    trouble: Trouble | None = None
    caution: Trouble | None = None

    @property
    def problem(self) -> str:
        """Why it cannot be opened; empty where it can."""
        return self.trouble.says if self.trouble else ""

    @property
    def cure(self) -> str:
        """What to do about it."""
        return self.trouble.cure if self.trouble else ""

    @property
    def url(self) -> str:
        """The port to give for it; empty where it has none now."""
        return str(Address("serial", self.stable_path)) if self.stable_path else ""


def list_serial_devices(
    *,
    comports: Comports | None = None,
    roots: Roots = _HERE,
    allowed: Callable[[str], bool] = may_open,
) -> tuple[SerialDevice, ...]:
    """Return the serial ports of this machine; none of them is opened for that.

    Parameters
    ----------
    comports : callable or None
        Lists the ports; None for the one of this system.
    roots : Roots
        Where the system tells of itself.
    allowed : callable
        Tells whether this user may open a device.

    Returns
    -------
    tuple of SerialDevice
        In the order of their names; adapters that another program has taken away at the end.
    """
    infos = plugged_in(comports=comports, sysfs=roots.sysfs)
    meddling = running((MODEM_MANAGER, BRLTTY), proc=roots.proc)
    modems = MODEM_MANAGER in meddling
    held = holders_of((info.device for info in infos), proc=roots.proc, locks=roots.locks)
    identities = _identities(infos)
    devices = [
        SerialDevice(
            device=info.device,
            identity=identity,
            stable_path=_stable_path(info.device, roots.dev, _is_alone(identity, identities)),
            description=_description(info),
            looks_like=_looks_like(info, roots.sysfs),
            trouble=_trouble(info.device, held, allowed),
            caution=_caution(info, identity, roots) if modems else None,
        )
        for info, identity in zip(infos, identities, strict=True)
    ]
    return (*devices, *(_taken(roots) if BRLTTY in meddling else ()))


def find_device(
    identity: Identity, *, comports: Comports | None = None, roots: Roots = _HERE
) -> str | None:
    """Return the name that a device has now; quick enough to be asked several times a second.

    Parameters
    ----------
    identity : Identity
    comports : callable or None
        Lists the ports; None for the one of this system.
    roots : Roots

    Returns
    -------
    str or None
        None while it is not plugged in, and where two devices cannot be told apart.
    """
    if identity.vendor_id is None and os.name == "posix":
        return identity.path if Path(identity.path).exists() else None
    infos = plugged_in(comports=comports, sysfs=roots.sysfs)
    names = [info.device for info in infos if _is(info, identity)]
    return names[0] if len(names) == 1 else None


def identity_of(
    device: str, *, comports: Comports | None = None, roots: Roots = _HERE
) -> Identity | None:
    """Return who the device with some name is.

    Parameters
    ----------
    device : str
        Its name now, or a link to it.
    comports : callable or None
        Lists the ports; None for the one of this system.
    roots : Roots

    Returns
    -------
    Identity or None
        None while it is not plugged in.
    """
    name = os.path.realpath(device) if os.name == "posix" else device
    infos = plugged_in(comports=comports, sysfs=roots.sysfs)
    for info, identity in zip(infos, _identities(infos), strict=True):
        if name == info.device:
            return identity
    return Identity(path=name) if os.name == "posix" and Path(name).exists() else None


def _identities(infos: list[ListPortInfo]) -> list[Identity]:
    """Return who the ports are; those that share a serial number are told apart by their place."""
    named = [_identity(info) for info in infos]
    shared = {identity for identity, count in Counter(named).items() if count > 1}
    return [
        Identity.usb(info.vid, info.pid, location=info.location or "")
        if identity in shared and identity.vendor_id is not None
        else identity
        for info, identity in zip(infos, named, strict=True)
    ]


def _identity(info: ListPortInfo) -> Identity:
    if info.vid is None or info.pid is None:
        return Identity(path=info.device)
    serial, location = (info.serial_number or "").strip(), info.location or ""
    return Identity.usb(info.vid, info.pid, serial=serial, location=location)


def _is(info: ListPortInfo, identity: Identity) -> bool:
    if identity.location:
        return (info.vid, info.pid, info.location) == (
            identity.vendor_id,
            identity.product_id,
            identity.location,
        )
    return _identity(info) == identity


def _is_alone(identity: Identity, all_of_them: list[Identity]) -> bool:
    """Tell whether a device can be told from the others by what it says of itself."""
    alike = [
        other
        for other in all_of_them
        if (other.vendor_id, other.product_id) == (identity.vendor_id, identity.product_id)
    ]
    return bool(identity.serial) or len(alike) == 1


def _stable_path(device: str, dev: Path, is_alone: bool) -> str:  # noqa: FBT001 - it is one of three facts
    """Return the link that follows a device, or if it has doubles the one that keeps its place."""
    kinds = (BY_NAME, BY_PLACE) if is_alone else (BY_PLACE,)
    return next((link for kind in kinds if (link := links_to(device, dev, kind))), device)


def _description(info: ListPortInfo) -> str:
    said = _shown(info.product or info.description or "")
    return "" if said in ("n/a", info.name) else said


def _shown(text: str) -> str:
    """Return what a device says of itself, without signs that a terminal would obey."""
    return "".join(sign if sign.isprintable() else " " for sign in text).strip()


def _looks_like(info: ListPortInfo, sysfs: Path) -> str:
    said = f"{info.product} {info.interface}".lower()
    driver = (sysfs / "class" / "tty" / info.name / "device" / "driver").resolve().name
    if "modem" in said or driver in _MODEM_DRIVERS:
        return MODEM
    for pattern, kind in _KINDS:
        if re.match(pattern, info.name):
            return kind
    return ADAPTER if info.vid is not None else "serial port"


def _trouble(device: str, held: dict[str, str], allowed: Callable[[str], bool]) -> Trouble | None:
    if not allowed(device):
        cure = permission_cure(device)
        commands = (cure.command,) if cure.command else ()
        return Trouble("You may not open it.", cure.sentence, commands)
    if device in held:
        return Trouble(f"{held[device]} has it open.", "Close that program.")
    return None


def _caution(info: ListPortInfo, identity: Identity, roots: Roots) -> Trouble | None:
    """Return what ModemManager may do to a port that is no modem."""
    if _looks_like(info, roots.sysfs) == MODEM:
        return None
    return modem_caution(info.device, identity, roots)


def _taken(roots: Roots) -> list[SerialDevice]:
    trouble = braille_trouble(roots)
    return [
        SerialDevice("", taken.identity, "", _shown(taken.description), ADAPTER, trouble)
        for taken in taken_for_braille(roots)
    ]

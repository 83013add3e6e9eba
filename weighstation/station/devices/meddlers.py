"""Programs that meddle with serial adapters without being asked: ModemManager and brltty."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from weighstation.station.devices.identity import Identity
from weighstation.station.devices.rules import RELOAD, RULES_FILE, ignore_rule
from weighstation.station.devices.trouble import Trouble

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.station.devices.roots import Roots

MODEM_MANAGER = "ModemManager"
BRLTTY = "brltty"
_TOLD_TO_IGNORE = ("E:ID_MM_DEVICE_IGNORE=1", "E:ID_MM_PORT_IGNORE=1")
_MISTAKEN_FOR_BRAILLE = {
    # Chips of plain serial adapters that are in braille displays too; as its rules name them.
    (0x0403, 0x6001),
    (0x067B, 0x2303),
    (0x10C4, 0xEA60),
    (0x1A86, 0x7523),
}


class Taken(NamedTuple):
    """A serial adapter that has no port any more, because brltty has taken it.

    Parameters
    ----------
    identity : Identity
    description : str
        As the device says.
    """

    identity: Identity
    description: str


def modem_caution(device: str, identity: Identity, roots: Roots) -> Trouble | None:
    """Return what is to be said where ModemManager runs and was not told to ignore a device.

    Parameters
    ----------
    device : str
    identity : Identity
    roots : Roots

    Returns
    -------
    Trouble or None
    """
    if identity.vendor_id is None or _is_ignored(device, roots.run):
        return None
    return Trouble(
        "ModemManager may send it letters when it is plugged in.",
        "To keep ModemManager away from this kind of adapter, type this, then unplug the adapter"
        " and plug it in again:",
        (f"sudo tee -a {RULES_FILE} <<'END'", ignore_rule(identity), "END", RELOAD),
    )


def braille_trouble(roots: Roots) -> Trouble:
    """Return what is to be said of an adapter that brltty has taken.

    Parameters
    ----------
    roots : Roots

    Returns
    -------
    Trouble
    """
    names = sorted(path.name for path in roots.rules.glob("*brltty*.rules"))
    return Trouble(
        "brltty, which serves braille displays, has taken it for one.",
        "If nobody here reads braille, type this, then unplug it and plug it in again:",
        (
            *(f"sudo ln -s /dev/null /etc/udev/rules.d/{name}" for name in names),
            RELOAD,
            "sudo systemctl stop 'brltty*'",
        ),
    )


def taken_for_braille(roots: Roots) -> Iterator[Taken]:
    """Yield the serial adapters whose port is gone because a program drives them by itself.

    Parameters
    ----------
    roots : Roots

    Yields
    ------
    Taken
    """
    for folder in sorted((roots.sysfs / "bus" / "usb" / "devices").glob("*")):
        ids = (_number(folder / "idVendor"), _number(folder / "idProduct"))
        if ids in _MISTAKEN_FOR_BRAILLE and _driver_is(folder, "usbfs"):
            serial, product = _text(folder / "serial"), _text(folder / "product")
            yield Taken(Identity.usb(*ids, serial=serial, location=folder.name), product)


def _is_ignored(device: str, run: Path) -> bool:
    """Tell whether a rule keeps ModemManager away from a device."""
    with suppress(OSError):
        number = Path(device).stat().st_rdev
        known = run / "udev" / "data" / f"c{os.major(number)}:{os.minor(number)}"
        lines = known.read_text("utf-8", "replace").splitlines()
        return any(line in _TOLD_TO_IGNORE for line in lines)
    return False


def _driver_is(folder: Path, name: str) -> bool:
    """Tell whether an interface of a USB device is driven by some driver."""
    return any(
        (interface / "driver").resolve().name == name
        for interface in folder.glob(f"{folder.name}:*")
    )


def _number(path: Path) -> int:
    text = _text(path)
    return int(text, 16) if text else -1


def _text(path: Path) -> str:
    with suppress(OSError):
        return path.read_text("utf-8", "replace").strip()
    return ""

"""Scales on a USB port that is no serial line, where the module that reads them is there."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Protocol, cast

from weighstation.errors import WeighstationError
from weighstation.station.devices.identity import Identity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

_LIBRARY = ("hid", "hidraw")
MODULE = "weighstation.station.ports.hid_device"


class HidScale(Protocol):
    """What is asked of a scale that the port of such scales finds.

    It may say more: as ``trouble`` or ``problem`` why it cannot be opened, and its ``url``.
    """

    @property
    def vendor_id(self) -> int:
        """Of its maker."""

    @property
    def product_id(self) -> int:
        """Of its kind."""

    @property
    def serial(self) -> str:
        """Its serial number; may be empty."""

    @property
    def product(self) -> str:
        """What it says of itself."""

    @property
    def path(self) -> str:
        """Its name now."""


@dataclass(frozen=True, slots=True)
class HidDevice:
    """A scale on USB that is no serial port.

    Parameters
    ----------
    device : str
        Its name now.
    identity : Identity
    description : str
    problem : str
        Why it cannot be opened, and what to do; empty where it can.
    url : str
        The port to give for it.
    """

    device: str
    identity: Identity
    description: str
    problem: str
    url: str


@dataclass(frozen=True, slots=True)
class HidDevices:
    """The scales of that kind.

    Parameters
    ----------
    devices : tuple of HidDevice
    note : str
        Why none could be looked for; empty where they could.
    """

    devices: tuple[HidDevice, ...] = ()
    note: str = ""


def list_hid_devices(find: Callable[[], Iterable[HidScale]] | None = None) -> HidDevices:
    """Return the scales on USB that are no serial ports.

    Parameters
    ----------
    find : callable or None
        Finds them; None for the port of such scales, where there is one.

    Returns
    -------
    HidDevices
    """
    try:
        scales = list((find or _finder())())
    except WeighstationError as exc:
        return HidDevices(note=exc.sentence)
    except ImportError as exc:
        if exc.name == MODULE:
            return HidDevices()
        if exc.name not in _LIBRARY:
            raise
        return HidDevices(note=_missing())
    return HidDevices(tuple(map(_device, scales)))


def _finder() -> Callable[[], Iterable[HidScale]]:
    finder = import_module(MODULE).list_hid_scales
    return cast("Callable[[], Iterable[HidScale]]", finder)


def _missing() -> str:
    return (
        "Scales on USB that are no serial port were not looked for. To have them found, run"
        f" '{sys.executable} -m pip install \"weighstation[hid]\"'."
    )


def _device(scale: HidScale) -> HidDevice:
    description = "".join(sign if sign.isprintable() else " " for sign in scale.product).strip()
    identity = Identity.usb(scale.vendor_id, scale.product_id, serial=scale.serial)
    return HidDevice(
        device=scale.path,
        identity=identity,
        description=description,
        problem=getattr(scale, "trouble", "") or getattr(scale, "problem", ""),
        url=getattr(scale, "url", "") or f"hid://{str(identity).removeprefix('usb:')}",
    )

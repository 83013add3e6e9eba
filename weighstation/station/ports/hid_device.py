"""A scale on USB that is no serial line: it sends reports, as every HID device does.

Which devices are scales, their own descriptors tell: they are on usage page 0x8D.
"""

from __future__ import annotations

import errno
import re
import sys
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.acquire.hid_descriptor import SCALES_PAGE
from weighstation.errors import LinkLostError, ScaleAbsentError, ScaleError, SpecificationError
from weighstation.station.ports.address import Address
from weighstation.station.ports.hid_transport import HidApi
from weighstation.station.ports.port import Arrival

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from weighstation.station.ports.hid_transport import HidDevice, HidHandle, HidTransport
    from weighstation.station.ports.port import Clock

RETRY_S = 0.1
RETRIES = 20
"""For two seconds after it was plugged in, a device may not have its rights yet."""
_EXAMPLE = "hid://1a2b:0001"
_IDS = re.compile(r"([0-9a-f]{4}):([0-9a-f]{4})(?::(.+))?", re.IGNORECASE)
_PATH = re.compile(r"/|\\\\|DevSrvsID:")


@dataclass(frozen=True, slots=True)
class HidScale:
    """A scale that this machine has on USB.

    Parameters
    ----------
    vendor_id, product_id : int
    serial : str
        Empty where it has none.
    product : str
        What it calls itself, in printable characters.
    path : str
        Where the system opens it.
    trouble : str
        Why it cannot be opened, in plain words that say what to do; empty where it can.
    """

    vendor_id: int
    product_id: int
    serial: str
    product: str
    path: str
    trouble: str = ""

    @property
    def url(self) -> str:
        """The port to name it by."""
        ids = f"{self.vendor_id:04x}:{self.product_id:04x}"
        return str(Address("hid", f"{ids}:{self.serial}" if self.serial else ids))


class HidPort:
    """The reports of an open device, one an arrival.

    Parameters
    ----------
    handle : HidHandle
    name : str
    clock : callable, seconds

    Attributes
    ----------
    descriptor : bytes
        What the reports mean, as the device describes them; empty where that cannot be had.
    """

    def __init__(self, handle: HidHandle, name: str, clock: Clock) -> None:
        self.name = name
        self.ended = False
        self.descriptor = handle.descriptor()
        self._handle = handle
        self._clock = clock

    def read(self, timeout_s: float) -> Arrival | None:
        """Return one report, or None when none came in time.

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
        try:
            data = self._handle.read(timeout_s)
        except OSError as exc:
            raise LinkLostError(
                f"The link to the scale at {self.name} was lost.", hint="Check cable and power."
            ) from exc
        return Arrival(self._clock(), data) if data else None

    def close(self) -> None:
        """Let go of the device."""
        self._handle.close()


def open_hid(
    address: Address,
    clock: Clock,
    *,
    transport: HidTransport | None = None,
    sleep: Callable[[float], None] = time.sleep,
) -> HidPort:
    """Open a scale on USB; nothing is ever sent to it.

    Parameters
    ----------
    address : Address
        ``VID:PID`` or ``VID:PID:SERIAL`` in hexadecimal, or the path of the device.
    clock : callable, seconds
    transport : HidTransport or None
        None asks hidapi.
    sleep : callable of seconds
        Waits between attempts.

    Returns
    -------
    HidPort

    Raises
    ------
    SpecificationError
        If the address makes no sense, or hidapi is not installed.
    ScaleError
        If there is no such scale, there are several, or permission is refused.
    """
    address.expect()
    ids = _IDS.fullmatch(address.place)
    if ids is None and not _PATH.match(address.place):
        raise SpecificationError(
            f"'{address.place}' names no USB device.",
            hint=f"Write vendor and product in hexadecimal, like {_EXAMPLE},"
            " or the path of the device, like hid:///dev/hidraw0.",
        )
    system = transport or HidApi()
    devices = system.devices()
    if ids is None:
        path, device = address.place, _at(address.place, devices)
    else:
        device = _named(ids, address.place, devices)
        path = device.path
    handle = _open_patiently(system, path, device, sleep)
    return HidPort(handle, address.place, clock)


def list_hid_scales(transport: HidTransport | None = None) -> list[HidScale]:
    """Return the scales that this machine has on USB, serial lines left out.

    Parameters
    ----------
    transport : HidTransport or None
        None asks hidapi.

    Returns
    -------
    list of HidScale
        In the order of their paths; each was opened for a moment, to see whether it can be.

    Raises
    ------
    SpecificationError
        If hidapi is not installed.
    """
    system = transport or HidApi()
    found = _by_path(each for each in system.devices() if each.usage_page == SCALES_PAGE)
    return [
        HidScale(
            each.vendor_id,
            each.product_id,
            each.serial,
            "".join(char if char.isprintable() else "?" for char in each.product),
            each.path,
            _trouble(system, each),
        )
        for each in found
    ]


def udev_rule(vendor_id: int, product_id: int) -> str:
    """Return the line that gives whoever sits at a Linux machine the right to read a device.

    Parameters
    ----------
    vendor_id, product_id : int

    Returns
    -------
    str
        It has to stand in a file whose name sorts before ``73-seat-late.rules``.

    Examples
    --------
    >>> udev_rule(0x1A2B, 1)
    'KERNEL=="hidraw*", ATTRS{idVendor}=="1a2b", ATTRS{idProduct}=="0001", TAG+="uaccess"'
    """
    return (
        f'KERNEL=="hidraw*", ATTRS{{idVendor}}=="{vendor_id:04x}",'
        f' ATTRS{{idProduct}}=="{product_id:04x}", TAG+="uaccess"'
    )


def _by_path(devices: Iterable[HidDevice]) -> list[HidDevice]:
    """Return each device once, though it be listed for several collections."""
    return [first for _, first in sorted({each.path: each for each in devices}.items())]


def _at(path: str, devices: list[HidDevice]) -> HidDevice | None:
    """Return the device that a path leads to, if the system lists it."""
    here = [each for each in devices if each.path == path]
    scales = [each for each in here if each.usage_page in (SCALES_PAGE, 0)]
    if here and not scales:
        raise _no_scale(path)
    return scales[0] if scales else None


def _named(ids: re.Match[str], place: str, devices: list[HidDevice]) -> HidDevice:
    """Return the one scale that ids, and a serial number if there is one, stand for."""
    here = [
        each
        for each in devices
        if (each.vendor_id, each.product_id) == (int(ids[1], 16), int(ids[2], 16))
        and ids[3] in (None, each.serial)
    ]
    scales = _by_path(each for each in here if each.usage_page == SCALES_PAGE)
    scales = scales or _by_path(each for each in here if not each.usage_page)
    if here and not scales:
        raise _no_scale(place)
    if not scales:
        raise ScaleAbsentError(f"There is no scale {place} on USB.", hint=_what_is_there(devices))
    if len(scales) > 1:
        paths = " or ".join(f"hid://{each.path}" for each in scales)
        raise ScaleError(f"There are {len(scales)} scales {place}.", hint=f"Name one, as {paths}.")
    return scales[0]


def _no_scale(place: str) -> ScaleError:
    return ScaleError(
        f"The USB device {place} does not call itself a scale.",
        hint="Name the scale; if it is one, set it to send by USB HID, or use its serial line.",
    )


def _what_is_there(devices: list[HidDevice]) -> str:
    """Return the scales of this machine in a sentence."""
    scales = _by_path(each for each in devices if each.usage_page == SCALES_PAGE)
    if not scales:
        return "Plug the scale in, switch it on, and check its cable; no scale is on USB now."
    urls = sorted({f"hid://{each.vendor_id:04x}:{each.product_id:04x}" for each in scales})
    return f"This machine has {', '.join(urls)}."


def _open_patiently(
    system: HidTransport,
    path: str,
    device: HidDevice | None,
    sleep: Callable[[float], None],
) -> HidHandle:
    """Open a device; try for two seconds, for one just plugged in has not got its rights yet."""
    for _ in range(RETRIES):
        try:
            return system.open(path)
        except FileNotFoundError:
            break
        except OSError:
            sleep(RETRY_S)
    try:
        return system.open(path)
    except OSError as exc:
        raise _refused(path, device, exc) from exc


def _trouble(system: HidTransport, device: HidDevice) -> str:
    try:
        system.open(device.path).close()
    except OSError as exc:
        return _refused(device.path, device, exc).sentence
    return ""


def _refused(path: str, device: HidDevice | None, exc: OSError) -> ScaleError:
    """Return the sentence for a device that did not open."""
    if exc.errno in (errno.ENOENT, errno.ENODEV, errno.ENXIO):
        return ScaleError(
            f"There is no device {path}.", hint="Plug the scale in, and check its cable."
        )
    if exc.errno in (errno.EACCES, errno.EPERM) and sys.platform.startswith("linux"):
        return ScaleError(f"You may not open the scale at {path}.", hint=_cure(path, device))
    return ScaleError(
        f"The scale at {path} does not open.",
        hint="Close other programs that use it, then unplug it and plug it in again.",
    )


def _cure(path: str, device: HidDevice | None) -> str:
    """Return what gives a person the right to open a device on Linux."""
    if device is None:
        return f"Run 'sudo chmod a+rw {path}', or ask whoever looks after this machine."
    rule = udev_rule(device.vendor_id, device.product_id)
    file = f"/etc/udev/rules.d/70-scale-{device.vendor_id:04x}-{device.product_id:04x}.rules"
    return (
        f"Run: echo '{rule}' | sudo tee {file} && sudo udevadm control --reload-rules"
        " && sudo udevadm trigger; then unplug the scale and plug it in again."
    )

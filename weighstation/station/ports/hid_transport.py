"""What is asked of the system about HID devices, and the library that answers.

The library is hidapi, from the extra ``hid``; it is imported when a device is asked for, not
before. Nothing is ever written to a device.
"""

from __future__ import annotations

import errno
import os
import sys
import threading
from contextlib import suppress
from importlib import import_module
from math import ceil
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from weighstation.errors import SpecificationError

MAX_REPORT_BYTES = 4096
INSTALL = "python3 -m pip install 'weighstation[hid]'"


class HidDevice(NamedTuple):
    """A HID device as the system lists it, once for each of its top collections.

    Parameters
    ----------
    vendor_id, product_id : int
    serial, product : str
        As the device says them; may be empty.
    path : str
        Where the system opens it.
    usage_page : int
        Of a top collection; 0 where the system does not tell.
    """

    vendor_id: int
    product_id: int
    serial: str
    product: str
    path: str
    usage_page: int


class HidHandle(Protocol):
    """An open HID device."""

    def read(self, timeout_s: float) -> bytes:
        """Return one input report, or nothing when none came in time.

        Parameters
        ----------
        timeout_s : float, seconds

        Returns
        -------
        bytes
            With its id first, where the reports of the device have ids.

        Raises
        ------
        OSError
            If the device went away.
        """

    def descriptor(self) -> bytes:
        """Return the report descriptor; empty where it cannot be had."""

    def close(self) -> None:
        """Let go of the device; a second call does nothing."""


class HidTransport(Protocol):
    """The HID devices of a machine."""

    def devices(self) -> list[HidDevice]:
        """Return those that are there now."""

    def open(self, path: str) -> HidHandle:
        """Open one of them.

        Parameters
        ----------
        path : str

        Returns
        -------
        HidHandle

        Raises
        ------
        OSError
            With its number, where the system tells one.
        """


class HidApi:
    """The devices that hidapi knows.

    Raises
    ------
    SpecificationError
        If hidapi is not installed.
    """

    def __init__(self) -> None:
        self._library = _library()

    def devices(self) -> list[HidDevice]:
        """Return those that are there now."""
        return [
            HidDevice(
                vendor_id=entry["vendor_id"],
                product_id=entry["product_id"],
                serial=entry["serial_number"] or "",
                product=entry["product_string"] or "",
                path=os.fsdecode(entry["path"]),
                usage_page=entry["usage_page"],
            )
            for entry in self._library.enumerate()
        ]

    def open(self, path: str) -> HidApiHandle:
        """Open one of them.

        Parameters
        ----------
        path : str

        Returns
        -------
        HidApiHandle

        Raises
        ------
        OSError
            With its number, where the system tells one.
        """
        device = self._library.device()
        try:
            device.open_path(os.fsencode(path))
        except OSError as exc:
            raise _numbered(path) from exc
        return HidApiHandle(device)


class HidApiHandle:
    """A device that hidapi has open.

    Parameters
    ----------
    device : hidraw.device or hid.device
    """

    def __init__(self, device: Any) -> None:  # noqa: ANN401 - the library has no types
        self._device = device
        self._lock = threading.Lock()  # the library frees on close what a read still looks at

    def read(self, timeout_s: float) -> bytes:
        """Return one input report, or nothing when none came in time.

        Parameters
        ----------
        timeout_s : float, seconds

        Returns
        -------
        bytes

        Raises
        ------
        OSError
            If the device went away or was closed.
        """
        # The library takes 0 for "wait without end".
        wait_ms = max(1, ceil(timeout_s * 1000))
        with self._lock:
            try:
                return bytes(self._device.read(MAX_REPORT_BYTES, wait_ms))
            except ValueError as exc:
                raise OSError(errno.EBADF, "the device is closed") from exc

    def descriptor(self) -> bytes:
        """Return the report descriptor; empty where it cannot be had."""
        with self._lock, suppress(OSError, ValueError, AttributeError):
            return bytes(self._device.get_report_descriptor())
        return b""

    def close(self) -> None:
        """Let go of the device, once a read that is under way has ended."""
        with self._lock:
            self._device.close()


def _library() -> Any:  # noqa: ANN401 - it has no types
    """Return hidapi's module: on Linux the one over hidraw, which knows usage pages."""
    name = "hidraw" if sys.platform.startswith("linux") else "hid"
    try:
        library = import_module(name)
    except ImportError as exc:
        raise SpecificationError(
            "A scale on USB that is no serial line needs the library hidapi,"
            " which is not installed or does not load.",
            hint=f"Run {INSTALL}",
        ) from exc
    if not hasattr(library, "device"):
        raise SpecificationError(
            "Another library has taken the name of hidapi.",
            hint=f"Run python3 -m pip uninstall hid && {INSTALL}",
        )
    return library


def _numbered(path: str) -> OSError:
    """Return why a device does not open, which the library does not say in a number."""
    if Path(path).is_absolute() and os.name == "posix":
        try:
            os.close(os.open(path, os.O_RDWR | os.O_NONBLOCK))
        except OSError as exc:
            return exc
    return OSError(errno.EIO, "the device does not open")

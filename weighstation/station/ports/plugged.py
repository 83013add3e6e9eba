"""The serial ports that there are now, as the system lists them."""

from __future__ import annotations

import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from serial.tools.list_ports_common import ListPortInfo

    Comports = Callable[[], Iterable[ListPortInfo]]

SYSFS = Path("/sys")
TRIES = 3
AGAIN_S = 0.01
NOTHING_BEHIND_IT = "0"
"""What the system calls the kind of a built-in port that has no hardware."""


def plugged_in(*, comports: Comports | None = None, sysfs: Path = SYSFS) -> list[ListPortInfo]:
    """Return the serial ports of this machine, in the order of their names.

    Parameters
    ----------
    comports : callable or None
        Lists them; None for the one of this system.
    sysfs : Path
        Where the system tells of its devices (Linux).

    Returns
    -------
    list of ListPortInfo
        On macOS only those that do not wait for a carrier (``cu.``); on Linux without built-in
        ports that have no hardware, which newer kernels list by the dozen.
    """
    if comports is None:
        from serial.tools import list_ports  # noqa: PLC0415 - not before ports are asked for

        comports = list_ports.comports
    listed = _listed(comports)
    return sorted(info for info in listed if not _is_waiting(info) and _is_there(info, sysfs))


def _listed(comports: Comports) -> list[ListPortInfo]:
    """Return what is listed; a device that goes meanwhile upsets the listing, so try again."""
    for _ in range(TRIES):
        with suppress(OSError, TypeError, ValueError):
            return list(comports())
        time.sleep(AGAIN_S)
    return []


def _is_waiting(info: ListPortInfo) -> bool:
    """Tell whether opening a port would wait for a carrier, as macOS has them beside the others."""
    return sys.platform == "darwin" and info.device.startswith("/dev/tty.")


def _is_there(info: ListPortInfo, sysfs: Path) -> bool:
    """Tell whether there is hardware behind a port; where the system does not say, there is."""
    with suppress(OSError):
        kind = (sysfs / "class" / "tty" / info.name / "type").read_text("ascii")
        return kind.strip() != NOTHING_BEHIND_IT
    return True

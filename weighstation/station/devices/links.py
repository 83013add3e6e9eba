"""Names of devices that stay when they are plugged in again."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

BY_NAME = "by-id"
BY_PLACE = "by-path"


def links_to(device: str, dev: Path, kind: str) -> str:
    """Return the link under ``/dev/serial`` that leads to a device.

    Parameters
    ----------
    device : str
    dev : Path
        Folder of devices.
    kind : str
        ``by-id``, which follows the device, or ``by-path``, which stays where it is plugged in.

    Returns
    -------
    str
        Empty where there is none.
    """
    with suppress(OSError):
        for link in sorted((dev / "serial" / kind).iterdir()):
            if str(link.resolve()) == device:
                return str(link)
    return ""

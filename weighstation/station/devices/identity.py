"""What stays the same when a device is plugged in again under another name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Self

from weighstation.errors import SpecificationError

_USB = re.compile(r"usb:([0-9a-f]{4}):([0-9a-f]{4})(?::(.+)|@(.+))?", re.DOTALL)
_PATH = "path:"


@dataclass(frozen=True, slots=True)
class Identity:
    """Who a device is, as far as it says so itself.

    As text it is ``usb:VID:PID:SERIAL``; without a serial number ``usb:VID:PID@LOCATION``, which
    is the place it is plugged into; if not even that is known, ``usb:VID:PID``; and for what is
    not on USB ``path:DEVICE``.

    Parameters
    ----------
    vendor_id, product_id : int or None
        Of a USB device, 0 to 65535.
    serial : str
        Its serial number.
    location : str
        The port it is plugged into, where it has no serial number.
    path : str
        Name of a device that is not on USB.

    Examples
    --------
    >>> str(Identity(0x0403, 0x6001, serial="A50285BI"))
    'usb:0403:6001:A50285BI'
    >>> Identity.parse("path:/dev/ttyS0").path
    '/dev/ttyS0'
    """

    vendor_id: int | None = None
    product_id: int | None = None
    serial: str = ""
    location: str = ""
    path: str = ""

    @classmethod
    def usb(cls, vendor_id: int, product_id: int, *, serial: str = "", location: str = "") -> Self:
        """Return who a USB device is; its serial number goes before the place.

        Parameters
        ----------
        vendor_id, product_id : int
        serial, location : str

        Returns
        -------
        Identity
        """
        return cls(vendor_id, product_id, serial, "" if serial else location)

    @classmethod
    def parse(cls, text: str) -> Self:
        """Return the identity that was written as text.

        Parameters
        ----------
        text : str

        Returns
        -------
        Identity

        Raises
        ------
        SpecificationError
            If it is none.
        """
        if text.startswith(_PATH) and len(text) > len(_PATH):
            return cls(path=text.removeprefix(_PATH))
        found = _USB.fullmatch(text)
        if not found:
            raise SpecificationError(
                f"'{text}' does not say which device is meant.",
                hint="Write it as 'weighstation scales --json' shows it, like"
                " usb:0403:6001:A50285BI or path:/dev/ttyS0.",
            )
        vendor_id, product_id, serial, location = found.groups(default="")
        return cls(int(vendor_id, 16), int(product_id, 16), serial, location)

    def __str__(self) -> str:
        if self.vendor_id is None or self.product_id is None:
            return f"{_PATH}{self.path}"
        named = f"usb:{self.vendor_id:04x}:{self.product_id:04x}"
        if self.serial:
            return f"{named}:{self.serial}"
        return f"{named}@{self.location}" if self.location else named

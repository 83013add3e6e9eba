"""URL and profiles -> an open scale, set as it was learned, and found again by who it is."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.acquire import OPEN
from weighstation.errors import ScaleAbsentError, SpecificationError
from weighstation.station.devices.identity import Identity
from weighstation.station.devices.serial_ports import find_device, identity_of
from weighstation.station.ports import Address, open_port

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weighstation.acquire import Recipe
    from weighstation.station.devices.profiles import Profile
    from weighstation.station.ports import Clock, Port


@dataclass(frozen=True, slots=True)
class Finding:
    """A scale that can be opened, and opened again under another name.

    Parameters
    ----------
    address : Address
        Set as it was learned.
    identity : Identity or None
        None where its name is all there is.
    recipe : Recipe
    """

    address: Address
    identity: Identity | None
    recipe: Recipe

    def open(self, clock: Clock) -> Port:
        """Open the scale by its name, as it was given.

        Parameters
        ----------
        clock : callable, seconds

        Returns
        -------
        Port

        Raises
        ------
        ScaleError
            If it cannot be opened.
        """
        return open_port(str(self.address), clock)

    def open_again(self, clock: Clock) -> Port:
        """Open the scale by who it is, whatever its name is now.

        Parameters
        ----------
        clock : callable, seconds

        Returns
        -------
        Port

        Raises
        ------
        ScaleAbsentError
            If it is not plugged in.
        ScaleError
            If it cannot be opened.
        """
        if self.identity is None or self.identity.vendor_id is None:
            return self.open(clock)
        device = find_device(self.identity)
        if device is None:
            raise ScaleAbsentError(f"The scale at {self.address.place} is not plugged in.")
        return open_port(str(replace(self.address, place=device)), clock)


def find(url: str, profiles: Mapping[str, Profile]) -> Finding:
    """Return the scale that a URL names, set as its profile says where the URL does not.

    Parameters
    ----------
    url : str
    profiles : mapping of Profile
        By identity.

    Returns
    -------
    Finding

    Raises
    ------
    SpecificationError
        If the URL makes no sense.
    """
    address = Address.parse(url)
    profile = profiles.get(key_of(address))
    identity = identity_of(address.place) if address.scheme == "serial" and address.place else None
    if profile is None:
        return Finding(address, identity, OPEN)
    settings = profile.settings if address.scheme in ("serial", "rfc2217", "tcp") else {}
    return Finding(replace(address, options=settings | address.options), identity, profile.recipe)


def key_of(address: Address) -> str:
    """Return what the profile of a scale is filed under.

    Parameters
    ----------
    address : Address

    Returns
    -------
    str
        Its identity where it is plugged in here and says who it is, else where it is.
    """
    if address.scheme == "serial" and address.place:
        identity = identity_of(address.place)
        if identity is not None:
            return str(identity)
    if address.scheme == "hid":
        with suppress(SpecificationError):
            return str(Identity.parse(f"usb:{address.place.lower()}"))
    return str(Address(address.scheme, address.place))

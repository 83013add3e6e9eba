"""Where pages are served, and whether others reach it."""

from __future__ import annotations

from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from pathlib import Path


class Certificate(NamedTuple):
    """What makes HTTPS of HTTP.

    Parameters
    ----------
    path : Path
        The certificate, or the chain of them, as PEM.
    key_path : Path
        Its key, as PEM; may be the same file.
    """

    path: Path
    key_path: Path


class Place(NamedTuple):
    """An address of this machine.

    Parameters
    ----------
    host : str
    port : int
        0 for any that is free.
    certificate : Certificate or None
        None for plain HTTP.
    """

    host: str
    port: int
    certificate: Certificate | None = None

    @property
    def scheme(self) -> str:
        """That of its URL."""
        return "http" if self.certificate is None else "https"

    @property
    def is_on_network(self) -> bool:
        """Whether other machines may reach it."""
        return self.host != "localhost" and not is_here(self.host)


def parsed(address: str) -> IPv4Address | IPv6Address | None:
    """Return an address; one of IPv4 that IPv6 wraps is unwrapped.

    Parameters
    ----------
    address : str

    Returns
    -------
    IPv4Address, IPv6Address or None
        None where it is none.
    """
    try:
        found = ip_address(address.partition("%")[0])
    except ValueError:
        return None
    return (found.ipv4_mapped or found) if isinstance(found, IPv6Address) else found


def is_here(address: str) -> bool:
    """Return whether nobody but this machine can have an address.

    Parameters
    ----------
    address : str

    Returns
    -------
    bool
    """
    found = parsed(address)
    return found is not None and found.is_loopback


def in_url(host: str) -> str:
    """Return a host as a URL names it.

    Parameters
    ----------
    host : str

    Returns
    -------
    str
    """
    return f"[{host}]" if ":" in host else host

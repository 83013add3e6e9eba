"""``pair``: a link that lets one device in, the list of those that were, and one sent away."""

from __future__ import annotations

import shlex
import sys
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from weighstation.errors import SpecificationError
from weighstation.station.commands.pairing.code import code_shown, refuse_no_code
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.pages import show_record
from weighstation.station.pages.door.roles import Role
from weighstation.station.pages.place import in_url, is_here
from weighstation.station.stores.pairs import LINK_S, Device, Pairs

if TYPE_CHECKING:
    from pathlib import Path

MAY = {
    Role.READER.value: "look",
    Role.BENCH.value: "weigh and strike out",
    Role.OWNER.value: "do all",
}
MOST_LETTERS = 40


@dataclass(frozen=True, slots=True)
class PairOrder:
    """The options of ``pair``.

    Parameters
    ----------
    role, name : str
        Empty where they were not said.
    url : str or None
        How the device reaches this station; None for where pages were last served.
    listed : bool
    revoke : str or None
        Name of a device.
    as_json : bool
    home : Path or None
    """

    role: str
    name: str = ""
    url: str | None = None
    listed: bool = False
    revoke: str | None = None
    as_json: bool = False
    home: Path | None = None


def run_pair(order: PairOrder) -> int:
    """Make a link, list the devices, or take one out.

    Parameters
    ----------
    order : PairOrder

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If what was asked cannot be, or the extra ``pages`` is missing.
    JournalFullError
        If the home folder cannot be written to.
    SchemaTooNewError
        If the file of devices was written by a newer weighstation.
    """
    if (bool(order.role), order.listed, order.revoke is not None).count(True) != 1:
        raise SpecificationError(
            "Nothing can be done with that.", hint="Give one of --role, --list and --revoke."
        )
    home = Home.find(order.home)
    pairs = Pairs(home.folder)
    if order.listed:
        return _list(pairs, as_json=order.as_json)
    if order.revoke is not None:
        return _revoke(pairs, order.revoke)
    return _link(order, pairs, home)


# ---- a link


def _link(order: PairOrder, pairs: Pairs, home: Home) -> int:
    if order.role not in MAY:
        raise SpecificationError(
            f"There is no role '{order.role}'.", hint="Give --role reader, bench or owner."
        )
    refuse_no_code()
    name = _name(order.name)
    at = _where(order.url, pairs)
    home.make()
    secret, made = pairs.link(name, order.role, _now_ms())
    link = f"{at}/pair/{secret}"
    if order.as_json:
        show_record({"url": link, **_record(made)})
        return 0
    sys.stdout.write(code_shown(link, sys.stdout) + _said(link, made))
    return 0


def _said(link: str, made: Device) -> str:
    return (
        f"{link}\n\n"
        f"Open it on the device within {LINK_S // 60} minutes; it works once.\n"
        f"It is called '{made.name}' and may {MAY[made.role]}."
        f" To send it away: weighstation pair --revoke {shlex.quote(made.name)}\n"
    )


def _name(typed: str) -> str:
    name = typed.strip()
    if len(name) > MOST_LETTERS or not name.isprintable():
        raise SpecificationError(
            "That is no name for a device.",
            hint=f"Give --name in up to {MOST_LETTERS} letters, such as 'tablet at the bench'.",
        )
    return name


def _where(url: str | None, pairs: Pairs) -> str:
    """Return how the device reaches this station, without a slash at the end."""
    if url is None:
        served = pairs.served_at()
        if not served:
            raise SpecificationError(
                "No pages were served on the network from this home yet, so there is no address"
                " for the link.",
                hint="Type 'weighstation serve --host 0.0.0.0' first, or give --url http://HOST:PORT.",
            )
        return served.rstrip("/")
    try:
        parts = urlsplit(url.strip())
        host, port = parts.hostname or "", parts.port
    except ValueError:
        raise _no_url(url) from None
    extra = parts.path.strip("/") or parts.query or parts.fragment or parts.username
    if parts.scheme not in ("http", "https") or not host or extra or not url.isprintable():
        raise _no_url(url)
    if host == "localhost" or is_here(host):
        raise SpecificationError(
            f"No other device reaches this station at '{host}'.",
            hint="Give --url with its name or address on the network.",
        )
    return f"{parts.scheme}://{in_url(host)}{'' if port is None else f':{port}'}"


def _no_url(url: str) -> SpecificationError:
    return SpecificationError(
        f"'{url}' is no address of a station.", hint="Give --url as http://HOST:PORT."
    )


# ---- those that are let in


def _list(pairs: Pairs, *, as_json: bool) -> int:
    devices = pairs.devices(_now_ms())
    if as_json:
        show_record({"devices": [_record(device) for device in devices]})
    elif not devices:
        sys.stdout.write("No device is let in; whoever sits at this machine is.\n")
    else:
        sys.stdout.writelines(f"{_line(device)}\n" for device in devices)
    return 0


def _line(device: Device) -> str:
    what = "link not used, good until" if device.is_link else "let in until"
    until = datetime.fromtimestamp(device.until_ms / 1000, HERE)
    form = "%H:%M" if device.is_link else "%Y-%m-%d"
    return f"{device.name:<{MOST_LETTERS}}  {device.role:<6}  {what} {until:{form}}"


def _record(device: Device) -> dict[str, object]:
    return {
        "name": device.name,
        "role": device.role,
        "is_link": device.is_link,
        "made": _utc(device.made_ms),
        "until": _utc(device.until_ms),
    }


def _utc(ms: int) -> str:
    return datetime.fromtimestamp(ms // 1000, UTC).isoformat().replace("+00:00", "Z")


def _revoke(pairs: Pairs, name: str) -> int:
    if not pairs.revoke(name, _now_ms()):
        raise SpecificationError(
            f"There is no device called '{name}'.", hint="Look at 'weighstation pair --list'."
        )
    sys.stdout.write(f"'{name}' is let in no more.\n")
    return 0


def _now_ms() -> int:
    return time.time_ns() // 1_000_000

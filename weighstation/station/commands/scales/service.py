"""``service``: a script that makes a station start with its machine; printed, never run."""

from __future__ import annotations

import getpass
import os
import re
import shlex
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import weighstation
from weighstation.errors import SpecificationError
from weighstation.station.commands.batches.resume import last_promise
from weighstation.station.commands.scales.unit import UNIT_FILE, Station, unit_of
from weighstation.station.commands.shop.home import Home
from weighstation.station.devices import Identity, identity_of
from weighstation.station.devices.rules import RULES_FILE, rules_of
from weighstation.station.ports import PORTS, Address
from weighstation.station.ports.rights import group_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.station.pages.place import Place

OWN_USER = "weighstation"
"""Whom a station runs as that an administrator sets up without a name."""
_USER_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_-]{0,30}")
_GROUPS = ("dialout", "uucp")
_KIND = re.compile(r"(tty[A-Za-z]+|rfcomm)\d+")
_ANY_ADAPTER = ("ttyUSB", "ttyACM")
_SCHEMES = {*PORTS, "hid", "rfc2217"}
_END = "END_OF_FILE"


def run_service(*, port: str, home: Path | None, user: str, pages: Place | None = None) -> int:
    """Print what makes this station start by itself.

    Parameters
    ----------
    port : str
        URL of the scale; empty for the one used last.
    home : Path or None
    user : str
        Whom it runs as; empty for whoever asks.
    pages : Place or None
        Where it shows itself in a browser, and divides what is begun there; None for neither.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If this is no Linux, no real scale is named and none was used before, or a name cannot
        be used.
    """
    if not sys.platform.startswith("linux"):
        raise SpecificationError(
            "A service is described for Linux with systemd only, and this is another system.",
            hint="Let its own scheduler start 'weighstation divide --events'.",
        )
    place = Home.find(home)
    last = last_promise(place.journal_path)
    address = _scale(port or (last.scale if last else ""))
    identity = _identity(address)
    station = Station(
        program=_program(),
        port=str(address),
        scheme=address.scheme,
        home=place.folder.absolute(),
        user=_user(user),
        group=_group(address),
        devices=_devices(address),
        needs=(Path(weighstation.__file__), Path(sys.base_prefix), *_shown_by(pages)),
        pages=pages,
    )
    script = _script(station, identity, is_new=last is None and pages is None)
    sys.stdout.write("\n".join(script) + "\n")
    return 0


def _shown_by(pages: Place | None) -> tuple[Path, ...]:
    """Return the files that HTTPS needs."""
    files = pages.certificate if pages else None
    return tuple(file.absolute() for file in files or ())


def _scale(url: str) -> Address:
    if not url:
        raise SpecificationError(
            "No scale is named, and none was used here before.",
            hint="Give one with --port, as in --port serial:///dev/ttyUSB0.",
        )
    address = Address.parse(url)
    if address.stand_in:
        raise SpecificationError(
            f"{url} is a {address.stand_in}, and a service needs a scale.",
            hint="Give one with --port; 'weighstation scales' lists those that are plugged in.",
        )
    if address.scheme not in _SCHEMES:
        raise SpecificationError(
            f"There is no kind of port '{address.scheme}://'.",
            hint="Give one with --port, as in --port serial:///dev/ttyUSB0.",
        )
    return address


def _identity(address: Address) -> Identity | None:
    """Return who the scale is; None where it is on the network or not plugged in."""
    if address.scheme == "serial":
        return identity_of(address.place)
    if address.scheme == "hid":
        with suppress(SpecificationError):
            return Identity.parse(f"usb:{address.place.lower()}")
    return None


def _user(given: str) -> str:
    name = given or getpass.getuser()
    if name == "root" and not given:
        name = OWN_USER
    if not _USER_NAME.fullmatch(name):
        raise SpecificationError(
            f"'{name}' is no name of a user.", hint="Give one with --user, as in --user baker."
        )
    return name


def _program() -> tuple[str, ...]:
    """Return what starts this very weighstation."""
    script = Path(sys.executable).with_name("weighstation")
    return (str(script),) if script.exists() else (sys.executable, "-m", "weighstation")


def _group(address: Address) -> str:
    """Return the group that may open the scale, as it is or as systems have it."""
    with suppress(ImportError):
        import grp  # noqa: PLC0415 - not on every system

        there = {entry.gr_name for entry in grp.getgrall()}
        own = group_of(address.place) if address.scheme == "serial" else ""
        return next((name for name in (own, *_GROUPS) if name in there), _GROUPS[0])
    return _GROUPS[0]


def _devices(address: Address) -> tuple[str, ...]:
    """Return the kinds of devices that the scale is one of, as /proc/devices names them."""
    if address.scheme == "hid":
        return ("hidraw",)
    if address.scheme != "serial":
        return ()
    path = Path(os.path.realpath(address.place))
    if path.parent == Path("/dev/pts"):
        return ("pts",)
    found = _KIND.fullmatch(path.name)
    return (found[1],) if found else _ANY_ADAPTER


# ---- the script


def _script(station: Station, identity: Identity | None, *, is_new: bool) -> Iterator[str]:
    """Yield the lines of a shell script that puts a station in its place."""
    yield "# How this station starts with its machine. Nothing is installed yet:"
    yield "# read this, keep it as install.sh, and run it with 'sh install.sh'."
    yield f"# Scale: {station.port}" + (f" ({identity})" if identity else "")
    yield from _beforehand(station, is_new=is_new)
    yield "set -eu"
    yield from _people(station)
    if station.devices:
        yield from _rule(station, identity)
    yield from _unit(station)
    yield "\n# See how it does:  systemctl status weighstation"
    yield "# Read its events:  journalctl -u weighstation -o cat -f"
    yield "# Stop it:          sudo systemctl stop weighstation"
    yield "# Take it away:     sudo systemctl disable --now weighstation"
    yield f"#                   sudo rm -f {UNIT_FILE}"
    yield f"#                   sudo rm -f {RULES_FILE}"


def _beforehand(station: Station, *, is_new: bool) -> Iterator[str]:
    if is_new:
        become = "" if station.user == getpass.getuser() else f"sudo -u {station.user} "
        yield "#"
        yield "# Nothing was divided in this home yet, so it is not known what to divide."
        yield "# Divide one batch by hand first; the service goes on with its product:"
        yield f"#   {become}{station.program[0]} divide PRODUCT \\"
        yield f"#     --port {shlex.quote(station.port)} \\"
        yield f"#     --home {shlex.quote(str(station.home))}"
    if station.lies_in("/root") and station.user != "root":
        yield "#"
        yield f"# {station.user} may not enter /root: put program and home somewhere else first,"
        yield "# such as in /opt and /srv."


def _people(station: Station) -> Iterator[str]:
    """Yield what makes the user and the home, where they are not there yet."""
    home, user = shlex.quote(str(station.home)), station.user
    owner = _number_of(user)
    if owner is None:
        yield f"\n# There is no user {user} yet."
        yield f"sudo useradd --system --shell /usr/sbin/nologin {user}"
    if not station.home.exists():
        yield "\n# The home folder is not there yet."
        yield f"sudo mkdir -p {home}"
        yield f"sudo chown {user} {home}"
    elif station.home.stat().st_uid != owner:
        yield "\n# The home folder is not theirs yet."
        yield f"sudo chown -R {user} {home}"


def _number_of(user: str) -> int | None:
    with suppress(ImportError, KeyError):
        import pwd  # noqa: PLC0415 - not on every system

        return pwd.getpwnam(user).pw_uid
    return None


def _rule(station: Station, identity: Identity | None) -> Iterator[str]:
    yield f"\n# 1. {RULES_FILE}: who may open the scale"
    if identity is None:
        yield "# It is not known which device the scale is; often it is not plugged in now."
        yield "# Plug it in, run 'weighstation service' again with the port that"
        yield "# 'weighstation scales' gives, and the rule will stand here."
        return
    is_hid = station.scheme == "hid"
    yield from _file(RULES_FILE, rules_of(identity, group=station.group, is_hid=is_hid))
    yield "sudo udevadm control --reload"
    yield f"sudo udevadm trigger --action=change --subsystem-match={'hidraw' if is_hid else 'tty'}"


def _unit(station: Station) -> Iterator[str]:
    number = 2 if station.devices else 1
    yield f"\n# {number}. {UNIT_FILE}: the station itself"
    yield from _file(UNIT_FILE, unit_of(station))
    yield "sudo systemctl daemon-reload"
    yield "sudo systemctl enable --now weighstation.service"


def _file(name: str, text: str) -> Iterator[str]:
    """Yield the command that writes a file."""
    yield f"sudo tee {name} >/dev/null <<'{_END}'"
    yield text.rstrip("\n")
    yield _END

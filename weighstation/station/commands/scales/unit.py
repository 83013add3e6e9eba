"""The unit of systemd that runs a station, in the words of systemd.service(5) and systemd.exec(5).

It is given no more than a scale and a home folder need. Where a line could break the station
(hiding the home, forbidding the network to a scale on it), what the station is decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from weighstation.station.pages.place import Place

UNIT_FILE = "/etc/systemd/system/weighstation.service"
STOP_WITHIN_S = 30
AGAIN_S = 5
_HOMES = ("/home", "/root", "/run/user")
_SCRATCH = ("/tmp", "/var/tmp")  # noqa: S108 - nothing is written there
_ON_THE_NETWORK = ("tcp", "rfc2217")


@dataclass(frozen=True, slots=True)
class Station:
    """What a unit has to know.

    Parameters
    ----------
    program : tuple of str
        What starts weighstation, with a full path.
    port : str
        URL of the scale.
    scheme : str
        Kind of port.
    home : Path
        Absolute.
    user : str
        Whom it runs as.
    group : str
        Who may open the scale.
    devices : tuple of str
        Kinds of devices it needs, as /proc/devices names them.
    needs : tuple of Path
        What else it reads while it runs: its packages and the Python below them.
    pages : Place or None
        Where it shows itself in a browser; None where it does not.
    """

    program: tuple[str, ...]
    port: str
    scheme: str
    home: Path
    user: str
    group: str
    devices: tuple[str, ...] = ()
    needs: tuple[Path, ...] = ()
    pages: Place | None = None

    @property
    def command(self) -> tuple[str, ...]:
        """What is run."""
        return (*self.program, *self._words, "--home", str(self.home))

    @property
    def _words(self) -> tuple[str, ...]:
        if self.pages is None:
            return ("divide", "--events", "--port", self.port)
        host, port, certificate = self.pages
        words = ("serve", "--host", host, "--port", str(port), "--scale", self.port)
        if certificate is None:
            return words
        files = (str(file.absolute()) for file in certificate)
        return (*words, "--certificate", next(files), "--key", next(files))

    @property
    def is_on_the_network(self) -> bool:
        """Whether the scale is reached over the network, or its pages are."""
        return self.scheme in _ON_THE_NETWORK or self.pages is not None

    def lies_in(self, *folders: str) -> bool:
        """Tell whether anything that it needs is in one of some folders.

        Parameters
        ----------
        *folders : str

        Returns
        -------
        bool
        """
        paths = (Path(self.program[0]), self.home, *self.needs)
        return any(path.is_relative_to(folder) for folder in folders for path in paths)


def unit_of(station: Station) -> str:
    """Return the lines of the unit.

    Parameters
    ----------
    station : Station

    Returns
    -------
    str

    Raises
    ------
    SpecificationError
        If a path holds a sign that no unit can.
    """
    sections = {
        "Unit": _unit(station),
        "Service": (*_service(station), *_hardening(station)),
        "Install": ("WantedBy=multi-user.target",),
    }
    return "\n\n".join("\n".join((f"[{name}]", *lines)) for name, lines in sections.items()) + "\n"


def _unit(station: Station) -> tuple[str, ...]:
    network = ("Wants=network-online.target", "After=network-online.target")
    return (
        "Description=Weighing station",
        *(network if station.is_on_the_network else ()),
        "# However long the scale stays unplugged, it is tried again.",
        "StartLimitIntervalSec=0",
    )


def _service(station: Station) -> tuple[str, ...]:
    groups = (f"SupplementaryGroups={station.group}",) if station.devices else ()
    return (
        "Type=exec",
        f"User={station.user}",
        *groups,
        f"ExecStart={' '.join(quoted(word, dollar='$$') for word in station.command)}",
        "# As Ctrl-C does: what was weighed is on the disk, and the next start goes on.",
        "KillSignal=SIGINT",
        f"TimeoutStopSec={STOP_WITHIN_S}",
        "SuccessExitStatus=130",
        "# Without a scale (3) or with a full disk (4) it tries again; not after bad usage (2).",
        "Restart=on-failure",
        f"RestartSec={AGAIN_S}",
        "RestartPreventExitStatus=2",
    )


def _hardening(station: Station) -> tuple[str, ...]:
    families = "AF_UNIX AF_INET AF_INET6" if station.is_on_the_network else "AF_UNIX"
    return (
        "",
        "# It may write its home folder and read its scale, and nothing else.",
        "ProtectSystem=strict",
        f"ReadWritePaths={quoted(str(station.home))}",
        f"ProtectHome={'read-only' if station.lies_in(*_HOMES) else 'yes'}",
        f"PrivateTmp={'no' if station.lies_in(*_SCRATCH) else 'yes'}",
        "DevicePolicy=closed",
        *(f"DeviceAllow=char-{name} rw" for name in station.devices),
        f"RestrictAddressFamilies={families}",
        "NoNewPrivileges=yes",
        "CapabilityBoundingSet=",
        "SystemCallArchitectures=native",
        "SystemCallFilter=@system-service",
        "MemoryDenyWriteExecute=yes",
        "LockPersonality=yes",
        "ProtectClock=yes",
        "ProtectControlGroups=yes",
        "ProtectHostname=yes",
        "ProtectKernelLogs=yes",
        "ProtectKernelModules=yes",
        "ProtectKernelTunables=yes",
        "RestrictNamespaces=yes",
        "RestrictRealtime=yes",
        "RestrictSUIDSGID=yes",
    )


def quoted(word: str, *, dollar: str = "$") -> str:
    """Return a word as a unit writes it.

    Parameters
    ----------
    word : str
    dollar : str
        What stands for a dollar sign: two of them where variables are put in.

    Returns
    -------
    str

    Raises
    ------
    SpecificationError
        If it holds a sign that no unit can.

    Examples
    --------
    >>> quoted("/srv/the bench")
    '"/srv/the bench"'
    >>> quoted("/srv/100%")
    '/srv/100%%'
    """
    if not word.isprintable():
        raise SpecificationError(
            f"{word!r} cannot be written into a service.",
            hint="Give it a name without line ends and the like.",
        )
    text = word.replace("%", "%%").replace("$", dollar)
    if all(sign.isalnum() or sign in "/-_.:=?&@%$,+" for sign in text):
        return text
    text = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{text}"'

"""Made-up machines: listings of ports, folders as a system has them, and real ports to open."""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

from serial.tools.list_ports_common import ListPortInfo

from weighstation.station.devices.roots import Roots

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

HOLD = """
import fcntl, os, sys, time
held = os.open(sys.argv[1], os.O_RDWR | os.O_NOCTTY)
if sys.argv[2] == "locked":
    fcntl.flock(held, fcntl.LOCK_EX)
print("held", flush=True)
sys.stdin.read()
"""


def port(device: str, **said: object) -> ListPortInfo:
    """Return a port as it is listed."""
    info = ListPortInfo(device, skip_link_detection=True)
    for name, value in said.items():
        setattr(info, name, value)
    return info


def adapter(device: str, serial: str | None = "A50285BI", location: str = "1-1") -> ListPortInfo:
    """Return a plain USB adapter as it is listed."""
    return port(
        device,
        vid=0x0403,
        pid=0x6001,
        serial_number=serial,
        location=location,
        product="FT232R USB UART",
    )


def listing(*infos: ListPortInfo) -> Callable[[], list[ListPortInfo]]:
    """Return what lists some ports."""
    return lambda: list(infos)


def machine(folder: Path) -> Roots:
    """Return a machine on which nothing runs and nothing is plugged in."""
    roots = Roots(
        *(folder / name for name in ("proc", "dev", "sys", "run", "rules")),
    )
    for path in (roots.proc, roots.dev, roots.sysfs, roots.locks, roots.rules):
        path.mkdir(parents=True)
    return roots


def runs(roots: Roots, pid: int, name: str, *, has_open: str = "") -> None:
    """Put a process on a machine."""
    (roots.proc / str(pid) / "fd").mkdir(parents=True)
    (roots.proc / str(pid) / "comm").write_text(f"{name}\n")
    if has_open:
        (roots.proc / str(pid) / "fd" / "3").symlink_to(has_open)


def link(roots: Roots, kind: str, name: str, device: str) -> str:
    """Put a link to a device into a folder of links, and return it."""
    folder = roots.dev / "serial" / kind
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).symlink_to(device)
    return str(folder / name)


@contextmanager
def pseudo_terminal() -> Iterator[str]:
    """Yield the name of a real port with nobody at it."""
    near, far = os.openpty()
    device = os.ttyname(far)
    os.close(far)
    try:
        yield device
    finally:
        os.close(near)


@contextmanager
def held_by_another(device: str, how: str = "open") -> Iterator[int]:
    """Have a process of its own hold a port, and yield its number."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, device, how],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert "held\n" == process.stdout.readline()
        yield process.pid
        process.communicate()

"""Which program has a device open: found without opening the device."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

PROC = Path("/proc")
LOCKS = Path("/run/lock")


def holder_of(device: str, *, proc: Path = PROC, locks: Path = LOCKS) -> str:
    """Return the program that has a device open, as ``minicom (pid 4242)``.

    Parameters
    ----------
    device : str
    proc : Path
        Where the system tells of its processes (Linux).
    locks : Path
        Where terminal programs leave their lock files.

    Returns
    -------
    str
        Empty where nobody has it, or it cannot be seen: which files the programs of other users
        have open is told to the administrator only, unless they lock the device.
    """
    return holders_of((device,), proc=proc, locks=locks).get(device, "")


def holders_of(devices: Iterable[str], *, proc: Path = PROC, locks: Path = LOCKS) -> dict[str, str]:
    """Return the holders of those devices that a program has open; one look for all of them.

    Parameters
    ----------
    devices : iterable of str
    proc, locks : Path
        As in `holder_of`.

    Returns
    -------
    dict of str
        Programs by device.
    """
    real = {device: os.path.realpath(device) for device in devices}
    opened = _open_files(proc, set(real.values()))
    held = {}
    for device, path in real.items():
        pid = opened.get(path) or _flock_pid(path, proc) or _lock_file_pid(path, proc, locks)
        if pid:
            held[device] = f"{_program(pid, proc)} (pid {pid})"
    return held


def running(names: Iterable[str], *, proc: Path = PROC) -> set[str]:
    """Return which of some programs are running.

    Parameters
    ----------
    names : iterable of str
        At most 15 characters of each count, as the system keeps no more.
    proc : Path

    Returns
    -------
    set of str
    """
    wanted = {name[:15]: name for name in names}
    return {wanted[name] for pid in _pids(proc) if (name := _command(pid, proc)) in wanted}


def _pids(proc: Path) -> Iterator[int]:
    with suppress(OSError):
        yield from sorted(int(path.name) for path in proc.iterdir() if path.name.isdecimal())


def _open_files(proc: Path, paths: set[str]) -> dict[str, int]:
    """Return, of some paths, the process that has each open."""
    found: dict[str, int] = {}
    for pid in _pids(proc):
        with suppress(OSError), os.scandir(proc / str(pid) / "fd") as entries:  # else ended
            for entry in entries:
                with suppress(OSError):  # it was closed meanwhile
                    target = os.readlink(entry)  # noqa: PTH115 - a path object for each is slow
                    if target in paths:
                        found.setdefault(target, pid)
    return found


def _flock_pid(path: str, proc: Path) -> int | None:
    """Return the process that has locked a file, which the system tells everybody."""
    with suppress(OSError, ValueError):
        stat = os.stat(path)  # noqa: PTH116 - a string like the others
        place = f"{os.major(stat.st_dev):02x}:{os.minor(stat.st_dev):02x}:{stat.st_ino}"
        for line in (proc / "locks").read_text("ascii", "replace").splitlines():
            words = line.split()
            if len(words) > 5 and words[1] == "FLOCK" and words[5] == place:
                return int(words[4])
    return None


def _lock_file_pid(path: str, proc: Path, locks: Path) -> int | None:
    """Return the process that has left a lock file, if it still runs."""
    with suppress(OSError, ValueError):
        pid = int((locks / f"LCK..{Path(path).name}").read_text("ascii").split()[0])
        return pid if (proc / str(pid)).exists() else None
    return None


def _program(pid: int, proc: Path) -> str:
    return _command(pid, proc) or "a program"


def _command(pid: int, proc: Path) -> str:
    with suppress(OSError):
        name = (proc / str(pid) / "comm").read_text("utf-8", "replace").strip()
        return "".join(sign for sign in name if sign.isprintable())
    return ""

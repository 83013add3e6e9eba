"""The right to open a device, and how a person is given it."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

READ_AND_WRITE = stat.S_IRGRP | stat.S_IWGRP


class Cure(NamedTuple):
    """What gives a person the right to open a device.

    Parameters
    ----------
    sentence : str
        What to do, with the command in it.
    command : str
        The command alone; empty where none is needed.
    """

    sentence: str
    command: str


def may_open(device: str) -> bool:
    """Tell whether this user may open a device; it is not opened for that.

    Parameters
    ----------
    device : str

    Returns
    -------
    bool
    """
    return os.name != "posix" or os.access(device, os.R_OK | os.W_OK)


def group_of(device: str) -> str:
    """Return the group whose members may open a device.

    Parameters
    ----------
    device : str

    Returns
    -------
    str
        Empty where that is nobody but the administrator, or there are no groups.
    """
    with suppress(ImportError, OSError, KeyError):
        import grp  # noqa: PLC0415 - not on every system

        found = Path(device).stat()
        if found.st_gid and found.st_mode & READ_AND_WRITE == READ_AND_WRITE:
            return grp.getgrgid(found.st_gid).gr_name
    return ""


def permission_cure(device: str) -> Cure:
    """Return what gives this user the right to open a device.

    Parameters
    ----------
    device : str

    Returns
    -------
    Cure
    """
    group = group_of(device)
    if not group:
        command = f"sudo chmod a+rw {device}"
        return Cure(f"Run '{command}', or ask whoever looks after this machine.", command)
    if _is_member_from_next_login(group):
        return Cure(f"You are in the group {group} from the next login on: log out and in.", "")
    command = f"sudo usermod -a -G {group} $USER"
    return Cure(f"Run '{command}', then log out and in again.", command)


def _is_member_from_next_login(group: str) -> bool:
    """Tell whether this user was put into a group that this login does not have yet."""
    with suppress(ImportError, KeyError):
        import grp  # noqa: PLC0415 - not on every system
        import pwd  # noqa: PLC0415 - the same

        entry = grp.getgrnam(group)
        name = pwd.getpwuid(os.getuid()).pw_name
        return name in entry.gr_mem and entry.gr_gid not in os.getgroups()
    return False

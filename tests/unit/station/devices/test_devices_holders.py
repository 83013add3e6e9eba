"""Which program has a port open, seen from outside and without opening it."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from device_trees import held_by_another, machine, pseudo_terminal, runs

from weighstation.errors import ScaleError
from weighstation.station.ports import open_port
from weighstation.station.ports.holders import holder_of, holders_of, running

if TYPE_CHECKING:
    from weighstation.station.devices.roots import Roots

LINUX = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="needs a system that tells who has which file open"
)


@pytest.fixture
def roots(tmp_path: Path) -> Roots:
    return machine(tmp_path)


def comm_of(pid: int) -> str:
    return Path(f"/proc/{pid}/comm").read_text().strip()


@LINUX
def test_program_that_has_a_port_open_is_named() -> None:
    with pseudo_terminal() as device:
        free = holder_of(device)
        with held_by_another(device) as pid:
            held = holder_of(device)
            expected = f"{comm_of(pid)} (pid {pid})"
        free_again = holder_of(device)

    assert expected == held
    assert ["", ""] == [free, free_again]


@LINUX
def test_program_that_has_a_port_is_named_when_it_is_opened_under_another_name(
    tmp_path: Path,
) -> None:
    with pseudo_terminal() as device, held_by_another(device, "locked") as pid:
        (tmp_path / "scale").symlink_to(device)

        with pytest.raises(ScaleError) as caught:
            open_port(f"serial://{tmp_path / 'scale'}", lambda: 0.0)

        expected = f"is busy: {comm_of(pid)} (pid {pid}) has it. Close that program and start again"
    assert expected in caught.value.sentence


@LINUX
def test_program_of_another_user_is_found_by_its_lock(roots: Roots) -> None:
    """Which files it has open is not told, but the system's list of locks is open to all.

    The list is the system's own, taken while a real process holds a real lock.
    """
    with pseudo_terminal() as device, held_by_another(device, "locked") as pid:
        (roots.proc / "locks").write_text(Path("/proc/locks").read_text())
        (roots.proc / str(pid)).mkdir()
        (roots.proc / str(pid) / "comm").write_text("minicom\n")

        found = holder_of(device, proc=roots.proc, locks=roots.locks)
    assert f"minicom (pid {pid})" == found


def test_who_waits_for_a_lock_does_not_hold_it(roots: Roots) -> None:
    """A waiting process is marked with an arrow (proc_locks(5))."""
    stat = Path(os.devnull).stat()
    place = f"{os.major(stat.st_dev):02x}:{os.minor(stat.st_dev):02x}:{stat.st_ino}"
    (roots.proc / "locks").write_text(f"7: -> FLOCK  ADVISORY  WRITE 12 {place} 0 EOF\n")

    assert "" == holder_of(os.devnull, proc=roots.proc, locks=roots.locks)


@pytest.mark.parametrize(("alive", "found"), [(True, "cu (pid 4242)"), (False, "")])
def test_lock_file_of_a_terminal_program_counts_while_it_runs(
    roots: Roots, alive: bool, found: str
) -> None:
    """The file holds the number in ten columns (Filesystem Hierarchy Standard 3.0, 5.9)."""
    (roots.locks / "LCK..ttyUSB0").write_text("      4242\n")
    if alive:
        runs(roots, 4242, "cu")

    assert found == holder_of("/dev/ttyUSB0", proc=roots.proc, locks=roots.locks)


def test_one_look_finds_the_holders_of_all(roots: Roots) -> None:
    runs(roots, 7, "minicom", has_open="/dev/ttyUSB1")
    runs(roots, 9, "cu", has_open="/dev/ttyUSB0")
    runs(roots, 10, "shell", has_open="/dev/tty")
    names = [f"/dev/ttyUSB{number}" for number in range(3)]

    assert {"/dev/ttyUSB0": "cu (pid 9)", "/dev/ttyUSB1": "minicom (pid 7)"} == holders_of(
        names, proc=roots.proc, locks=roots.locks
    )


def test_program_whose_name_would_move_the_cursor_is_shown_without_that(roots: Roots) -> None:
    runs(roots, 7, "a\x1b[2Jb", has_open="/dev/ttyUSB0")

    assert "a[2Jb (pid 7)" == holder_of("/dev/ttyUSB0", proc=roots.proc, locks=roots.locks)


def test_system_that_tells_nothing_gives_nobody(tmp_path: Path) -> None:
    assert "" == holder_of("/dev/ttyUSB0", proc=tmp_path / "none", locks=tmp_path / "none")
    assert set() == running(["brltty"], proc=tmp_path / "none")


def test_running_programs_are_known_by_their_names(roots: Roots) -> None:
    runs(roots, 7, "ModemManager")
    runs(roots, 8, "a-name-longer-t")
    wanted = ["ModemManager", "brltty", "a-name-longer-than-the-system-keeps"]

    assert {wanted[0], wanted[2]} == running(wanted, proc=roots.proc)

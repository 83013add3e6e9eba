"""ModemManager and brltty, on machines made of folders.

What these folders hold is as udev and the kernel write them: a line ``E:NAME=VALUE`` for each
property in ``/run/udev/data/cMAJOR:MINOR``, and for each interface of a USB device a link
``driver`` in ``/sys/bus/usb/devices`` (Documentation/ABI/testing/sysfs-bus-usb of the kernel).
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from device_trees import adapter, listing, machine, port, pseudo_terminal, runs

from weighstation.station.devices import list_serial_devices

if TYPE_CHECKING:
    from serial.tools.list_ports_common import ListPortInfo

    from weighstation.station.devices import SerialDevice
    from weighstation.station.devices.roots import Roots

IGNORE = 'ATTRS{idVendor}=="0403", ATTRS{idProduct}=="6001", ENV{ID_MM_DEVICE_IGNORE}="1"'


@pytest.fixture
def roots(tmp_path: Path) -> Roots:
    return machine(tmp_path)


def only(roots: Roots, device: str = "/dev/ttyUSB0") -> SerialDevice:
    (found,) = list_serial_devices(
        comports=listing(adapter(device)), roots=roots, allowed=lambda _: True
    )
    return found


def know(roots: Roots, device: str, *lines: str) -> None:
    """Have udev know something of a device."""
    number = Path(device).stat().st_rdev
    data = roots.run / "udev" / "data"
    data.mkdir(parents=True)
    (data / f"c{os.major(number)}:{os.minor(number)}").write_text("\n".join((*lines, "")))


def plug_in(roots: Roots, place: str, ids: tuple[str, str], driver: str, serial: str = "") -> None:
    """Put a USB device on a machine, driven by some driver."""
    folder = roots.sysfs / "bus" / "usb" / "devices" / place
    interface = folder / f"{place}:1.0"
    interface.mkdir(parents=True)
    drivers = roots.sysfs / "bus" / "usb" / "drivers" / driver
    drivers.mkdir(parents=True, exist_ok=True)
    (interface / "driver").symlink_to(drivers)
    (folder / "idVendor").write_text(f"{ids[0]}\n")
    (folder / "idProduct").write_text(f"{ids[1]}\n")
    (folder / "product").write_text("USB2.0-Serial\n")
    if serial:
        (folder / "serial").write_text(f"{serial}\n")


def test_without_modem_manager_there_is_nothing_to_say(roots: Roots) -> None:
    runs(roots, 7, "cron")

    assert only(roots).caution is None


def test_modem_manager_that_was_not_told_is_a_caution_with_the_rule(roots: Roots) -> None:
    """The rule is that of ModemManager's own page on its filter, "ID_MM_DEVICE_IGNORE"."""
    runs(roots, 7, "ModemManager")
    found = only(roots)

    assert not found.problem
    assert found.caution is not None
    assert "ModemManager" in found.caution.says
    assert found.caution.commands[0].startswith("sudo tee -a /etc/udev/rules.d/")
    assert (IGNORE, "END", "sudo udevadm control --reload") == found.caution.commands[1:]


@pytest.mark.skipif(os.name != "posix", reason="needs the number of a device")
@pytest.mark.parametrize(
    ("lines", "is_told"),
    [
        (["E:ID_VENDOR_ID=0403", "E:ID_MM_DEVICE_IGNORE=1"], True),
        (["E:ID_MM_PORT_IGNORE=1"], True),
        (["E:ID_MM_CANDIDATE=1"], False),
        (["E:ID_MM_DEVICE_IGNORE=0"], False),
    ],
)
def test_what_udev_knows_decides_whether_it_was_told(
    roots: Roots, lines: list[str], is_told: bool
) -> None:
    runs(roots, 7, "ModemManager")
    with pseudo_terminal() as device:
        know(roots, device, *lines)
        found = only(roots, device)

    assert is_told == (found.caution is None)


@pytest.mark.parametrize(
    "info", [port("/dev/ttyS0"), port("/dev/ttyACM0", vid=1, pid=2, product="LTE Modem")]
)
def test_modem_manager_is_no_matter_to_a_built_in_port_or_a_modem(
    roots: Roots, info: ListPortInfo
) -> None:
    runs(roots, 7, "ModemManager")
    (found,) = list_serial_devices(comports=listing(info), roots=roots, allowed=lambda _: True)

    assert found.caution is None


def test_adapter_that_brltty_has_taken_is_listed_without_a_port(roots: Roots) -> None:
    runs(roots, 7, "brltty")
    (roots.rules / "85-brltty.rules").touch()
    plug_in(roots, "1-1.2", ("1a86", "7523"), "usbfs")
    plug_in(roots, "1-3", ("10c4", "ea60"), "usbfs", serial="0001")
    found = list_serial_devices(comports=listing(), roots=roots)

    assert ["usb:1a86:7523@1-1.2", "usb:10c4:ea60:0001"] == [str(each.identity) for each in found]
    assert {("", "")} == {(each.device, each.url) for each in found}
    assert all("brltty" in each.problem for each in found)
    assert found[0].trouble is not None
    assert (
        "sudo ln -s /dev/null /etc/udev/rules.d/85-brltty.rules",
        "sudo udevadm control --reload",
        "sudo systemctl stop 'brltty*'",
    ) == found[0].trouble.commands


@pytest.mark.parametrize(
    ("program", "ids", "driver"),
    [
        ("brltty", ("1a86", "7523"), "ch341"),  # it has its port
        ("brltty", ("1209", "abc0"), "usbfs"),  # a braille display
        ("cron", ("1a86", "7523"), "usbfs"),  # another program drives it, as it was told to
    ],
)
def test_only_a_plain_adapter_that_brltty_may_have_is_listed(
    roots: Roots, program: str, ids: tuple[str, str], driver: str
) -> None:
    runs(roots, 7, program)
    plug_in(roots, "1-1", ids, driver)

    assert () == list_serial_devices(comports=listing(), roots=roots)

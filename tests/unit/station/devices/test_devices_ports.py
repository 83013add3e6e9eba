"""What is plugged in, who it is, and what stands in the way of opening it."""

from __future__ import annotations

import os
import subprocess
import sys
import termios
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import serial
from device_trees import (
    adapter,
    held_by_another,
    link,
    listing,
    machine,
    port,
    pseudo_terminal,
    runs,
)

from weighstation.station.devices import (
    Identity,
    find_device,
    identity_of,
    list_serial_devices,
    serial_ports,
)
from weighstation.station.ports import open_port, rights
from weighstation.station.ports.plugged import plugged_in
from weighstation.station.ports.rights import group_of, permission_cure

if TYPE_CHECKING:
    from serial.tools.list_ports_common import ListPortInfo

    from weighstation.station.devices import SerialDevice
    from weighstation.station.devices.roots import Roots

ONE = "/dev/ttyUSB0"
TWO = "/dev/ttyUSB1"


@pytest.fixture
def roots(tmp_path: Path) -> Roots:
    return machine(tmp_path)


def anybody(_: str) -> bool:
    return True


def listed(roots: Roots, *infos: ListPortInfo) -> tuple[SerialDevice, ...]:
    return list_serial_devices(comports=listing(*infos), roots=roots, allowed=anybody)


def test_adapter_is_listed_by_what_it_says_and_by_its_lasting_name(roots: Roots) -> None:
    name = link(roots, "by-id", "usb-FTDI_FT232R_USB_UART_A50285BI-if00-port0", ONE)
    link(roots, "by-path", "pci-0000:00:14.0-usb-0:1:1.0-port0", ONE)
    (found,) = listed(roots, adapter(ONE))

    assert (ONE, "usb:0403:6001:A50285BI") == (found.device, str(found.identity))
    assert ("FT232R USB UART", "USB serial adapter") == (found.description, found.looks_like)
    assert (name, f"serial://{name}") == (found.stable_path, found.url)
    assert ("", "", None) == (found.problem, found.cure, found.caution)


def test_two_adapters_without_number_are_told_apart_by_their_places(roots: Roots) -> None:
    """The link by name leads to one of them, and it is chance to which."""
    link(roots, "by-id", "usb-FTDI_FT232R_USB_UART-if00-port0", TWO)
    places = [link(roots, "by-path", f"usb-0:{device[-1]}", device) for device in (ONE, TWO)]
    found = listed(roots, adapter(ONE, None, "1-1"), adapter(TWO, None, "1-2"))

    assert ["usb:0403:6001@1-1", "usb:0403:6001@1-2"] == [str(each.identity) for each in found]
    assert places == [each.stable_path for each in found]


def test_one_adapter_without_number_keeps_its_name_in_any_socket(roots: Roots) -> None:
    name = link(roots, "by-id", "usb-1a86_USB_Serial-if00-port0", ONE)
    (found,) = listed(roots, adapter(ONE, None))

    assert name == found.stable_path


def test_ports_that_share_a_number_are_told_apart_by_their_places(roots: Roots) -> None:
    """As the four of one converter do, or cheap adapters that are all number 0001."""
    infos = [adapter(ONE, "0001", "1-1:1.0"), adapter(TWO, "0001", "1-1:1.1")]
    found = listed(roots, *infos)

    assert ["usb:0403:6001@1-1:1.0", "usb:0403:6001@1-1:1.1"] == [str(x.identity) for x in found]
    for each in found:
        assert each.device == find_device(each.identity, comports=listing(*infos), roots=roots)


@pytest.mark.parametrize(
    ("info", "looks_like"),
    [
        (adapter(ONE), "USB serial adapter"),
        (port("/dev/ttyACM0", vid=1, pid=2, product="Scale"), "USB device with a serial port"),
        (port("/dev/ttyS0"), "built-in serial port"),
        (port("/dev/ttyAMA0"), "built-in serial port"),
        (port("/dev/rfcomm0"), "Bluetooth serial port"),
        (port("/dev/ttyACM1", vid=1, pid=2, product="LTE Modem"), "modem?"),
        (port("/dev/ttyACM1", vid=1, pid=2, interface="Modem AT"), "modem?"),
        (port("/dev/cu.usbserial-A5"), "USB serial adapter"),
        (port("/dev/cu.usbmodem14101"), "USB device with a serial port"),
        (port("COM7", vid=1, pid=2), "USB serial adapter"),
        (port("COM1"), "serial port"),
    ],
)
def test_what_a_port_looks_like(roots: Roots, info: ListPortInfo, looks_like: str) -> None:
    assert [looks_like] == [found.looks_like for found in listed(roots, info)]


def test_port_of_a_driver_for_modems_looks_like_one(roots: Roots) -> None:
    place = roots.sysfs / "class" / "tty" / "ttyUSB0" / "device"
    place.mkdir(parents=True)
    (roots.sysfs / "drivers" / "option").mkdir(parents=True)
    (place / "driver").symlink_to(roots.sysfs / "drivers" / "option")

    assert ["modem?"] == [found.looks_like for found in listed(roots, adapter(ONE))]


def test_built_in_ports_without_hardware_are_left_out(roots: Roots) -> None:
    """Newer kernels list 32 of them; their kind is 0, "unknown" (linux/serial_core.h)."""
    for name, kind in (("ttyS0", "4"), ("ttyS1", "0")):
        (roots.sysfs / "class" / "tty" / name).mkdir(parents=True)
        (roots.sysfs / "class" / "tty" / name / "type").write_text(f"{kind}\n")

    found = listed(roots, port("/dev/ttyS1"), port("/dev/ttyS0"))
    assert ["/dev/ttyS0"] == [each.device for each in found]


def test_on_macos_a_port_that_waits_for_a_carrier_is_left_out(
    roots: Roots, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    found = listed(roots, port("/dev/tty.usbserial-A5"), port("/dev/cu.usbserial-A5"))

    assert ["/dev/cu.usbserial-A5"] == [each.device for each in found]


def test_device_that_goes_while_ports_are_listed_is_no_fault(roots: Roots) -> None:
    """Its numbers cannot be read any more, and the listing of pyserial 3.5 fails by TypeError."""
    tries = []

    def going() -> list[ListPortInfo]:
        tries.append(1)
        if len(tries) == 1:
            raise TypeError("int() can't convert non-string with explicit base")
        return [adapter(TWO)]

    def gone() -> list[ListPortInfo]:
        raise TypeError

    assert [TWO] == [info.device for info in plugged_in(comports=going, sysfs=roots.sysfs)]
    assert [] == plugged_in(comports=gone, sysfs=roots.sysfs)


def test_words_of_a_device_cannot_move_the_cursor(roots: Roots) -> None:
    (found,) = listed(roots, port(ONE, vid=1, pid=2, product="Scale\x1b[2J\n"))

    assert "Scale [2J" == found.description


def test_port_that_another_program_has_is_not_opened_but_said(roots: Roots) -> None:
    runs(roots, 4242, "minicom", has_open=ONE)
    (found,) = listed(roots, adapter(ONE))

    assert ("minicom (pid 4242) has it open.", "Close that program.") == (found.problem, found.cure)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs Linux' /proc")
def test_port_that_a_real_program_has_is_said() -> None:
    with pseudo_terminal() as device, held_by_another(device) as pid:
        (found,) = list_serial_devices(comports=listing(adapter(device)))

    assert f"(pid {pid}) has it open." in found.problem


@pytest.mark.skipif(os.name != "posix", reason="needs POSIX rights")
def test_port_that_may_not_be_opened_says_the_command(roots: Roots, tmp_path: Path) -> None:
    device = tmp_path / "ttyUSB0"
    device.touch(mode=0o600)
    (found,) = list_serial_devices(
        comports=listing(adapter(str(device))), roots=roots, allowed=lambda _: False
    )

    assert "You may not open it." == found.problem
    assert found.trouble is not None
    assert (f"sudo chmod a+rw {device}",) == found.trouble.commands


@pytest.mark.skipif(os.name != "posix", reason="needs POSIX groups")
def test_group_that_may_open_a_device_is_named_in_the_cure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import grp  # noqa: PLC0415 - not on every system

    device = tmp_path / "ttyUSB0"
    device.touch()
    device.chmod(0o660)
    entry = grp.struct_group(("dialout", "x", 20, []))
    monkeypatch.setattr(Path, "stat", lambda _: os.stat_result((0o20660, 0, 0, 1, 0, 20, *[0] * 4)))
    monkeypatch.setattr(grp, "getgrgid", lambda _: entry)
    monkeypatch.setattr(grp, "getgrnam", lambda _: entry)
    cure = permission_cure(str(device))

    assert "dialout" == group_of(str(device))
    assert "sudo usermod -a -G dialout $USER" == cure.command
    assert f"Run '{cure.command}', then log out and in again." == cure.sentence


@pytest.mark.skipif(os.name != "posix", reason="needs POSIX groups")
def test_member_who_has_not_logged_in_again_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    import grp  # noqa: PLC0415 - not on every system
    import pwd  # noqa: PLC0415 - the same

    me = pwd.getpwuid(os.getuid()).pw_name
    monkeypatch.setattr(rights, "group_of", lambda _: "dialout")
    monkeypatch.setattr(grp, "getgrnam", lambda _: grp.struct_group(("dialout", "x", 54_321, [me])))

    assert "" == permission_cure(ONE).command
    assert "log out and in" in permission_cure(ONE).sentence


def test_device_is_found_under_its_new_name(roots: Roots) -> None:
    """The cable was pulled while something had the old name, so it came back under another."""
    before, after = listing(adapter(ONE)), listing(adapter(TWO), port("/dev/ttyUSB3", vid=9, pid=9))
    identity = identity_of(ONE, comports=before, roots=roots)

    assert identity is not None
    assert TWO == find_device(identity, comports=after, roots=roots)
    assert find_device(identity, comports=listing(), roots=roots) is None


def test_device_whose_double_is_there_is_not_guessed(roots: Roots) -> None:
    """Opening the wrong scale would put its weights on the record."""
    both = listing(adapter(ONE, "0001", "1-1"), adapter(TWO, "0001", "1-2"))
    identity = Identity.usb(0x0403, 0x6001, serial="0001")

    assert find_device(identity, comports=both, roots=roots) is None


def test_device_that_was_told_from_its_double_by_place_is_found_without_it(roots: Roots) -> None:
    identity = Identity.usb(0x0403, 0x6001, location="1-2")
    left = listing(adapter("/dev/ttyUSB5", "0001", "1-2"))

    assert "/dev/ttyUSB5" == find_device(identity, comports=left, roots=roots)


@pytest.mark.skipif(os.name != "posix", reason="names are files there")
def test_device_that_is_not_on_usb_is_its_name(tmp_path: Path, roots: Roots) -> None:
    here = tmp_path / "ttyS0"
    here.touch()
    (tmp_path / "scale").symlink_to(here)

    assert Identity(path=str(here)) == identity_of(
        str(tmp_path / "scale"), comports=listing(), roots=roots
    )
    assert str(here) == find_device(Identity(path=str(here)), roots=roots)
    assert find_device(Identity(path=str(tmp_path / "gone")), roots=roots) is None
    assert identity_of(str(tmp_path / "gone"), comports=listing(), roots=roots) is None


def test_finding_looks_at_no_process_and_no_link(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is asked five times a second while the link is lost."""

    def never(*_: object, **__: object) -> None:
        raise AssertionError

    for name in ("holders_of", "running", "links_to", "may_open", "taken_for_braille"):
        monkeypatch.setattr(serial_ports, name, never)

    identity = Identity.parse("usb:0403:6001:A50285BI")
    assert ONE == find_device(identity, comports=listing(adapter(ONE)))


LISTS = """
import sys
from device_trees import adapter, listing
from weighstation.station.devices import list_serial_devices

opened = []
sys.addaudithook(lambda event, args: opened.append(str(args[0])) if event == "open" else None)
(found,) = list_serial_devices(comports=listing(adapter(sys.argv[1])))
assert not found.problem, found.problem
assert any(path.startswith("/proc/") for path in opened), "the watch sees nothing"
print(sys.argv[1] in opened)
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs Linux' /proc")
def test_listing_opens_no_port() -> None:
    """Opening resets some scales, by a line of the connector that is not for bytes."""
    with pseudo_terminal() as device:
        done = subprocess.run(
            [sys.executable, "-c", LISTS, device],
            check=True,
            capture_output=True,
            text=True,
            env=os.environ | {"PYTHONPATH": str(Path(__file__).parent)},
        )

    assert "False\n" == done.stdout


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
@pytest.mark.parametrize("refusal", [None, ValueError, NotImplementedError, termios.error])
def test_bytes_are_asked_for_at_once_where_the_device_can(
    monkeypatch: pytest.MonkeyPatch, refusal: type[Exception] | None
) -> None:
    asked = []

    def low_latency(_: serial.Serial, wanted: bool) -> None:
        asked.append(wanted)
        if refusal:
            raise refusal

    monkeypatch.setattr(serial.Serial, "set_low_latency_mode", low_latency)
    with pseudo_terminal() as device:
        open_port(f"serial://{device}", lambda: 0.0).close()

    assert [True] == asked

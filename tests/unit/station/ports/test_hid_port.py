"""A scale on USB: found, opened, read and lost, on a system that replays what it is told."""

from __future__ import annotations

import errno
import os
import struct
import sys
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest

from weighstation.acquire import HidDecoder
from weighstation.errors import LinkLostError, ScaleError, SpecificationError
from weighstation.events import Reading
from weighstation.station.ports import Address, open_port
from weighstation.station.ports import hid_transport as transport_module
from weighstation.station.ports.hid_device import (
    RETRIES,
    RETRY_S,
    HidPort,
    list_hid_scales,
    open_hid,
    udev_rule,
)
from weighstation.station.ports.hid_transport import HidApi, HidDevice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="rights by udev: Linux")
SCALES, KEYBOARDS = 0x8D, 0x01
DESCRIPTOR = bytes.fromhex(
    "058d 0920a101 0932a102 8503 7508 9501 0970a102 1501 2508 1971 2978 8100 c0"
    "0950a102 250c 1951 295c 8100 c0 0941 1580 257f 8102 0940 7510 1500 27ffff0000 8102 c0 c0"
)
"""The common layout; `tests/unit/acquire/hid_descriptors.py` has it item by item."""
HALF_KILO = bytes.fromhex("030402ff0214")


class ReplayedHandle:
    """An open device that gives what it is told: reports, None for silence, errors."""

    def __init__(self, script: list[bytes | OSError | None], descriptor: bytes) -> None:
        self._script = list(script)
        self._descriptor = descriptor
        self.waits_s: list[float] = []
        self.closed = 0

    def read(self, timeout_s: float) -> bytes:
        self.waits_s.append(timeout_s)
        item = self._script.pop(0) if self._script else None
        if isinstance(item, OSError):
            raise item
        return item or b""

    def descriptor(self) -> bytes:
        return self._descriptor

    def close(self) -> None:
        self.closed += 1


@dataclass
class ReplayedSystem:
    """A machine with some devices; those of ``refusals`` do not open so many times."""

    there: list[HidDevice]
    script: list[bytes | OSError | None] = field(default_factory=list)
    refusals: list[OSError] = field(default_factory=list)
    descriptor: bytes = DESCRIPTOR
    opened: list[str] = field(default_factory=list)
    handles: list[ReplayedHandle] = field(default_factory=list)

    def devices(self) -> list[HidDevice]:
        return self.there

    def open(self, path: str) -> ReplayedHandle:
        self.opened.append(path)
        if self.refusals:
            raise self.refusals.pop(0)
        self.handles.append(ReplayedHandle(self.script, self.descriptor))
        return self.handles[-1]


def device(
    path: str = "/dev/hidraw3",
    *,
    vendor_id: int = 0x1A2B,
    serial: str = "",
    page: int = SCALES,
    product: str = "Scale",
) -> HidDevice:
    return HidDevice(vendor_id, 0x00C3, serial, product, path, page)


def denied() -> OSError:
    return PermissionError(errno.EACCES, "Permission denied")


def frozen() -> float:
    return 12.5


def opened(place: str, system: ReplayedSystem, slept_s: list[float] | None = None) -> HidPort:
    sleep = ([] if slept_s is None else slept_s).append
    return open_hid(Address.parse(f"hid://{place}"), frozen, transport=system, sleep=sleep)


@pytest.mark.parametrize(
    "place",
    ["1a2b:00c3", "1A2B:00C3", "1a2b:00c3:A%2F7", "/dev/hidraw3"],
)
def test_a_scale_is_named_by_its_ids_its_serial_or_its_path(place: str) -> None:
    system = ReplayedSystem(
        [device("/dev/hidraw1", vendor_id=0x9999), device(serial="A/7"), device(page=KEYBOARDS)]
    )
    port = opened(place, system)

    assert ["/dev/hidraw3"] == system.opened
    assert DESCRIPTOR == port.descriptor
    assert Address.parse(f"hid://{place}").place == port.name


def test_the_serial_tells_two_of_a_kind_apart() -> None:
    twins = [device("/dev/hidraw3", serial="L"), device("/dev/hidraw4", serial="R:2")]
    system = ReplayedSystem(twins)
    opened("1a2b:00c3:R:2", system)

    assert ["/dev/hidraw4"] == system.opened
    with pytest.raises(ScaleError, match="There are 2 scales 1a2b:00c3") as caught:
        opened("1a2b:00c3", system)
    assert "hid:///dev/hidraw3 or hid:///dev/hidraw4" in caught.value.hint
    with pytest.raises(ScaleError, match="There is no scale 1a2b:00c3:X"):
        opened("1a2b:00c3:X", system)


@pytest.mark.parametrize("place", ["1a2b:00c3", "/dev/hidraw3"])
def test_a_keyboard_is_never_read(place: str) -> None:
    system = ReplayedSystem([device(page=KEYBOARDS)])

    with pytest.raises(ScaleError, match="does not call itself a scale"):
        opened(place, system)
    assert [] == system.opened


@pytest.mark.parametrize("place", ["1a2b:00c3", "/dev/hidraw3"])
def test_a_device_whose_page_the_system_does_not_tell_is_taken_on_trust(place: str) -> None:
    system = ReplayedSystem([device(page=0)])

    assert opened(place, system).descriptor == DESCRIPTOR


@pytest.mark.parametrize(
    ("there", "hint"),
    [
        ([], "no scale is on USB now"),
        ([device("/dev/hidraw1", vendor_id=0x0042)], "This machine has hid://0042:00c3."),
    ],
)
def test_a_scale_that_is_not_there_is_said_to_be_missing_at_once(
    there: list[HidDevice], hint: str
) -> None:
    slept_s: list[float] = []
    with pytest.raises(ScaleError, match="There is no scale 1a2b:00c3 on USB") as caught:
        opened("1a2b:00c3", ReplayedSystem(there), slept_s)

    assert hint in caught.value.hint
    assert 3 == caught.value.exit_code
    assert [] == slept_s


@pytest.mark.parametrize(
    "url",
    [
        "hid://",
        "hid://scale",
        "hid://1a2b",
        "hid://1a2b:c3",
        "hid://1a2g:00c3",
        "hid://01a2b:00c3",
        "hid://1a2b:00c3:",
        "hid://1a2b:00c3?baud=9600",
    ],
)
def test_an_address_that_makes_no_sense_is_refused_in_one_sentence(url: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        open_hid(Address.parse(url), frozen, transport=ReplayedSystem([device()]))

    assert "\n" not in caught.value.sentence
    assert caught.value.sentence.endswith(".")


@LINUX
def test_without_the_right_the_rule_for_that_very_device_is_given() -> None:
    """udev(7): rules are read by name, and hexadecimal is compared in lower case (from memory)."""
    system = ReplayedSystem([device()], refusals=[denied()] * (RETRIES + 1))
    with pytest.raises(ScaleError, match="You may not open the scale at /dev/hidraw3") as caught:
        opened("1A2B:00C3", system)
    hint = caught.value.hint
    rule = 'KERNEL=="hidraw*", ATTRS{idVendor}=="1a2b", ATTRS{idProduct}=="00c3", TAG+="uaccess"'
    file = Path(hint.partition("sudo tee ")[2].partition(" ")[0])

    assert rule == udev_rule(0x1A2B, 0xC3)
    assert f"echo '{rule}' | sudo tee" in hint
    assert "/etc/udev/rules.d" == str(file.parent)
    assert ".rules" == file.suffix
    assert file.name < "73-seat-late.rules"
    assert "\n" not in caught.value.sentence


@LINUX
def test_without_the_right_to_a_device_that_is_not_listed_its_path_is_given() -> None:
    system = ReplayedSystem([], refusals=[denied()] * (RETRIES + 1))
    with pytest.raises(ScaleError, match="You may not open") as caught:
        opened("/dev/hidraw3", system)

    assert "sudo chmod a+rw /dev/hidraw3" in caught.value.hint


def test_a_device_just_plugged_in_is_given_two_seconds() -> None:
    slept_s: list[float] = []
    system = ReplayedSystem([device()], refusals=[denied()] * RETRIES)
    port = opened("1a2b:00c3", system, slept_s)

    assert isinstance(port, HidPort)
    assert [RETRY_S] * RETRIES == slept_s
    assert 2.0 == pytest.approx(sum(slept_s))


def test_after_two_seconds_a_device_is_given_up() -> None:
    slept_s: list[float] = []
    system = ReplayedSystem([device()], refusals=[OSError("open failed")] * (RETRIES + 1))
    with pytest.raises(ScaleError, match="does not open") as caught:
        opened("1a2b:00c3", system, slept_s)

    assert "Close other programs" in caught.value.hint
    assert [RETRY_S] * RETRIES == slept_s


def test_a_path_that_leads_nowhere_is_said_at_once() -> None:
    slept_s: list[float] = []
    system = ReplayedSystem([], refusals=[FileNotFoundError(errno.ENOENT, "No such file")] * 2)
    with pytest.raises(ScaleError, match="There is no device /dev/hidraw9"):
        opened("/dev/hidraw9", system, slept_s)

    assert [] == slept_s


def test_reports_come_with_the_time_of_the_clock_and_silence_is_none() -> None:
    system = ReplayedSystem([device()], script=[None, HALF_KILO, b"\3\4", None, HALF_KILO])
    port = opened("1a2b:00c3", system)
    arrivals = [port.read(0.25) for _ in range(5)]

    assert [None, (12.5, HALF_KILO), (12.5, b"\3\4"), None, (12.5, HALF_KILO)] == arrivals
    assert [0.25] * 5 == system.handles[0].waits_s
    assert not port.ended


def test_what_the_port_gives_the_decoder_reads() -> None:
    system = ReplayedSystem([device()], script=[HALF_KILO])
    port = opened("1a2b:00c3", system)
    arrival = port.read(0.1)
    assert arrival
    out = HidDecoder(port.descriptor).feed(arrival.data, arrival.t_s)

    assert [512_200] == [item.gross_mg for item in out if isinstance(item, Reading)]


def test_a_device_without_descriptor_has_an_empty_one() -> None:
    assert b"" == opened("1a2b:00c3", ReplayedSystem([device()], descriptor=b"")).descriptor


def test_a_device_that_is_unplugged_is_a_lost_link_and_comes_back_by_its_url() -> None:
    gone = OSError("read error")
    system = ReplayedSystem([device()], script=[HALF_KILO, gone, gone])
    port = opened("1a2b:00c3", system)
    port.read(0.1)
    for _ in range(2):
        with pytest.raises(LinkLostError, match="The link to the scale at 1a2b:00c3 was lost"):
            port.read(0.1)
    port.close()
    port.close()
    again = opened("1a2b:00c3", system)

    assert 2 == system.handles[0].closed
    assert (12.5, HALF_KILO) == again.read(0.1)


def test_scales_are_listed_once_and_nothing_else_is() -> None:
    system = ReplayedSystem(
        [
            device("/dev/hidraw5", serial="A/7", product="Bench\x1b[31m scale"),
            device("/dev/hidraw5", serial="A/7", page=KEYBOARDS),
            device("/dev/hidraw5", serial="A/7", product="Bench\x1b[31m scale"),
            device("/dev/hidraw2"),
            device("/dev/hidraw1", page=KEYBOARDS),
        ]
    )
    scales = list_hid_scales(system)

    assert ["/dev/hidraw2", "/dev/hidraw5"] == [scale.path for scale in scales]
    assert ["hid://1a2b:00c3", "hid://1a2b:00c3:A/7"] == [scale.url for scale in scales]
    assert ["Scale", "Bench?[31m scale"] == [scale.product for scale in scales]
    assert ["", ""] == [scale.trouble for scale in scales]
    assert [1, 1] == [handle.closed for handle in system.handles]


def test_the_url_of_a_listed_scale_opens_it() -> None:
    system = ReplayedSystem([device(serial="A?/7:ä 1")])
    (scale,) = list_hid_scales(system)
    open_hid(Address.parse(scale.url), frozen, transport=system)

    assert ["/dev/hidraw3"] * 2 == system.opened


@LINUX
def test_a_scale_that_may_not_be_opened_is_listed_with_the_cure() -> None:
    system = ReplayedSystem([device()], refusals=[denied()])
    (scale,) = list_hid_scales(system)

    assert scale.trouble.startswith("You may not open the scale at /dev/hidraw3.")
    assert udev_rule(0x1A2B, 0xC3) in scale.trouble


# ---- the library


class LibraryDevice:
    """A device as hidapi's Python face has it: lists of numbers, errors without a number."""

    def __init__(self, reads: list[list[int]]) -> None:
        self.reads = reads
        self.asked: list[tuple[int, int]] = []
        self.path = b""

    def open_path(self, path: bytes) -> None:
        if path != b"/dev/hidraw3":
            raise OSError("open failed")
        self.path = path

    def read(self, max_length: int, timeout_ms: int) -> list[int]:
        self.asked.append((max_length, timeout_ms))
        if not self.path:
            raise ValueError("not open")
        return self.reads.pop(0)

    def get_report_descriptor(self) -> list[int]:
        if not self.path:
            raise ValueError("not open")
        return list(DESCRIPTOR)

    def close(self) -> None:
        self.path = b""


@pytest.fixture
def library(monkeypatch: pytest.MonkeyPatch) -> LibraryDevice:
    """Stand in for hidapi's module."""
    entry = {
        "vendor_id": 0x1A2B,
        "product_id": 0xC3,
        "serial_number": None,
        "product_string": "Scale",
        "path": b"/dev/hidraw3",
        "usage_page": SCALES,
    }
    there = LibraryDevice([list(HALF_KILO), []])
    module = SimpleNamespace(enumerate=lambda: [entry], device=lambda: there)
    monkeypatch.setattr(transport_module, "import_module", lambda _: module)
    return there


def test_the_library_is_asked_as_it_wants_to_be(library: LibraryDevice) -> None:
    """A wait of 0 ms means to it: wait without end."""
    port = open_port("hid://1a2b:00c3", frozen)
    assert isinstance(port, HidPort)
    first, second = port.read(0.5), port.read(0.0)

    assert (12.5, HALF_KILO) == first
    assert second is None
    assert [500, 1] == [wait_ms for _, wait_ms in library.asked]
    assert DESCRIPTOR == port.descriptor
    port.close()
    with pytest.raises(LinkLostError):
        port.read(0.1)


@pytest.mark.usefixtures("library")
def test_why_a_device_does_not_open_is_asked_of_the_system(tmp_path: Path) -> None:
    system = HidApi()
    plain = tmp_path / "file"
    plain.touch()

    with pytest.raises(FileNotFoundError):
        system.open(str(tmp_path / "none"))
    with pytest.raises(OSError, match="does not open") as caught:
        system.open(str(plain))
    assert errno.EIO == caught.value.errno
    with pytest.raises(IsADirectoryError):
        system.open(str(tmp_path))


@pytest.mark.usefixtures("library")
def test_the_library_says_what_is_there() -> None:
    assert [device()] == HidApi().devices()


def test_a_closed_device_has_no_descriptor(library: LibraryDevice) -> None:
    handle = HidApi().open("/dev/hidraw3")
    library.close()

    assert b"" == handle.descriptor()


def missing(_: str) -> Any:
    raise ModuleNotFoundError("No module named 'hidraw'")


@pytest.mark.parametrize(
    "asked", [list_hid_scales, lambda: open_port("hid://1a2b:00c3", frozen)], ids=["list", "open"]
)
def test_without_the_library_the_very_command_is_given(
    monkeypatch: pytest.MonkeyPatch, asked: Callable[[], object]
) -> None:
    monkeypatch.setattr(transport_module, "import_module", missing)
    with pytest.raises(SpecificationError) as caught:
        asked()

    assert 2 == caught.value.exit_code
    assert "Run python3 -m pip install 'weighstation[hid]'" == caught.value.hint
    assert "\n" not in caught.value.sentence


def test_another_library_of_that_name_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(transport_module, "import_module", lambda _: SimpleNamespace())
    with pytest.raises(SpecificationError, match="taken the name") as caught:
        HidApi()

    assert "pip uninstall hid" in caught.value.hint


def real_system() -> HidApi:
    """Return hidapi itself, or skip with the reason."""
    try:
        return HidApi()
    except SpecificationError as exc:
        pytest.skip(f"hidapi does not load here: {exc.__cause__}")


def test_the_real_library_lists_and_refuses() -> None:
    """Whatever is plugged into this machine: a list, and one sentence for a path without device."""
    system = real_system()

    assert isinstance(list_hid_scales(system), list)
    with pytest.raises(ScaleError, match="There is no device /dev/hidraw-none"):
        open_hid(Address.parse("hid:///dev/hidraw-none"), frozen, transport=system)


# ---- a device of the kernel's own, where it makes them

UHID = Path("/dev/uhid")
CREATE2, INPUT2, DESTROY = 11, 12, 1  # linux/uhid.h (from memory)
BUS_BLUETOOTH = 5  # needs no USB device above it, which /dev/uhid cannot make
IDS = (0x1209, 0x8D8D)


@pytest.fixture
def kernel_device() -> Iterator[int]:
    """Make a HID scale by /dev/uhid; give what to write its reports to."""
    if not UHID.exists():
        pytest.skip("this kernel has no /dev/uhid")
    try:
        uhid = os.open(UHID, os.O_RDWR)
    except OSError as exc:
        pytest.skip(f"/dev/uhid does not open: {exc.strerror}")
    request = struct.pack(
        "<I128s64s64sHHIIII4096s",
        *(CREATE2, b"Invented scale", b"", b"S1"),
        *(len(DESCRIPTOR), BUS_BLUETOOTH, *IDS, 0, 0, DESCRIPTOR),
    )
    try:
        os.write(uhid, request)
        yield uhid
        with suppress(OSError):
            os.write(uhid, struct.pack("<I", DESTROY))
    finally:
        os.close(uhid)


def send(uhid: int, report: bytes) -> None:
    os.write(uhid, struct.pack("<IH4096s", INPUT2, len(report), report))


def test_a_device_of_the_kernel_is_found_read_and_lost(kernel_device: int) -> None:
    system = real_system()
    until_s = time.monotonic() + 5.0
    while not (found := [each for each in list_hid_scales(system)
                         if (each.vendor_id, each.product_id) == IDS]):  # fmt: skip
        assert time.monotonic() < until_s, "the device was made and never listed"
        time.sleep(0.05)
    port = open_hid(Address.parse(f"hid://{found[0].path}"), time.monotonic, transport=system)
    decoder = HidDecoder(port.descriptor)
    send(kernel_device, HALF_KILO)
    arrival = port.read(2.0)

    assert DESCRIPTOR == port.descriptor
    assert arrival is not None
    assert [512_200] == [
        item.gross_mg
        for item in decoder.feed(arrival.data, arrival.t_s)
        if isinstance(item, Reading)
    ]
    os.write(kernel_device, struct.pack("<I", DESTROY))
    with pytest.raises(LinkLostError):
        read_on(port)
    port.close()


def read_on(port: HidPort) -> None:
    """Read for two seconds, for the kernel takes its time to take a device away."""
    for _ in range(20):
        port.read(0.1)

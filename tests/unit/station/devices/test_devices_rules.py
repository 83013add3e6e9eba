"""Rules for a device, read by a second reader that knows the grammar of udev(7).

The keys and operators are those of the manual page of systemd 252. ``udevadm verify`` is newer
than that, so what the rules do is worked out here: every part that looks at parents must hold for
one and the same parent.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fnmatch import fnmatchcase

import pytest

from weighstation.station.devices import Identity
from weighstation.station.devices.rules import RULES_FILE, ignore_rule, rules_of

PART = re.compile(r'([A-Z]+)(?:\{([^{}]+)\})?(==|!=|\+=|-=|:=|=)"([^"]*)"')
MATCHES = {"ACTION", "KERNEL", "SUBSYSTEM", "KERNELS", "SUBSYSTEMS", "ATTRS", "ATTR", "ENV"}
SETS = {"GROUP", "MODE", "ENV", "LABEL", "GOTO", "OWNER", "TAG", "SYMLINK"}
NEED_NAME = {"ATTR", "ATTRS", "ENV"}


@dataclass
class Node:
    """A device of the kernel, and those it hangs on."""

    kernel: str
    subsystem: str
    attributes: dict[str, str] = field(default_factory=dict)
    parents: tuple[Node, ...] = ()


def parsed(line: str) -> list[tuple[str, str, str, str]]:
    """Return the parts of a rule, after checking that each is one that udev(7) knows."""
    parts = []
    for text in re.split(r",\s*(?=[A-Z])", line):
        found = PART.fullmatch(text)
        assert found, text
        key, name, operator, value = found.groups(default="")
        assert key in (MATCHES if operator in ("==", "!=") else SETS), text
        assert bool(name) == (key in NEED_NAME), text
        parts.append((key, name, operator, value))
    return parts


def applied(rules: str, node: Node, action: str = "add") -> dict[str, str]:
    """Return what the rules set on a device."""
    done: dict[str, str] = {}
    jump = ""
    for line in rules.splitlines():
        if not line or line.startswith("#"):
            continue
        parts = parsed(line)
        if jump and ("LABEL", "", "=", jump) not in parts:
            continue
        jump = ""
        if holds(parts, node, action):
            for key, name, operator, value in parts:
                if operator == "=":
                    done[f"{key}{{{name}}}" if name else key] = value
                if key == "GOTO":
                    jump = value
    assert not jump, f"there is no label {jump}"
    return done


def holds(parts: list[tuple[str, str, str, str]], node: Node, action: str) -> bool:
    own = {"ACTION": action, "KERNEL": node.kernel, "SUBSYSTEM": node.subsystem}
    asked = [part for part in parts if part[2] in ("==", "!=")]
    here = [part for part in asked if part[0] in own]
    above = [part for part in asked if part[0] not in own]
    return all(
        fnmatchcase(own[key], value) == (operator == "==") for key, _, operator, value in here
    ) and any(all(fits(part, each) for part in above) for each in (node, *node.parents))


def fits(part: tuple[str, str, str, str], node: Node) -> bool:
    key, name, _, value = part
    there = node.kernel if key == "KERNELS" else node.attributes.get(name, "")
    return fnmatchcase(there, value)


def usb(place: str, serial: str, ids: tuple[str, str] = ("0403", "6001")) -> Node:
    """Return a USB device on a hub that has numbers too."""
    hub = Node("1-0", "usb", {"idVendor": "1d6b", "idProduct": "0002", "serial": "0000:00:14.0"})
    said = {"idVendor": ids[0], "idProduct": ids[1]} | ({"serial": serial} if serial else {})
    return Node(place, "usb", said, (hub,))


def tty(device: Node, name: str = "ttyUSB0") -> Node:
    """Return the port of an adapter: its interface is between the two."""
    interface = Node(f"{device.kernel}:1.0", "usb", {"bInterfaceNumber": "00"})
    return Node(name, "tty", {}, (interface, device, *device.parents))


ONE = Identity.usb(0x0403, 0x6001, serial="A50285BI")
GRANTED = {"GROUP": "dialout", "MODE": "0660"}


def test_port_of_the_scale_is_given_to_the_group_and_kept_from_modem_manager() -> None:
    done = applied(rules_of(ONE, group="dialout"), tty(usb("1-2", "A50285BI")))

    assert GRANTED | {"ENV{ID_MM_DEVICE_IGNORE}": "1"} == {
        key: value for key, value in done.items() if key not in ("GOTO", "LABEL")
    }


def test_modem_manager_is_kept_from_the_device_itself_too() -> None:
    assert "ENV{ID_MM_DEVICE_IGNORE}" in applied(ignore_rule(ONE), usb("1-2", "A50285BI"))
    assert {} == applied(ignore_rule(ONE), usb("1-2", "A50285BI", ("1a86", "7523")))


@pytest.mark.parametrize(
    "other",
    [
        tty(usb("1-2", "ANOTHER")),
        tty(usb("1-2", "")),
        tty(usb("1-2", "A50285BI", ("0403", "6015"))),
        Node("ttyS0", "tty"),
        Node("hidraw0", "hidraw", {}, (usb("1-2", "A50285BI"),)),
    ],
)
def test_no_other_device_is_given_away(other: Node) -> None:
    assert "GROUP" not in applied(rules_of(ONE, group="dialout"), other)


def test_scale_without_number_is_known_by_its_place() -> None:
    rules = rules_of(Identity.usb(0x0403, 0x6001, location="1-2:1.0"), group="dialout")

    assert "GROUP" in applied(rules, tty(usb("1-2", "")))
    assert "GROUP" not in applied(rules, tty(usb("1-3", "")))


def test_scale_that_is_no_serial_port_is_given_to_the_group() -> None:
    rules = rules_of(Identity.usb(0x1234, 0xABCD), group="dialout", is_hid=True)
    scale = usb("1-2", "", ("1234", "abcd"))

    assert "GROUP" in applied(rules, Node("hidraw3", "hidraw", {}, (scale, *scale.parents)))
    assert "GROUP" not in applied(rules, Node("event3", "input", {}, (scale, *scale.parents)))


def test_built_in_port_is_known_by_its_name() -> None:
    rules = rules_of(Identity(path="/dev/ttyS0"), group="uucp")

    assert "uucp" == applied(rules, Node("ttyS0", "tty"))["GROUP"]
    assert "GROUP" not in applied(rules, Node("ttyS1", "tty"))
    assert "ID_MM" not in rules


def test_nothing_is_done_when_it_is_pulled_out() -> None:
    done = applied(rules_of(ONE, group="dialout"), tty(usb("1-2", "A50285BI")), action="remove")

    assert {"GOTO", "LABEL"} == set(done)


@pytest.mark.parametrize("serial", ['A"B', "A*B", "A[0-9]", "A|B", "A B\\", "A-ÄÖ-1"])
def test_serial_number_with_odd_signs_makes_a_rule_that_holds_for_it(serial: str) -> None:
    rules = rules_of(Identity.usb(0x0403, 0x6001, serial=serial), group="dialout")

    assert "GROUP" in applied(rules, tty(usb("1-2", serial)))
    assert "GROUP" not in applied(rules, tty(usb("1-2", "something else")))


def test_file_sorts_before_the_rules_that_give_rights_out() -> None:
    """73-seat-late.rules of systemd; a rule after it changes nothing any more."""
    assert RULES_FILE.rpartition("/")[2] < "73-seat-late.rules"

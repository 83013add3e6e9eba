"""``scales``: what is plugged in, as a person and as a program read it.

The ports are made up by standing in for the listing of pyserial, in the process of the command;
what they lead to is real: pseudo-terminals, rights, and a process that holds one of them.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest
from rights import bound_by_rights
from station_process import weighstation

from weighstation.errors import SpecificationError
from weighstation.station.commands.scales.scales import Place, hid_place, listing
from weighstation.station.commands.shop.home import Home
from weighstation.station.devices.hid_scales import list_hid_devices

if TYPE_CHECKING:
    from collections.abc import Iterator

POSIX = pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs Linux' /proc")
PAGE = Path(__file__).parents[2] / "docs" / "how-to" / "connect-a-scale.md"
KEYS = {
    *("kind", "description", "looks_like", "device", "port", "identity", "learned"),
    *("opens", "problem", "cure", "caution", "caution_cure"),
}
WITH_PORTS = """
import json, sys
from serial.tools import list_ports
from serial.tools.list_ports_common import ListPortInfo

def made_up(said):
    info = ListPortInfo(said["device"], skip_link_detection=True)
    vars(info).update(said)
    return info

ports = json.loads(sys.argv.pop(1))
list_ports.comports = lambda: [made_up(said) for said in ports]
from weighstation.__main__ import main
main()
"""


def scales(
    *ports: dict[str, Any], home: Path, words: tuple[str, ...] = (), before: tuple[str, ...] = ()
) -> subprocess.CompletedProcess[str]:
    """Run the command on a machine with some ports."""
    command = (sys.executable, "-c", WITH_PORTS, json.dumps(ports), "scales", *words)
    return subprocess.run(
        [*before, *command, "--home", str(home)],
        check=False,
        capture_output=True,
        text=True,
        timeout=180,
        env=os.environ | {"COLUMNS": "80"},
    )


def adapter(device: str, serial: str = "A50285BI") -> dict[str, Any]:
    return {
        "device": device,
        "vid": 0x0403,
        "pid": 0x6001,
        "serial_number": serial,
        "product": "FT232R USB UART",
    }


@contextmanager
def pseudo_terminal() -> Iterator[str]:
    near, far = os.openpty()
    device = os.ttyname(far)
    os.close(far)
    try:
        yield device
    finally:
        os.close(near)


def only(result: subprocess.CompletedProcess[str]) -> dict[str, Any]:
    """Return the one scale of the JSON."""
    (found,) = json.loads(result.stdout)["scales"]
    assert isinstance(found, dict)
    return found


def test_nothing_plugged_in_says_what_to_do(tmp_path: Path) -> None:
    said = scales(home=tmp_path)

    assert (3, "") == (said.returncode, said.stdout)
    assert 1 == said.stderr.count("\n")
    assert said.stderr.startswith("Nothing is plugged in that a scale could be. Plug the scale in")


def test_nothing_plugged_in_is_an_empty_list_for_a_program(tmp_path: Path) -> None:
    said = scales(home=tmp_path, words=("--json",))

    assert 3 == said.returncode
    assert [] == json.loads(said.stdout)["scales"]


@POSIX
def test_port_is_listed_with_what_to_give(tmp_path: Path) -> None:
    with pseudo_terminal() as device:
        said = scales(adapter(device), home=tmp_path)

    assert (0, "") == (said.returncode, said.stderr)
    assert f"--port serial://{device}\n" in said.stdout
    assert "opens    yes" in said.stdout
    assert "learned  not yet" in said.stdout
    assert "\nNext, let the station learn the scale: weighstation learn URL\n" in said.stdout


@POSIX
def test_program_reads_the_keys_that_the_help_names(tmp_path: Path) -> None:
    with pseudo_terminal() as device:
        found = only(scales(adapter(device), home=tmp_path, words=("--json",)))
    told = weighstation("scales", "--help").stdout

    assert set(found) == KEYS
    assert set() == {key for key in KEYS if key not in told}
    assert ("serial", "usb:0403:6001:A50285BI") == (found["kind"], found["identity"])
    assert (True, "", "") == (found["opens"], found["problem"], found["cure"])


@POSIX
def test_port_it_names_can_be_recorded_from(tmp_path: Path) -> None:
    """What is listed under "port" is what other commands take."""
    near, far = os.openpty()
    with os.fdopen(near, "wb", buffering=0) as scale:
        found = only(scales(adapter(os.ttyname(far)), home=tmp_path, words=("--json",)))
        os.close(far)
        file = tmp_path / "heard.jsonl"
        with subprocess.Popen(
            [
                *(sys.executable, "-m", "weighstation", "record", str(file)),
                *("--seconds", "1", "--port", found["port"]),
            ],
            stderr=subprocess.DEVNULL,
        ) as recorder:
            while recorder.poll() is None:
                scale.write(b"S +00651 g\r\n")
                try:
                    recorder.wait(0.05)
                except subprocess.TimeoutExpired:
                    continue

    assert 0 == recorder.returncode
    assert " +00651 g" in file.read_text()


@LINUX
def test_port_that_a_program_has_is_said_with_its_name(tmp_path: Path) -> None:
    with (
        pseudo_terminal() as device,
        Path(device).open("rb", buffering=0) as port,
        subprocess.Popen(["sleep", "60"], stdin=port) as held,
    ):
        port.close()
        said = scales(adapter(device), home=tmp_path)
        held.kill()

    assert 3 == said.returncode
    assert f"opens    no: sleep (pid {held.pid}) has it open." in said.stdout
    assert "1 port is there; none can be opened." in said.stdout


@LINUX
def test_port_that_may_not_be_opened_is_said_with_the_command(tmp_path: Path) -> None:
    with pseudo_terminal() as device:
        Path(device).chmod(0o000)
        said = scales(adapter(device), home=tmp_path, words=("--json",), before=bound_by_rights())
        found = only(said)

    assert not found["opens"]
    assert "You may not open it." == found["problem"]
    assert found["cure"].startswith(f"Run 'sudo chmod a+rw {device}'")


@POSIX
@pytest.mark.parametrize(
    ("text", "learned", "complains"),
    [
        ('[[scale]]\nidentity = "usb:0403:6001:A50285BI"\n', True, False),
        ('[[scale]]\nidentity = "usb:0403:6001:ANOTHER"\n', False, False),
        ("[[scale]]\nidentity = 3\n[other]\n", False, True),
        ("scale = 3\n", False, True),
        ("[[scale", False, True),
    ],
)
def test_scale_that_was_learned_is_said_to_be(
    tmp_path: Path, text: str, learned: bool, complains: bool
) -> None:
    (tmp_path / "scales.toml").write_text(text)
    with pseudo_terminal() as device:
        said = scales(adapter(device), home=tmp_path, words=("--json",))

    assert 0 == said.returncode
    assert learned == only(said)["learned"]
    assert complains == ("Mend it, or put it away" in said.stderr)


def test_scales_of_this_machine_are_told_without_a_fault(tmp_path: Path) -> None:
    """Whatever is plugged in here: the exit code is that of the list."""
    said = weighstation("scales", "--json", home=tmp_path)
    opens = [found["opens"] for found in json.loads(said.stdout)["scales"]]

    assert (0 if any(opens) else 3) == said.returncode
    assert "" == said.stderr


# ---- scales on USB that are no serial port


def hid(**said: Any) -> SimpleNamespace:
    whole = {"vendor_id": 0x1234, "product_id": 0xABCD, "serial": "", "product": "Postal"}
    return SimpleNamespace(**(whole | {"path": "/dev/hidraw0", "problem": ""} | said))


def test_hid_scales_are_listed_beside_the_others() -> None:
    found = list_hid_devices(
        lambda: [hid(serial="77"), hid(problem="You may not open it.", url="hid:///dev/hidraw0")]
    )
    first, second = (hid_place(device, frozenset()) for device in found.devices)

    assert ("hid", "hid://1234:abcd:77", True) == (first.kind, first.port, first.opens)
    assert ("usb:1234:abcd", False) == (second.identity, second.opens)
    assert ("You may not open it.", "hid:///dev/hidraw0") == (second.problem, second.port)


def test_missing_package_for_hid_is_said_once_with_its_command() -> None:
    def missing() -> list[SimpleNamespace]:
        raise ModuleNotFoundError("No module named 'hid'", name="hid")

    found = list_hid_devices(missing)
    place = Place("serial", "", "built-in serial port", "/dev/ttyS0", "serial:///dev/ttyS0", "x")
    text = listing([place, place], found.note)

    assert () == found.devices
    assert 1 == text.replace("\n", " ").count('-m pip install "weighstation[hid]"\'')


def test_refusal_of_the_hid_port_is_its_own_sentence() -> None:
    def refuse() -> list[SimpleNamespace]:
        raise SpecificationError("No.", hint="Do this.")

    assert "No. Do this." == list_hid_devices(refuse).note


def test_nothing_is_said_where_there_is_no_port_for_them() -> None:
    def no_module() -> list[SimpleNamespace]:
        raise ModuleNotFoundError("x", name="weighstation.station.ports.hid_device")

    found = list_hid_devices(no_module)

    assert ((), "") == (found.devices, found.note)


# ---- how it looks


def shown() -> list[Place]:
    """Return the ports of the page on how to connect a scale."""
    by_id = "/dev/serial/by-id/usb-FTDI_FT232R_USB_UART_A50285BI-if00-port0"
    other = "/dev/serial/by-id/usb-1a86_USB_Serial-if00-port0"
    return [
        Place(
            *("serial", "FT232R USB UART", "USB serial adapter", "/dev/ttyUSB0"),
            *(f"serial://{by_id}", "usb:0403:6001:A50285BI"),
        ),
        Place(
            *("serial", "USB Serial", "USB serial adapter", "/dev/ttyUSB1"),
            *(f"serial://{other}", "usb:1a86:7523@1-1.2"),
            opens=False,
            problem="You may not open it.",
            cure="Run 'sudo usermod -a -G dialout $USER', then log out and in again.",
        ),
        Place(
            *("serial", "", "built-in serial port", "/dev/ttyS0"),
            *("serial:///dev/ttyS0", "path:/dev/ttyS0"),
            opens=False,
            problem="minicom (pid 4242) has it open.",
            cure="Close that program.",
        ),
    ]


def test_page_shows_the_list_as_it_is() -> None:
    assert listing(shown()) in PAGE.read_text(encoding="utf-8")


def test_list_is_80_columns_wide_but_for_what_is_copied() -> None:
    long = "A program with quite a long name and a number behind it (pid 4194304) has it open."
    place = Place(
        *("serial", "", "modem?", "/dev/ttyACM0", "serial:///dev/ttyACM0", "x"),
        opens=False,
        problem=long,
        cure=f"{long} {long}\nsudo one-command {'x' * 90}\nanother",
    )
    lines = listing([place], "note " * 30).splitlines()

    assert [f"  sudo one-command {'x' * 90}"] == [line for line in lines if len(line) > 80]
    assert "  another" in lines


def test_caution_is_cured_once_by_commands_that_can_be_copied() -> None:
    command = "sudo tee -a FILE <<'END'\nRULE\nEND"
    place = Place(
        *("serial", "", "USB serial adapter", "/dev/ttyUSB0", "serial:///dev/ttyUSB0", "x"),
        caution="ModemManager may send it letters.",
        caution_cure=f"Type this:\n{command}",
    )
    text = listing([place, place])

    assert 2 == text.count("  beware   ModemManager may send it letters.\n")
    assert 1 == text.count(f"\n\nType this:\n{command}\n\n")


def test_home_knows_no_scale_where_there_is_no_file(tmp_path: Path) -> None:
    assert {} == Home(tmp_path).profiles()

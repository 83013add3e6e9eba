"""``service``: a script that is printed, and does what it says when it is run.

The unit is read by systemd's own ``systemd-analyze verify``; the script is run with a ``sudo``
that only writes down what it was asked for; and the command of the unit is run and stopped as
systemd would, by the signal that the unit names.
"""

from __future__ import annotations

import os
import pwd
import re
import shlex
import shutil
import signal
import subprocess
import sys
import threading
from contextlib import contextmanager, suppress
from itertools import cycle
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from station_process import BAND, weighstation

from weighstation.errors import SpecificationError
from weighstation.station.commands.scales.unit import Station, unit_of

if TYPE_CHECKING:
    from collections.abc import Iterator

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="a service is described for Linux only"
)
RULES = "/etc/udev/rules.d/60-weighstation.rules"
UNIT = "/etc/systemd/system/weighstation.service"
NOT_THERE = "serial:///dev/serial/by-id/usb-none"
SUDO = """#!/bin/sh
echo "$*" >> "$WROTE/log"
case "$1" in tee) cat > "$WROTE/$(basename "$2")";; esac
"""


def printed(*words: str, home: Path) -> str:
    """Return the script, after checking that nothing else was said."""
    said = weighstation("service", *words, home=home)

    assert (0, "") == (said.returncode, said.stderr)
    return said.stdout


def file_in(script: str, name: str) -> str:
    """Return what the script would write into a file; empty where it would write none."""
    found = re.search(
        rf"^sudo tee {re.escape(name)} .*<<'(\w+)'\n(.*?)^\1$", script, re.MULTILINE | re.DOTALL
    )
    return found[2] if found else ""


def setting(unit: str, name: str) -> list[str]:
    """Return the values of a setting."""
    return re.findall(rf"^{name}=(.*)$", unit, re.MULTILINE)


def command_in(unit: str) -> list[str]:
    """Return the words of what a unit runs, as systemd.service(5) has them read."""
    (line,) = setting(unit, "ExecStart")
    return [word.replace("%%", "%").replace("$$", "$") for word in shlex.split(line)]


@pytest.fixture
def scale() -> Iterator[tuple[int, str]]:
    """A real port, and where its scale writes."""
    near, far = os.openpty()
    device = os.ttyname(far)
    os.close(far)
    yield near, device
    os.close(near)


@pytest.mark.skipif(
    shutil.which("systemd-analyze") is None, reason="there is no systemd-analyze (package systemd)"
)
@pytest.mark.parametrize(
    ("port", "folder"),
    [
        ("serial:///dev/ttyUSB0", "bench"),
        ("serial:///dev/ttyS0?baud=4800&parity=E&dtr=off", 'my 100% "bench" $HOME\\'),
        ("hid://1234:abcd", "bench"),
        ("tcp://192.0.2.7:4001", "bench"),
    ],
)
def test_systemd_finds_no_fault_in_the_unit(tmp_path: Path, port: str, folder: str) -> None:
    home = tmp_path / folder
    unit = file_in(printed("--port", port, home=home), UNIT)
    file = tmp_path / "weighstation.service"
    file.write_text(unit)
    verdict = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", str(file)],
        check=False,
        capture_output=True,
        text=True,
    )

    assert (0, "", "") == (verdict.returncode, verdict.stdout, verdict.stderr)
    assert str(home) == command_in(unit)[-1]
    assert port == command_in(unit)[-3]


@pytest.mark.skipif(
    shutil.which("systemd-analyze") is None, reason="there is no systemd-analyze (package systemd)"
)
def test_systemd_does_find_a_fault_in_a_unit_that_has_one(tmp_path: Path) -> None:
    """Or the test above could not fail."""
    unit = file_in(printed("--port", "/dev/ttyS0", home=tmp_path / "bench"), UNIT)
    file = tmp_path / "weighstation.service"
    file.write_text(unit.replace("PrivateTmp=", "PrivatTmp="))
    verdict = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", str(file)],
        check=False,
        capture_output=True,
        text=True,
    )

    assert "PrivatTmp" in verdict.stderr


@pytest.mark.parametrize(
    ("port", "devices", "families"),
    [
        ("serial:///dev/ttyUSB7", ["char-ttyUSB rw"], "AF_UNIX"),
        ("/dev/ttyACM7", ["char-ttyACM rw"], "AF_UNIX"),
        ("serial:///dev/ttyS77", ["char-ttyS rw"], "AF_UNIX"),
        (NOT_THERE, ["char-ttyUSB rw", "char-ttyACM rw"], "AF_UNIX"),
        ("hid://1234:abcd", ["char-hidraw rw"], "AF_UNIX"),
        ("tcp://192.0.2.7:4001", [], "AF_UNIX AF_INET AF_INET6"),
        ("rfc2217://192.0.2.7:4001", [], "AF_UNIX AF_INET AF_INET6"),
    ],
)
def test_unit_allows_what_the_port_needs_and_no_more(
    tmp_path: Path, port: str, devices: list[str], families: str
) -> None:
    unit = file_in(printed("--port", port, home=tmp_path), UNIT)

    assert devices == setting(unit, "DeviceAllow")
    assert [families] == setting(unit, "RestrictAddressFamilies")
    assert ["closed"] == setting(unit, "DevicePolicy")
    assert bool(devices) == bool(setting(unit, "SupplementaryGroups"))


@pytest.mark.parametrize(
    ("home", "program", "protect_home", "private_tmp"),
    [
        ("/srv/bench", "/opt/weighstation/bin/weighstation", "yes", "yes"),
        ("/home/baker/bench", "/opt/weighstation/bin/weighstation", "read-only", "yes"),
        ("/srv/bench", "/home/baker/.venv/bin/weighstation", "read-only", "yes"),
        ("/tmp/bench", "/opt/weighstation/bin/weighstation", "yes", "no"),
    ],
)
def test_unit_does_not_hide_what_the_station_needs(
    home: str, program: str, protect_home: str, private_tmp: str
) -> None:
    unit = unit_of(
        Station((program,), "serial:///dev/ttyUSB0", "serial", Path(home), "baker", "dialout")
    )

    assert [protect_home] == setting(unit, "ProtectHome")
    assert [private_tmp] == setting(unit, "PrivateTmp")
    assert [home] == setting(unit, "ReadWritePaths")


def test_home_with_a_line_end_in_its_name_is_refused() -> None:
    """It would begin a new line of the unit."""
    home = Path("/srv/bench\nUser=root")

    with pytest.raises(SpecificationError):
        unit_of(Station(("/bin/x",), "/dev/ttyUSB0", "serial", home, "baker", "dialout"))


def test_script_writes_its_two_files_and_puts_them_in_force(tmp_path: Path) -> None:
    script = printed("--port", "/dev/ttyS0", "--user", "nobody-here", home=tmp_path / "bench")
    wrote = tmp_path / "wrote"
    wrote.mkdir()
    (tmp_path / "sudo").write_text(SUDO)
    (tmp_path / "sudo").chmod(0o755)
    environment = os.environ | {"PATH": f"{tmp_path}:{os.environ['PATH']}", "WROTE": str(wrote)}
    done = subprocess.run(
        ["/bin/sh"], check=False, input=script, capture_output=True, text=True, env=environment
    )
    log = (wrote / "log").read_text().splitlines()
    has_rule = bool(file_in(script, RULES))

    assert (0, "", "") == (done.returncode, done.stdout, done.stderr)
    assert file_in(script, UNIT) == (wrote / "weighstation.service").read_text()
    assert has_rule == (wrote / "60-weighstation.rules").exists()
    assert has_rule == Path("/dev/ttyS0").exists()
    assert "useradd --system --shell /usr/sbin/nologin nobody-here" == log[0]
    assert [f"mkdir -p {tmp_path}/bench", f"chown nobody-here {tmp_path}/bench"] == log[1:3]
    assert ["systemctl daemon-reload", "systemctl enable --now weighstation.service"] == log[-2:]


def test_printing_touches_nothing(tmp_path: Path) -> None:
    home = tmp_path / "bench"
    script = printed("--port", NOT_THERE, home=home)

    assert not home.exists()
    assert "not known which device the scale is" in script
    assert "" == file_in(script, RULES)


def test_user_is_who_was_named_else_who_asks(tmp_path: Path) -> None:
    me = pwd.getpwuid(os.getuid()).pw_name
    unit = file_in(printed("--port", "/dev/ttyS0", home=tmp_path), UNIT)
    named = file_in(printed("--port", "/dev/ttyS0", "--user", "baker", home=tmp_path), UNIT)

    assert ["weighstation" if me == "root" else me] == setting(unit, "User")
    assert ["baker"] == setting(named, "User")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "No scale is named, and none was used here before."),
        (("--port", "simulated://?seed=1"), "is a simulated scale, and a service needs a scale."),
        (("--port", "replay://morning.jsonl"), "is a recording, and a service needs a scale."),
        (("--port", "usb://x"), "There is no kind of port 'usb://'."),
        (("--port", "/dev/ttyS0", "--user", "a b"), "'a b' is no name of a user."),
        (("--port", "/dev/ttyS0?a%0Ab=1"), "cannot be written into a service."),
    ],
)
def test_what_makes_no_service_is_refused(
    tmp_path: Path, words: tuple[str, ...], says: str
) -> None:
    said = weighstation("service", *words, home=tmp_path)

    assert (2, "") == (said.returncode, said.stdout)
    assert says in said.stderr
    assert 1 == said.stderr.count("\n")


@contextmanager
def weighing(near: int) -> Iterator[None]:
    """Have a scale show one piece after another, fifty indications a second."""
    done = threading.Event()

    def show() -> None:
        for grams in cycle([0] * 30 + [741] * 60):
            if done.wait(0.02):
                break
            with suppress(OSError):  # nobody reads it now, and it is full
                os.write(near, f"S +{grams:05d} g\r\n".encode())

    os.set_blocking(near, False)
    scale = threading.Thread(target=show)
    scale.start()
    try:
        yield
    finally:
        done.set()
        scale.join()


def _as_systemd_starts_it() -> None:
    """Let signals be heard: tests begun in the background have SIGINT ignored, and pass that on."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_what_the_unit_runs_is_stopped_by_its_signal_and_loses_nothing(
    tmp_path: Path, scale: tuple[int, str]
) -> None:
    """A batch by hand, then the service: without --port it takes the scale used last."""
    near, device = scale
    home = tmp_path / "bench"
    with weighing(near):
        by_hand = weighstation(
            *("divide", "--events", "--pieces", "1", "--port", device, *BAND), home=home
        )
        unit = file_in(printed(home=home), UNIT)
        with subprocess.Popen(
            command_in(unit),
            cwd="/",
            stdout=subprocess.PIPE,
            text=True,
            preexec_fn=_as_systemd_starts_it,  # noqa: PLW1509 - one thread, no locks
        ) as process:
            assert process.stdout is not None
            line = next(line for line in process.stdout if '"event": "piece"' in line)
            process.send_signal(signal.Signals[setting(unit, "KillSignal")[0]])
            process.communicate(timeout=float(setting(unit, "TimeoutStopSec")[0]))
    proof = weighstation("journal", "verify", home=home)

    assert 0 == by_hand.returncode, by_hand.stderr
    assert '"number": 1' in line
    assert [str(process.returncode)] == setting(unit, "SuccessExitStatus")
    assert 0 == proof.returncode, proof.stderr
    assert ["char-pts rw"] == setting(unit, "DeviceAllow")
    assert command_in(unit)[-3].endswith(device)


def test_over_https_the_unit_names_the_files_and_may_read_them(
    tmp_path: Path, scale: tuple[int, str]
) -> None:
    """Wherever they are typed from; a folder of people is hidden from it otherwise."""
    files = ("--certificate", "station.pem", "--key", "/home/baker/station.key")
    home = tmp_path / "bench"
    home.mkdir()
    plain, https = (
        file_in(printed("--pages", *words, "--port", scale[1], home=home), UNIT)
        for words in ((), files)
    )
    named = command_in(https)

    assert str(Path("station.pem").absolute()) == named[named.index("--certificate") + 1]
    assert "/home/baker/station.key" == named[named.index("--key") + 1]
    assert "--certificate" not in command_in(plain)
    assert ["read-only"] == setting(https, "ProtectHome")


def test_with_pages_the_unit_serves_and_is_stopped_by_its_signal(
    tmp_path: Path, scale: tuple[int, str]
) -> None:
    home = tmp_path / "bench"
    home.mkdir()
    script = printed("--pages", "--page-port", "0", "--port", scale[1], home=home)
    unit = file_in(script, UNIT)
    with subprocess.Popen(
        command_in(unit),
        cwd="/",
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=_as_systemd_starts_it,  # noqa: PLW1509 - one thread, no locks
    ) as process:
        assert process.stderr is not None
        said = process.stderr.readline()
        process.send_signal(signal.Signals[setting(unit, "KillSignal")[0]])
        process.communicate(timeout=float(setting(unit, "TimeoutStopSec")[0]))

    assert "http://127.0.0.1:" in said
    assert [str(process.returncode)] == setting(unit, "SuccessExitStatus")
    assert ["AF_UNIX AF_INET AF_INET6"] == setting(unit, "RestrictAddressFamilies")
    assert ["char-pts rw"] == setting(unit, "DeviceAllow")
    assert "Divide one batch by hand first" not in script

"""Ports by their URL: the table, the addresses, and each kind of port."""

from __future__ import annotations

import json
import os
import socket
import termios
import threading
import time
from contextlib import closing
from typing import TYPE_CHECKING
from urllib.parse import quote

import pytest
import serial

from weighstation.errors import LinkLostError, RecordingError, ScaleError, SpecificationError
from weighstation.station.ports import PORTS, Address, open_port, with_defaults

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.ports import Arrival, Port

POSIX = pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")


def read_all(port: Port, within_s: float = 60.0) -> list[Arrival]:
    """Return everything a port gives until it ends."""
    until_s = time.monotonic() + within_s
    arrivals = []
    while not port.ended:
        assert time.monotonic() < until_s
        arrival = port.read(0.2)
        if arrival is not None:
            arrivals.append(arrival)
    port.close()
    return arrivals


def frozen() -> float:
    """Return the time of a clock that stands still."""
    return 0.0


class SteppedClock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now_s = 0.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    """Three arrivals at 0, 1 and 2 seconds."""
    file = tmp_path / "a morning?.jsonl"
    file.write_text(
        "\n".join(json.dumps({"t": float(t_s), "data": f"{t_s} g\r\n"}) for t_s in range(3))
    )
    return file


@pytest.mark.parametrize(
    ("url", "scheme", "place", "options"),
    [
        ("serial:///dev/ttyUSB0?baud=4800", "serial", "/dev/ttyUSB0", {"baud": "4800"}),
        ("/dev/ttyUSB0", "serial", "/dev/ttyUSB0", {}),
        ("COM3", "serial", "COM3", {}),
        ("SERIAL://COM3", "serial", "COM3", {}),
        ("tcp://10.0.0.7:4001", "tcp", "10.0.0.7:4001", {}),
        ("simulated://?seed=1&speed=2", "simulated", "", {"seed": "1", "speed": "2"}),
        ("replay://a%20b.jsonl?speed=max", "replay", "a b.jsonl", {"speed": "max"}),
    ],
)
def test_address_takes_a_url_apart(
    url: str, scheme: str, place: str, options: dict[str, str]
) -> None:
    assert Address(scheme, place, options) == Address.parse(url)


@pytest.mark.parametrize("place", ["/dev/ttyUSB0", "a b?c.jsonl", "C:\\mornings\\1.jsonl", "100%"])
def test_address_as_text_means_the_same(place: str) -> None:
    address = Address("replay", place, {"speed": "max", "from": "2.5"})

    assert address == Address.parse(str(address))


def test_options_already_given_are_not_overruled() -> None:
    url = with_defaults("simulated://?target=500&seed=2", target="740", under="8")

    assert {"target": "500", "under": "8", "seed": "2"} == Address.parse(url).options


@pytest.mark.parametrize(
    ("url", "words"),
    [
        ("simulated://?seed=1", "simulated scale"),
        ("replay://morning.jsonl", "recording"),
        ("serial:///dev/ttyUSB0", ""),
    ],
)
def test_what_stands_for_a_scale_has_a_name(url: str, words: str) -> None:
    assert words == Address.parse(url).stand_in


def test_an_option_given_twice_is_refused_by_name() -> None:
    with pytest.raises(SpecificationError, match="gives 'seed' twice"):
        Address.parse("simulated://?seed=1&speed=max&seed=2")


@pytest.mark.parametrize(
    "url",
    [
        "",
        "usb://x",
        "serial://",
        "serial:///dev/null?bauds=1",
        "serial:///dev/null?baud=quick",
        "serial:///dev/null?baud=0",
        "serial:///dev/null?parity=X",
        "replay://",
        "replay://x?from=-1",
        "replay://x?speed=0",
        "simulated://here",
        "simulated://?pieces=none",
        "simulated://?way=sideways",
        "simulated://?speed=inf",
    ],
)
def test_url_that_makes_no_sense_is_refused_in_one_sentence(url: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        open_port(url, frozen)

    assert "\n" not in caught.value.sentence


def test_every_port_of_the_table_can_be_imported() -> None:
    """Names are strings in the table: a misspelt one would only show at a bench."""
    for scheme in PORTS:
        with pytest.raises((ScaleError, SpecificationError, RecordingError)):
            open_port(f"{scheme}://nowhere/at/all", frozen)


def test_recording_played_without_waiting_gives_its_own_times(recording: Path) -> None:
    arrivals = read_all(open_port(f"replay://{quote(str(recording))}?speed=max", frozen))

    assert [(0.0, b"0 g\r\n"), (1.0, b"1 g\r\n"), (2.0, b"2 g\r\n")] == arrivals


def test_recording_can_be_entered_in_the_middle(recording: Path) -> None:
    address = Address("replay", str(recording), {"speed": "max", "from": "1"})

    assert [1.0, 2.0] == [arrival.t_s for arrival in read_all(open_port(str(address), frozen))]


def test_recording_is_paced_by_the_clock(recording: Path) -> None:
    """At twice the speed, what came after a second is due after half of one."""
    clock = SteppedClock()
    address = Address("replay", str(recording), {"speed": "2"})
    port = open_port(str(address), clock)
    first, early = port.read(0.0), port.read(0.0)
    clock.now_s = 0.5
    due = port.read(0.0)

    assert (0.0, b"0 g\r\n") == first
    assert early is None
    assert (1.0, b"1 g\r\n") == due
    assert not port.ended


@POSIX
def test_serial_port_gives_bytes_as_they_come_and_says_when_the_link_is_lost() -> None:
    near, far = os.openpty()
    device = os.ttyname(far)
    clock = SteppedClock()
    port = open_port(f"serial://{device}?baud=4800", clock)
    os.close(far)
    silent = port.read(0.05)
    clock.now_s = 1.5
    os.write(near, b"\x00S +651 g\r\n")
    got = b""
    while len(got) < 11:
        arrival = port.read(1.0)
        assert arrival is not None
        assert 1.5 == arrival.t_s
        got += arrival.data
    os.close(near)

    assert silent is None
    assert b"\x00S +651 g\r\n" == got
    assert not port.ended
    with pytest.raises(LinkLostError) as caught:
        port.read(1.0)
    assert "\n" not in caught.value.sentence
    port.close()
    port.close()


@POSIX
def test_settings_that_a_device_cannot_have_are_refused_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The system's own refusal of a parity, say, is no OSError."""

    def refuse(_: serial.Serial) -> None:
        raise termios.error(22, "Invalid argument")

    monkeypatch.setattr(serial.Serial, "open", refuse)

    with pytest.raises(ScaleError, match="not one with these settings"):
        open_port("serial:///dev/null?bits=7&parity=E", frozen)


@POSIX
def test_serial_port_never_sends_a_byte() -> None:
    """An unknown byte may tare a scale."""
    near, far = os.openpty()
    port = open_port(f"serial://{os.ttyname(far)}", frozen)
    port.read(0.05)
    os.set_blocking(near, False)

    with pytest.raises(BlockingIOError):
        os.read(near, 64)
    port.close()
    os.close(near)
    os.close(far)


@pytest.mark.parametrize("link", ["pty", "socket"])
def test_simulated_scale_sends_the_same_bytes_through_a_line_as_without(link: str) -> None:
    if link == "pty" and os.name != "posix":
        pytest.skip("needs a pseudo-terminal")
    direct = read_all(open_port("simulated://?pieces=1&seed=3&speed=max", frozen))
    url = f"simulated://?pieces=1&seed=3&speed=40&link={link}"
    through = read_all(open_port(url, time.monotonic))

    assert b"".join(arrival.data for arrival in direct) == b"".join(
        arrival.data for arrival in through
    )
    assert not [thread for thread in threading.enumerate() if thread.name == "simulated scale"]


def test_simulated_scale_runs_its_clock_as_fast_as_it_plays() -> None:
    """Physics and times agree: arrivals at 40 times the speed carry the scale's own seconds."""
    direct = read_all(open_port("simulated://?pieces=1&seed=3&speed=max", frozen))
    through = read_all(open_port("simulated://?pieces=1&seed=3&speed=40", time.monotonic))

    assert direct[-1].t_s == pytest.approx(through[-1].t_s, abs=1.0)


def test_simulated_scale_can_be_switched_off_in_the_middle() -> None:
    port = open_port("simulated://?seed=3&speed=50", time.monotonic)
    port.read(1.0)
    port.close()

    assert not [thread for thread in threading.enumerate() if thread.name == "simulated scale"]


def test_nobody_at_the_other_end_of_a_socket() -> None:
    with pytest.raises(ScaleError, match=r"Nobody answers at 127\.0\.0\.1:9"):
        open_port("tcp://127.0.0.1:9", frozen)


def test_what_a_socket_holds_comes_as_one_arrival() -> None:
    """A line a byte would make recordings six times as long, and keep the loop busy."""
    with closing(socket.create_server(("127.0.0.1", 0))) as server:
        port = open_port(f"tcp://127.0.0.1:{server.getsockname()[1]}", time.monotonic)
        there, _ = server.accept()
        there.sendall(b"740 g\r\n")
        there.shutdown(socket.SHUT_WR)
        time.sleep(0.05)
        arrival = port.read(1.0)

        assert arrival is not None
        assert b"740 g\r\n" == arrival.data
        with pytest.raises(LinkLostError):
            port.read(1.0)
        port.close()
        there.close()

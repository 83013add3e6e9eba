"""A scale behind a network converter, and one that another program passes on."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import threading
import time
from contextlib import closing, suppress
from typing import TYPE_CHECKING, Any

import pytest
import serial
from serial import rfc2217
from station_process import weighstation

if TYPE_CHECKING:
    from pathlib import Path

LINE = b"S +00740 g\r\n"


class Converter:
    """A network converter with a scale on its serial side, as RFC 2217 has it."""

    def __init__(self, *, negotiates: bool) -> None:
        self.baud = 0
        self.asked = b""
        self._negotiates = negotiates
        self._line = serial.serial_for_url("loop://", timeout=0.05)  # what is written comes back
        self._server = socket.create_server(("127.0.0.1", 0))
        self.port = self._server.getsockname()[1]
        self._over = threading.Event()
        threading.Thread(target=self._speak, daemon=True).start()
        threading.Thread(target=self._serve, daemon=True).start()

    def close(self) -> None:
        self._over.set()
        self._server.close()

    def _speak(self) -> None:
        while not self._over.wait(0.05):
            self._line.write(LINE)

    def _serve(self) -> None:
        with suppress(OSError):
            connection, _ = self._server.accept()
            with connection:
                self._pump(connection)

    def _pump(self, connection: socket.socket) -> None:
        line: Any = self._line
        connection.settimeout(0.01)
        writer: Any = _Writer(connection)
        manager = rfc2217.PortManager(line, writer) if self._negotiates else None
        while not self._over.is_set():
            data = line.read(line.in_waiting or 1)
            out = b"".join(manager.escape(data)) if manager else data
            connection.sendall(out)
            with suppress(TimeoutError):
                came = connection.recv(1024)
                self.asked += b"".join(manager.filter(came)) if manager else came
            self.baud = line.baudrate


class _Writer:
    def __init__(self, connection: socket.socket) -> None:
        self._connection = connection

    def write(self, data: bytes) -> None:
        self._connection.sendall(data)


@pytest.mark.parametrize(
    ("scheme", "options", "baud", "asked"),
    [
        ("tcp", "", 9600, b""),
        ("rfc2217", "?baud=4800", 4800, b""),
        ("rfc2217", "?ask=W&every=0.1", 9600, b"W"),
        ("tcp", "?ask=W&every=0.1", 9600, b"W"),
    ],
)
def test_a_scale_behind_a_converter_is_recorded(
    scheme: str, options: str, baud: int, asked: bytes, tmp_path: Path
) -> None:
    kept = tmp_path / "kept.jsonl"
    with closing(Converter(negotiates=scheme == "rfc2217")) as converter:
        url = f"{scheme}://127.0.0.1:{converter.port}{options}"
        words = ("--port", url, "--seconds", "1.5")
        result = weighstation("record", str(kept), *words, home=tmp_path)
    sent = b"".join(json.loads(row)["data"].encode() for row in kept.read_text().splitlines()[1:])

    assert 0 == result.returncode, result.stderr
    assert 3 < sent.count(LINE)
    assert baud == converter.baud
    assert (b"" == converter.asked) is (asked == b"")
    assert set(converter.asked) <= set(asked)


def test_a_plain_socket_that_is_taken_for_a_converter_is_told_from_nobody(tmp_path: Path) -> None:
    with closing(Converter(negotiates=False)) as converter:
        place = f"127.0.0.1:{converter.port}"
        words = ("--port", f"rfc2217://{place}", "--seconds", "1")
        result = weighstation("record", str(tmp_path / "kept.jsonl"), *words, home=tmp_path)

    assert 3 == result.returncode
    assert "does not speak RFC 2217" in result.stderr
    assert f"tcp://{place}" in result.stderr


def test_bytes_that_another_program_passes_on_are_recorded(tmp_path: Path) -> None:
    kept = tmp_path / "kept.jsonl"
    process = subprocess.Popen(
        [sys.executable, "-m", "weighstation", "record", str(kept), "--port", "-"],
        stdin=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=os.environ | {"WEIGHSTATION_HOME": str(tmp_path)},
    )
    assert process.stdin is not None
    for _ in range(5):
        process.stdin.write(LINE)
        process.stdin.flush()
        time.sleep(0.05)
    _, said = process.communicate(timeout=120)
    sent = "".join(json.loads(row)["data"] for row in kept.read_text().splitlines()[1:])

    assert 0 == process.returncode, said
    assert LINE.decode() * 5 == sent

"""A station that divides and shows its pages, in a process of its own, and sockets to it."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING, NamedTuple

from weighstation.station.stores.pairs import Pairs

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

SEND_S = 1.0
TAKE_S = 2.0
"""What the station's patience is cut down to, so that a test need not have so much."""
START_S = 60.0
STRANGER = "Via: 1.1 somewhere\r\n"
"""Makes a request on this machine one that was not asked on this machine."""
_HURRIED = (
    "import sys, weighstation.station.pages.door.dawdling as dawdling;"
    f"dawdling.SEND_S, dawdling.TAKE_S, dawdling.LOOK_S = {SEND_S}, {TAKE_S}, 0.1;"
    f"dawdling.HANDSHAKE_S = {SEND_S};"
    "from weighstation.__main__ import main; main()"
)


class Answer(NamedTuple):
    """What came back on a connection."""

    status: int
    head: str
    body: str

    def header(self, name: str) -> str:
        found = re.search(rf"^{name}: (.*?)\r?$", self.head, re.IGNORECASE | re.MULTILINE)
        return found[1] if found else ""


class PagesStation:
    """``divide --pages`` on a simulated scale; a thread reads what it says."""

    def __init__(self, home: Path, *words: str, product: str = "") -> None:
        self.home = home
        self.pairs = Pairs(home)
        port = ["--port", "simulated://?seed=3&speed=2", "--pieces", "9000", "--plain"]
        band = [] if product else ["--target", "740", "--under", "8", "--over", "8"]
        command = [sys.executable, "-c", _HURRIED, "divide", *([product] if product else [])]
        self.process = subprocess.Popen(
            [*command, *port, *band, "--pages", "--page-port", "0", *words, "--home", str(home)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.said: list[str] = []
        assert self.process.stderr is not None
        self._reader = threading.Thread(target=self._read, args=(self.process.stderr,))
        self._reader.start()
        self.url = self._wait_for_url()
        self.port = int(self.url.rstrip("/").rpartition(":")[2])

    def _read(self, stream: IO[str]) -> None:
        with stream:
            self.said.extend(stream)

    def _wait_for_url(self) -> str:
        end_s = time.monotonic() + START_S
        while time.monotonic() < end_s and self.process.poll() is None:
            for line in list(self.said):
                if "shown at " in line:
                    return line.rpartition(" ")[2].strip()
            time.sleep(0.05)
        raise AssertionError(self.said)

    def end(self) -> float:
        """Tell it to go; return after how many seconds it had."""
        began_s = time.monotonic()
        self.process.terminate()
        try:
            self.process.wait(30)
        finally:
            self.process.kill()
            self._reader.join()
        return time.monotonic() - began_s

    # ---- what is asked of it

    @contextmanager
    def connected(self, source: str = "127.0.0.1") -> Iterator[socket.socket]:
        with socket.create_connection(
            ("127.0.0.1", self.port), timeout=10, source_address=(source, 0)
        ) as connection:
            yield connection

    def ask(self, head: str, body: bytes = b"", source: str = "127.0.0.1") -> Answer:
        """Send a request with ``Host`` put in, and read until its answer is whole."""
        line, _, rest = head.partition("\r\n")
        host = "" if "host:" in rest.lower() else f"Host: 127.0.0.1:{self.port}\r\n"
        with self.connected(source) as connection:
            connection.sendall(f"{line}\r\n{host}{rest}Connection: close\r\n\r\n".encode() + body)
            return answer_on(connection)

    def get(self, path: str, headers: str = "", source: str = "127.0.0.1") -> Answer:
        return self.ask(f"GET {path} HTTP/1.1\r\n{headers}", source=source)

    def post(self, body: str = "{}", headers: str | None = None) -> Answer:
        """Touch something on the bench page; what its script sends, unless other headers are."""
        head = self.page_headers() if headers is None else headers
        length = f"Content-Length: {len(body)}\r\n" if "chunked" not in head else ""
        return self.ask(f"POST /bench/ask HTTP/1.1\r\n{head}{length}", body.encode())

    def page_headers(self) -> str:
        return f"Origin: http://127.0.0.1:{self.port}\r\nX-Weighstation-Token: {self.token()}\r\n"

    def token(self) -> str:
        found = re.search(r'station-token" content="([^"]+)"', self.get("/bench").body)
        assert found
        return found[1]

    def turns(self) -> int:
        """How often the weighing loop has turned."""
        return int(self.get("/healthz").body.split()[1])

    def paired(self, role: str, name: str) -> str:
        """Return the cookie of a device that was let in by a link, as a header."""
        secret, _ = self.pairs.link(name, role, time.time_ns() // 1_000_000)
        cookie = self.get(f"/pair/{secret}", STRANGER).header("set-cookie")
        return f"{STRANGER}Cookie: {cookie.partition(';')[0]}\r\n"


def answer_on(connection: socket.socket) -> Answer:
    """Read an answer to its end; an empty one where the connection was cut."""
    came = b""
    try:
        while part := connection.recv(65_536):
            came += part
    except ConnectionResetError:
        pass
    head, _, body = came.partition(b"\r\n\r\n")
    status = int(head.split()[1]) if head else 0
    return Answer(status, head.decode("latin-1"), body.decode("utf-8", "replace"))

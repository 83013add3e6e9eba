"""A network of its own for a station and the browser that looks at it, whose packets a test drops.

What is dropped is lost without a word: neither end is told, as where a tablet leaves the Wi-Fi. It
takes Linux with namespaces (namespaces(7)) and its packet filter (iptables(8)).
"""

from __future__ import annotations

import os
import subprocess
from contextlib import contextmanager, suppress
from enum import Enum
from typing import TYPE_CHECKING, NoReturn

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

SYSTEM = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"
"""Where the packet filter is, on systems that do not name it to people."""


class Lost(Enum):
    """Which packets are dropped: those of the station are from its port, those of a page to it."""

    BOTH = "both ways"
    TO_PAGE = "from the station to the page"
    TO_STATION = "from the page to the station"


class OwnNetwork:
    """One that is up.

    Parameters
    ----------
    pid : int
        Of a process that holds it open.
    port : int
        Of the station in it.
    """

    def __init__(self, pid: int, port: int) -> None:
        self.within = ("nsenter", f"--target={pid}", "--net", *_as_whom())
        self.url = f"http://127.0.0.1:{port}"
        self.port = port
        self._ports = {
            Lost.BOTH: (),
            Lost.TO_PAGE: ("--protocol", "tcp", "--source-port", str(port)),
            Lost.TO_STATION: ("--protocol", "tcp", "--destination-port", str(port)),
        }

    @contextmanager
    def dropping(self, lost: Lost) -> Iterator[None]:
        """Drop packets until left."""
        self._filter("--append", lost)
        try:
            yield
        finally:
            self._filter("--delete", lost)

    def browser_at(self, path: Path, browser: str) -> str:
        """Write a command that runs a browser in this network; return where it is."""
        path.write_text(f'#!/bin/sh\nexec {" ".join(self.within)} "{browser}" "$@"\n')
        path.chmod(0o755)
        return str(path)

    def _filter(self, does: str, lost: Lost) -> None:
        rule = (does, "OUTPUT", "--out-interface", "lo", *self._ports[lost], "--jump", "DROP")
        _run(*self.within, "iptables", "--wait", *rule)


@contextmanager
def own_network(port: int) -> Iterator[OwnNetwork]:
    """Have a network until left; without one skip, but never where everything must run."""
    # Its holder ends with this process: cat does when nobody holds the other end of its pipe.
    holding = ["unshare", "--net", *(() if os.geteuid() == 0 else ("--map-root-user",)), "cat"]
    try:
        holder = subprocess.Popen(
            holding, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
    except FileNotFoundError:
        _cannot("there is no unshare")
    with holder:
        try:
            _wait_for(holder)
            network = OwnNetwork(holder.pid, port)
            _set_up(network)
            yield network
        finally:
            holder.kill()


def _wait_for(holder: subprocess.Popen[bytes]) -> None:
    """Wait until the holder is in its network: only then it echoes."""
    assert holder.stdin is not None
    assert holder.stdout is not None
    assert holder.stderr is not None
    with suppress(BrokenPipeError):
        holder.stdin.write(b"here\n")
        holder.stdin.flush()
    if not holder.stdout.readline():
        _cannot(holder.stderr.read().decode().strip())


def _set_up(network: OwnNetwork) -> None:
    try:
        _run(*network.within, "ip", "link", "set", "lo", "up")
        with network.dropping(Lost.BOTH):
            pass
    except subprocess.CalledProcessError as exc:
        _cannot(exc.stderr.strip())


def _as_whom() -> tuple[str, ...]:
    return () if os.geteuid() == 0 else ("--user", "--preserve-credentials")


def _run(*words: str) -> None:
    env = os.environ | {"PATH": SYSTEM}
    subprocess.run(words, check=True, capture_output=True, text=True, env=env)


def _cannot(said: str) -> NoReturn:
    reason = f"a network of its own takes namespaces, iproute2 and iptables here: {said}"
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)

"""A person's terminal, for commands that draw a panel and take keys."""

from __future__ import annotations

import os
import select
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path

WAIT_S = 120.0
"""Nobody waits so long: every wait ends with what it waits for, and this is when to call it
missing, on however busy a machine."""

POSIX = pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")


class Terminal:
    """A person's terminal: 24 lines of 80 columns, and keys to press."""

    def __init__(self, *words: str, home: Path) -> None:
        self.near, far = os.openpty()
        self.seen = ""
        env = os.environ | {"TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "weighstation", *words, "--home", str(home)],
            stdin=far,
            stdout=far,
            stderr=far,
            start_new_session=True,
            preexec_fn=lambda: _as_of_a_person(far),  # noqa: PLW1509 - one thread, no locks
            env=env,
        )
        os.close(far)

    def until(self, text: str, within_s: float = WAIT_S) -> None:
        """Read the screen until a text has been on it."""
        begun, start = time.monotonic(), len(self.seen)
        while text not in self.seen[start:]:
            assert time.monotonic() - begun < within_s, self.seen[-2000:]
            if select.select([self.near], [], [], 0.1)[0]:
                try:
                    self.seen += os.read(self.near, 65536).decode(errors="replace")
                except OSError:
                    break
        assert text in self.seen[start:], self.seen[-2000:]

    def press(self, keys: str) -> None:
        os.write(self.near, keys.encode())

    def rest(self, within_s: float = WAIT_S) -> int:
        """Read to the end, and return the exit code."""
        begun = time.monotonic()
        while self.process.poll() is None or select.select([self.near], [], [], 0)[0]:
            assert time.monotonic() - begun < within_s
            if select.select([self.near], [], [], 0.1)[0]:
                try:
                    self.seen += os.read(self.near, 65536).decode(errors="replace")
                except OSError:
                    break
        os.close(self.near)
        return self.process.wait(WAIT_S)


def _as_of_a_person(far: int) -> None:
    """Make it the controlling terminal, whose Ctrl-C and end are heard.

    Tests that were started in the background, or by nohup, ignore these signals, and would hand
    that down.
    """
    import fcntl  # noqa: PLC0415 - in the child
    import signal  # noqa: PLC0415 - the same
    import termios  # noqa: PLC0415 - the same

    for number in (signal.SIGINT, signal.SIGQUIT, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)
    fcntl.ioctl(far, termios.TIOCSCTTY, 0)

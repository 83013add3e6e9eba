"""A station that serves pages, in a process of its own, asked as a page asks it."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

PATIENCE_S = 60.0
SHOWN_AT = re.compile(r"shown at (http://\S+)/")


class Answer(NamedTuple):
    """What the station answered."""

    status: int
    text: str


class Station:
    """One that runs."""

    def __init__(self, process: subprocess.Popen[str], url: str) -> None:
        self.process = process
        self.url = url

    def get(self, path: str) -> Answer:
        return _answered(urllib.request.Request(self.url + path))

    def post(self, path: str, **said: object) -> Answer:
        """Send what a page would, with the token that its page carries."""
        token = re.search(r'station-token" content="([^"]+)"', self.get("/bench").text)
        assert token is not None
        headers = {
            "origin": self.url,
            "content-type": "application/json",
            "x-weighstation-token": token[1],
        }
        data = json.dumps(said).encode()
        return _answered(urllib.request.Request(self.url + path, data, headers))

    def states(self) -> Iterator[dict[str, Any]]:
        """Yield what the bench page is told, as it is told."""
        with urllib.request.urlopen(self.url + "/bench/stream", timeout=PATIENCE_S) as stream:
            for line in stream:
                if line.startswith(b"data: {"):
                    yield json.loads(line.removeprefix(b"data: "))

    def state_when(self, holds: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        """Return the first state for which something holds."""
        until_s = time.monotonic() + PATIENCE_S
        for state in self.states():
            if holds(state):
                return state
            assert time.monotonic() < until_s, f"it never came to hold: {state}"
        raise AssertionError("the stream has ended")


def _answered(request: urllib.request.Request) -> Answer:
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:
            return Answer(answer.status, answer.read().decode())
    except urllib.error.HTTPError as exc:
        return Answer(exc.code, exc.read().decode())


@contextmanager
def served(
    *words: str, home: Path, told: Path | None = None, within: Sequence[str] = ()
) -> Iterator[Station]:
    """Run a command that serves pages until left; what it tells goes into a file, or nowhere.

    ``within`` are the words that run a command somewhere else, such as in another network.
    """
    env = os.environ | {"COLUMNS": "80"}
    command = [*within, sys.executable, "-m", "weighstation", *words, "--home", str(home)]
    with (
        (told or Path(os.devnull)).open("w") as out,
        subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=subprocess.PIPE,
            text=True,
            env=env,
        ) as process,
    ):
        assert process.stderr is not None
        said = ""
        for line in process.stderr:
            said += line
            if (found := SHOWN_AT.search(line)) is not None:
                break
        else:
            raise AssertionError(said)
        try:
            yield Station(process, found[1])
        finally:
            process.kill()
            process.stderr.read()

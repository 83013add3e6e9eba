"""A station in a process of its own, that can be watched from outside and killed."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

import pytest

RATE_HZ = 10
TARGET_G = 740
BAND_G = 8


class Mark(NamedTuple):
    """What the shim saw: W, B, E or O, and its number (see sync_shim.c)."""

    t_ns: int
    what: str
    number: int


@dataclass(frozen=True)
class Truth:
    """A recording of steady hands: every piece ends in band, and the pan is empty in between."""

    path: Path
    grams: list[int]
    seconds: float


def steady_hands(path: Path, *, pieces: int, seed: int) -> Truth:
    """Write a recording whose true weights are known: half the pieces are trimmed once."""
    rng = random.Random(seed)
    indicated = [0] * 12
    finals = []
    for _ in range(pieces):
        final = TARGET_G + rng.randint(-BAND_G, BAND_G)
        first = final + rng.choice((0, 0, rng.randint(12, 40)))
        finals.append(final)
        indicated += [first // 3, *[first] * 14]
        if first != final:
            indicated += [(first + final) // 2, *[final] * 12]
        indicated += [final // 4, *[0] * rng.randint(6, 12)]
    lines = [json.dumps({"recording": 1, "source": "steady hands", "division_g": 1.0})]
    lines += [
        json.dumps({"t": round(place / RATE_HZ, 3), "data": f"S +{grams:05d} g\r\n"})
        for place, grams in enumerate(indicated)
    ]
    path.write_text("\n".join(lines) + "\n")
    return Truth(path, finals, len(indicated) / RATE_HZ)


def compiled_shim(folder: Path) -> Path:
    """Compile the shim; without a compiler skip, but never where everything must run."""
    compiler = shutil.which("cc") or shutil.which("gcc")
    if sys.platform != "linux" or compiler is None:
        reason = "the sync calls can be watched only on Linux with a C compiler"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    made = folder / "sync_shim.so"
    source = Path(__file__).with_name("sync_shim.c")
    flags = ["-shared", "-fPIC", "-O1", "-Wall", "-Werror"]
    subprocess.run([compiler, *flags, "-o", str(made), str(source), "-ldl"], check=True)
    return made


@dataclass(frozen=True)
class Slowness:
    """How long the shim sleeps in each of its places, in microseconds."""

    write_us: int = 0
    before_us: int = 0
    after_us: int = 0


class Station:
    """A ``divide --events`` that runs now."""

    def __init__(self, home: Path, port: str, environment: dict[str, str]) -> None:
        band = ["--target", str(TARGET_G), "--under", str(BAND_G), "--over", str(BAND_G)]
        command = [sys.executable, "-m", "weighstation", "divide", "--events", "--division", "1"]
        self._process = subprocess.Popen(
            [*command, *band, "--port", port, "--home", str(home)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env={**os.environ, **environment},
        )
        self._lines: list[bytes] = []
        self._reader = threading.Thread(target=self._read)
        self._reader.start()

    def _read(self) -> None:
        assert self._process.stdout is not None
        self._lines.extend(self._process.stdout)

    @property
    def is_running(self) -> bool:
        return self._process.poll() is None

    def kill(self) -> None:
        """Send the signal that no process can hear coming."""
        self._process.kill()

    def gone(self, timeout_s: float | None = None) -> int:
        """Wait until it has ended and all it showed is read; return its exit code."""
        code = self._process.wait(timeout_s)
        self._reader.join()
        assert self._process.stderr is not None
        self.complaint = self._process.stderr.read().decode()
        self._process.stderr.close()
        assert self._process.stdout is not None
        self._process.stdout.close()
        return code

    @property
    def said(self) -> int:
        """How many lines it has said so far."""
        return len(self._lines)

    @property
    def events(self) -> list[dict[str, Any]]:
        """What it has said so far in whole lines."""
        return [json.loads(line) for line in list(self._lines) if line.endswith(b"\n")]

    @property
    def pieces(self) -> dict[int, float]:
        """Number and grams of each piece shown so far."""
        shown = [event for event in self.events if event["event"] == "piece"]
        return {event["number"]: event["grams"] for event in shown}


@dataclass(frozen=True)
class Bench:
    """A home and a recording; starts stations on them under the shim."""

    home: Path
    truth: Truth
    shim: Path
    speed: float

    @property
    def marks_path(self) -> Path:
        return self.home.parent / "marks"

    @property
    def journal(self) -> Path:
        return self.home / "journal.sqlite"

    def start(self, from_s: float = 0.0, slowness: Slowness | None = None) -> Station:
        self.marks_path.unlink(missing_ok=True)
        slow = slowness or Slowness()
        port = f"replay://{self.truth.path}?from={from_s:.3f}&speed={self.speed:g}"
        return Station(
            self.home,
            port,
            {
                "LD_PRELOAD": str(self.shim),
                "SHIM_MARKS": str(self.marks_path),
                "SHIM_WRITE_US": str(slow.write_us),
                "SHIM_BEFORE_US": str(slow.before_us),
                "SHIM_AFTER_US": str(slow.after_us),
            },
        )

    def marks(self) -> list[Mark]:
        """Return what the shim has seen of the last start, so far."""
        if not self.marks_path.exists():
            return []
        rows = self.marks_path.read_text().splitlines()
        return [Mark(int(t_ns), what, int(number)) for t_ns, what, number in map(str.split, rows)]

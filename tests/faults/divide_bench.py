"""A bench that is the command `divide` in a process of its own, as the unplug trial watches it."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from typing import IO, TYPE_CHECKING

from station_under_test import compiled_shim
from unplug_trial import LIMITS, PATIENCE_S, wait_until

if TYPE_CHECKING:
    from pathlib import Path

    from unplug_trial import Cable

SLOW_US = 100_000
"""How much longer each sync of the disk takes, so that a pull can land in it."""
START_S = 60.0
HEARD_LINES = 5
"""The header of a recording and some readings: a reading that comes from now on is heard."""
TOLD_TO_GO = 143


class DivideBench:
    """``divide --events`` on a serial device, with its syncs slowed by the shim."""

    faster = 1.0

    def __init__(self, cable: Cable, folder: Path) -> None:
        self._journal = folder / "home" / "journal.sqlite"
        self._marks = folder / "marks"
        self._heard = folder / "heard.jsonl"
        shim = {"LD_PRELOAD": str(compiled_shim(folder)), "SHIM_MARKS": str(self._marks)}
        grams = [f"{limit_mg / 1000:g}" for limit_mg in (LIMITS.target_mg, LIMITS.under_mg)]
        band = ["--target", grams[0], "--under", grams[1], "--over", grams[1]]
        words = ["divide", "--events", "--lifted", "boarded", "--port", f"serial://{cable.device}"]
        self._process = subprocess.Popen(
            [sys.executable, "-m", "weighstation", *words, *band, *self._files(folder)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env={**os.environ, **shim, "SHIM_BEFORE_US": str(SLOW_US)},
            text=True,
        )
        self._events: list[str] = []
        self._sentences: list[str] = []
        self._readers = [
            threading.Thread(target=self._read, args=(self._process.stdout, self._events)),
            threading.Thread(target=self._read, args=(self._process.stderr, self._sentences)),
        ]
        for reader in self._readers:
            reader.start()
        wait_until(self._hears, START_S)

    def _files(self, folder: Path) -> list[str]:
        return ["--home", str(folder / "home"), "--record", str(self._heard)]

    def _hears(self) -> bool:
        """Say whether it has the scale open and reads it; on a busy machine that takes seconds."""
        assert self._process.poll() is None, self._sentences
        return self._heard.exists() and self._heard.read_text().count("\n") >= HEARD_LINES

    def _read(self, stream: IO[str], lines: list[str]) -> None:
        with stream:
            lines.extend(stream)

    @property
    def is_lost(self) -> bool:
        """More losses said than gaps written: the line of a gap is written when it is over."""
        return sum("lost" in sentence for sentence in list(self._sentences)) > self._gaps()

    @property
    def counted(self) -> int:
        return len(self._pieces())

    def _pieces(self) -> list[float]:
        events = [json.loads(line) for line in list(self._events) if line.endswith("\n")]
        return [event["grams"] for event in events if event["event"] == "piece"]

    def await_commit(self, number: int) -> None:
        wait_until(lambda: self._is_written(number), PATIENCE_S)

    def _is_written(self, number: int) -> bool:
        marks = [line.split() for line in self._marks.read_text().splitlines()]
        return any(mark[1] == "W" and int(mark[2]) >= number for mark in marks if len(mark) == 3)

    def _gaps(self) -> int:
        return int(self._ask("SELECT count(*) FROM entry WHERE kind = 'gap'")[0][0])

    def _ask(self, query: str) -> list[tuple[float, ...]]:
        with closing(sqlite3.connect(f"file:{self._journal}?mode=ro", uri=True)) as connection:
            return connection.execute(query).fetchall()

    def result(self) -> tuple[list[float], int]:
        """Tell it to go; the pieces it showed are those on record."""
        self._process.terminate()
        assert self._process.wait(START_S) == TOLD_TO_GO, self._sentences
        for reader in self._readers:
            reader.join()
        kept = self._ask("SELECT final_mg FROM piece ORDER BY number")
        on_record = [final_mg / 1000 for (final_mg,) in kept]
        assert on_record == self._pieces()
        return on_record, self._gaps()

"""The log is synced to the disk before a piece that it holds is shown.

Kills alone cannot show this: what was written survives the death of a process, synced or not.
"""

from __future__ import annotations

import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest
from station_under_test import Bench, Mark, Slowness, compiled_shim, steady_hands

if TYPE_CHECKING:
    from pathlib import Path

PIECES = 8

WITHOUT_SYNC = """
import pathlib, sys
from weighstation.events import Piece, Verdict
from weighstation.journal import Kind, Line, RunStarted, codec
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.stores import open_for_writing

store = open_for_writing(pathlib.Path(sys.argv[1]), journal_id="ab", station="bench-1")
store._connection.execute(f"PRAGMA synchronous = {sys.argv[2]}")
rye = Product("Rye", Limits(740_000, 8000, 8000))
started = RunStarted("r1", rye, Way.SINGLE, LiftedPolicy.GUESS, "none://", "0")
store.append(Line(Kind.RUN_STARTED, codec.run_started(started), 0))
for number in range(1, 4):
    piece = Piece(number, number * 5.0, number * 5.0 - 3.0, 741_000, 741_000, 0, Verdict.KEEP)
    store.append(Line(Kind.PIECE_KEPT, codec.piece_kept("r1", piece, dough_t_s=0.0), number))
    print('{"event": "piece", "number": %d}' % number, flush=True)
store.close()
"""


def shown_before_synced(marks: list[Mark]) -> list[int]:
    """Return the pieces that were shown before a sync of the log had ended that held them."""
    written: dict[int, int] = {}
    synced = -1
    faulty = []
    for place, mark in enumerate(marks):
        if mark.what == "W":
            for number in range(1, mark.number + 1):
                written.setdefault(number, place)
        elif mark.what == "E" and mark.number == 0:
            synced = place
        elif mark.what == "O" and not 0 <= written.get(mark.number, -1) < synced:
            faulty.append(mark.number)
    return faulty


def shown(marks: list[Mark]) -> list[int]:
    return [mark.number for mark in marks if mark.what == "O"]


@pytest.mark.parametrize("slowness", [Slowness(), Slowness(before_us=20_000, after_us=20_000)])
def test_every_shown_piece_was_synced_before(tmp_path: Path, slowness: Slowness) -> None:
    truth = steady_hands(tmp_path / "recording.jsonl", pieces=PIECES, seed=3)
    bench = Bench(tmp_path / "home", truth, compiled_shim(tmp_path), speed=100.0)
    station = bench.start(slowness=slowness)

    assert station.gone(60.0) == 0, station.complaint
    assert list(range(1, PIECES + 1)) == shown(bench.marks())
    assert [] == shown_before_synced(bench.marks())


@pytest.mark.parametrize(("synchronous", "faulty"), [("FULL", []), ("OFF", [1, 2, 3])])
def test_the_watch_sees_a_store_that_does_not_sync(
    tmp_path: Path, synchronous: str, faulty: list[int]
) -> None:
    """The measure itself: the same store with syncing off must be caught."""
    marks_path = tmp_path / "marks"
    subprocess.run(
        [sys.executable, "-c", WITHOUT_SYNC, str(tmp_path / "j.sqlite"), synchronous],
        check=True,
        capture_output=True,
        env={
            **os.environ,
            "LD_PRELOAD": str(compiled_shim(tmp_path)),
            "SHIM_MARKS": str(marks_path),
        },
    )
    rows = [row.split() for row in marks_path.read_text().splitlines()]
    marks = [Mark(int(t_ns), what, int(number)) for t_ns, what, number in rows]

    assert [1, 2, 3] == shown(marks)
    assert faulty == shown_before_synced(marks)


def test_a_slow_disk_delays_the_number_by_as_much(tmp_path: Path) -> None:
    """What is shown waits for the sync: never less than the sleep inside it."""
    truth = steady_hands(tmp_path / "recording.jsonl", pieces=3, seed=4)
    bench = Bench(tmp_path / "home", truth, compiled_shim(tmp_path), speed=20.0)
    station = bench.start(slowness=Slowness(before_us=60_000))

    assert station.gone(60.0) == 0, station.complaint
    marks = bench.marks()
    for place, mark in enumerate(marks):
        if mark.what == "O":
            first = next(m for m in marks[:place] if m.what == "W" and m.number >= mark.number)
            assert mark.t_ns - first.t_ns >= 60_000_000

"""From the last byte of a frame to the cue published, through a pseudo-terminal, panel on.

A process of its own plays a simulated scale into a pseudo-terminal and notes when it writes the
terminator (CR LF, at once) of each line. The bench reads the other end on its usual threads
(reader, loop, writer to a journal on disk, panel on the main thread); when a new cue is published
is noted by the loop.
Boards are kept, and not, in turns, so that what else the machine does falls on both alike.
Beside it, in the same run, a bare blocking ``readline`` loop reads the same stream. Run:
``python tests/benchmarks/cue_latency.py [PIECES [PAIRS]]``.
"""

from __future__ import annotations

import os
import pickle
import statistics
import subprocess
import sys
import tempfile
import time
import tty
from bisect import bisect_right
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import serial
from rich.console import Console

from weighstation.journal import RunStarted
from weighstation.plan import BoardRecord
from weighstation.simulate import HandsSpec, ScaleSpec, morning
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.keeper import ClockPlan, opening_lines
from weighstation.station.bench.loop import BenchPlan
from weighstation.station.bench.runner import Runner, Scale
from weighstation.station.bench.session import Session
from weighstation.station.bench.session_plan import SessionPlan
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.timeline import WallTime
from weighstation.station.panel.panel import Panel
from weighstation.station.ports import open_port
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from weighstation.events import Cue
    from weighstation.station.bench.messages import Message

FASTER = 8.0
LIMITS = Limits(740_000, 8_000, 8_000)
PLACES = 6
"""Pieces on a board; nobody moves boards, so that as many as may be are held."""
SCALE = """\
import os, pickle, sys, time
near, faster = int(sys.argv[1]), float(sys.argv[2])
chunks = pickle.load(sys.stdin.buffer)
written = []
begun = time.monotonic()
for t_s, data in chunks:
    wait_s = t_s / faster - (time.monotonic() - begun)
    if wait_s > 0:
        time.sleep(wait_s)
    os.write(near, data[:-2])
    written.append(time.monotonic_ns())
    os.write(near, data[-2:])
pickle.dump(written, sys.stdout.buffer)
"""


class Played:
    """A pseudo-terminal that a process of its own plays a scale into."""

    def __init__(self, chunks: list[tuple[float, bytes]], faster: float = FASTER) -> None:
        self.near, self.far = os.openpty()
        tty.setraw(self.far)
        self.device = os.ttyname(self.far)
        self.faster = faster
        self._chunks = chunks

    def start(self) -> None:
        """Start the scale."""
        self._process = subprocess.Popen(
            [sys.executable, "-c", SCALE, str(self.near), str(self.faster)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            pass_fds=(self.near,),
        )
        assert self._process.stdin is not None
        pickle.dump(self._chunks, self._process.stdin)
        self._process.stdin.close()

    @property
    def is_over(self) -> bool:
        """Whether the last byte was written."""
        return self._process.poll() is not None

    def written_ns(self) -> list[int]:
        """Wait for the end; return when the last byte of each line was written."""
        assert self._process.stdout is not None
        written: list[int] = pickle.load(self._process.stdout)
        self._process.wait()
        return written


class TimedRunner(Runner[Session]):
    """A runner that notes when it publishes a new cue."""

    def start(self) -> None:
        """Start, with the session's ``take`` watched from outside."""
        self.published: list[int] = []
        self._last: Cue | None = None
        self._plain_take = self.session.take
        self.session.take = self._timed_take  # type: ignore[method-assign]
        super().start()

    def _timed_take(self, message: Message) -> None:
        self._plain_take(message)
        cue = self.session.snapshot.cue
        if cue is not None and cue is not self._last:
            self.published.append(time.monotonic_ns())
            self._last = cue


Beside = Callable[[TimedRunner, Path], AbstractContextManager[object]]
"""What else goes on with a runner that has not started yet, and the folder of its journal."""


def nothing_beside(_runner: TimedRunner, _folder: Path) -> AbstractContextManager[object]:
    """Nothing else goes on."""
    return nullcontext()


def session_of(places: int | None) -> partial[Session]:
    """Return what makes the session of a batch, with boards or without."""
    promise = RunStarted(
        run="r1",
        product=Product("Country loaf", LIMITS, board_places=places),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="serial://",
        software="benchmark",
        clock_utc_ms=0,
    )
    opening = opening_lines(BoardRecord(), "r1", places=places, goes_on=False)
    return partial(
        Session,
        SessionPlan(BenchPlan(LIMITS), "Country loaf", clocks=ClockPlan(opening=opening)),
        Batch(promise, WallTime(), opening=opening),
        Standing(),
    )


def scale_of(played: Played) -> Scale:
    """Return a scale as the bench opens it, whose clock goes as fast as it is played."""
    begun_s = time.monotonic()
    url = f"serial://{played.device}"

    def clock() -> float:
        return (time.monotonic() - begun_s) * played.faster

    return Scale(url, open_port(url, clock), partial(open_port, url, clock))


def bench_cues(
    played: Played, folder: Path, places: int | None, beside: Beside = nothing_beside
) -> list[int]:
    """Run the whole bench on the stream, and return when cues were published.

    Parameters
    ----------
    played : Played
    folder : Path
        For the journal.
    places : int or None
        Pieces on a board; None to keep no boards.
    beside : callable
        What else goes on meanwhile.

    Returns
    -------
    list of int, nanoseconds
    """
    store = open_for_writing(folder / "journal.sqlite", journal_id="0" * 32, station="bench")
    runner = TimedRunner(session_of(places), scale_of(played), store)
    with Path(os.devnull).open("w") as nowhere:
        console = Console(file=nowhere, force_terminal=True, width=80, height=24)
        with beside(runner, folder), Panel(console) as panel:
            runner.start()
            played.start()
            while not played.is_over:
                panel.show(runner.session.snapshot, time.monotonic())
                time.sleep(0.03)
        time.sleep(0.2)
        runner.close()
    print(f"  counted {runner.session.snapshot.counted} pieces, each committed to disk")
    store.close()
    return runner.published


def bare_lines(played: Played, lines: int) -> list[int]:
    """Read the stream by a blocking readline loop, and return when each line was there."""
    there = []
    with serial.Serial(played.device, 9600, timeout=5) as port:
        played.start()
        for _ in range(lines):
            port.readline()
            there.append(time.monotonic_ns())
    return there


def report(name: str, late_ms: list[float]) -> float:
    """Print the distribution of some delays and return its 99th percentile."""
    cuts = statistics.quantiles(late_ms, n=100, method="inclusive")
    print(
        f"{name:<28} n {len(late_ms):5d}   p50 {statistics.median(late_ms):6.3f} ms"
        f"   p99 {cuts[98]:6.3f} ms   worst {max(late_ms):6.3f} ms"
    )
    return cuts[98]


def cues_late_ms(
    chunks: list[tuple[float, bytes]], places: int | None, beside: Beside = nothing_beside
) -> list[float]:
    """Return how late each cue of a whole run was, in milliseconds after its last byte."""
    played = Played(chunks)
    with tempfile.TemporaryDirectory() as folder:
        published = bench_cues(played, Path(folder), places, beside)
    written = played.written_ns()
    return [(t_ns - written[bisect_right(written, t_ns) - 1]) / 1e6 for t_ns in published]


def lines_late_ms(chunks: list[tuple[float, bytes]]) -> list[float]:
    """Return how late each line of the bare loop was, in milliseconds after its last byte."""
    played = Played(chunks)
    there = bare_lines(played, len(chunks))
    return [(t_ns - w_ns) / 1e6 for t_ns, w_ns in zip(there, played.written_ns(), strict=True)]


def main() -> None:
    """Print the distributions, turn by turn and together, and the ratio."""
    pieces = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    pairs = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    played = morning(ScaleSpec(), HandsSpec(), pieces=pieces, seed=2)
    chunks = [(chunk.t_s, chunk.data) for chunk in played.chunks]
    print(f"{pieces} pieces, {len(chunks)} lines, {FASTER:g} times as fast as life")
    without, with_boards = list[float](), list[float]()
    for pair in range(pairs):
        turns = ((without, None), (with_boards, PLACES))
        for late_ms, places in turns if pair % 2 == 0 else reversed(turns):
            found = cues_late_ms(chunks, places)
            report("  with boards" if places else "  without boards", found)
            late_ms.extend(found)
    line_p99 = report("bare blocking readline", lines_late_ms(chunks))
    report("cue published, no boards", without)
    cue_p99 = report("cue published, boards", with_boards)
    print(f"p99 {cue_p99:.2f} ms, budget 5 ms; ratio to the bare loop {cue_p99 / line_p99:.1f}")


if __name__ == "__main__":
    main()

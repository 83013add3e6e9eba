"""Resident memory of a bench process while it counts 100,000 pieces.

The process runs the whole line on its usual threads: a port, the loop, the writer to a journal on
disk, and the panel on the main thread. The port plays a short simulated morning over and over,
without waiting, its times going on. Resident memory is read from the system every so many counted
pieces; after the warm-up it must not grow. Run:
``python tests/benchmarks/resident_memory.py [PIECES]``.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console

from weighstation.journal import RunStarted
from weighstation.plan import BoardRecord
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.keeper import ClockPlan, opening_lines
from weighstation.station.bench.loop import BenchPlan
from weighstation.station.bench.runner import Runner, Scale
from weighstation.station.bench.session import Session, SessionPlan
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.timeline import VirtualTime
from weighstation.station.panel.panel import Panel
from weighstation.station.ports import Arrival
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from collections.abc import Iterator

LIMITS = Limits(740_000, 8_000, 8_000)
PLACES = 6
"""Pieces on a board; nobody moves boards, so that as many as may be are held."""
LOOKS = 10
MOST_BEHIND = 20
MEBIBYTE = 1024 * 1024


def one_piece(weight_g: int) -> Iterator[int]:
    """Yield the indications of one piece, in grams: down, at rest, up, and the pan empty."""
    yield from (weight_g // 3, weight_g)
    yield from [weight_g] * 7
    yield from (weight_g // 3, 0)
    yield from [0] * 7


class EndlessPort:
    """A port that plays pieces without end, ten readings a second of its own time."""

    descriptor = None

    name = "endless"
    ended = False

    def __init__(self) -> None:
        self._lines = self._play()
        self.runner: Runner[Session] | None = None

    def _play(self) -> Iterator[Arrival]:
        t_s, number = 0.0, 0
        while True:
            for grams in one_piece(733 + number * 7 % 15):
                t_s += 0.1
                yield Arrival(t_s, b"S +%05d g\r\n" % grams)
            number += 1

    def read(self, timeout_s: float) -> Arrival | None:
        """Return the next line, at once unless the disk is far behind: no baker is so fast."""
        del timeout_s
        while self.runner and self.runner.behind > MOST_BEHIND:
            time.sleep(0.002)
        return next(self._lines)

    def close(self) -> None:
        """Do nothing."""


def resident_mib() -> float:
    """Return the resident memory of this process in mebibytes (Linux)."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / MEBIBYTE


def main() -> None:
    """Count pieces and print the memory on the way."""
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    promise = RunStarted(
        run="r1",
        product=Product("Country loaf", LIMITS, board_places=PLACES),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="endless",
        software="benchmark",
        clock_utc_ms=0,
    )
    with tempfile.TemporaryDirectory() as folder, Path(os.devnull).open("w") as nowhere:
        store = open_for_writing(Path(folder) / "j.sqlite", journal_id="0" * 32, station="bench")
        opening = opening_lines(BoardRecord(), "r1", places=PLACES, goes_on=False)
        plan = SessionPlan(
            *(BenchPlan(LIMITS), "Country loaf", wanted),
            ends_at_planned=True,
            clocks=ClockPlan(opening=opening),
        )
        port = EndlessPort()
        scale = Scale("endless", port, lambda: port)
        runner = Runner(
            partial(Session, plan, Batch(promise, VirtualTime(), opening=opening), Standing()),
            scale,
            store,
        )
        port.runner = runner
        console = Console(file=nowhere, force_terminal=True, width=80, height=24)
        begun = time.monotonic()
        runner.start()
        seen: list[tuple[int, float]] = []
        with Panel(console) as panel:
            while not runner.is_over:
                panel.show(runner.session.snapshot, time.monotonic())
                while not runner.lines.empty():
                    runner.lines.get()
                counted = runner.session.snapshot.counted
                if counted >= wanted * len(seen) / LOOKS:
                    seen.append((counted, resident_mib()))
                time.sleep(0.03)
        runner.close()
        store.close()
        took_s = time.monotonic() - begun
    for counted, mib in seen:
        print(f"{counted:8d} pieces   {mib:6.1f} MiB")
    grown = seen[-1][1] - seen[2][1]
    print(f"{runner.session.snapshot.counted} pieces in {took_s:.0f} s, each committed to disk")
    print(f"most {max(mib for _, mib in seen):.1f} MiB, budget 45; grown by {grown:+.2f} MiB")
    print("since a fifth of the way, which must be flat")


if __name__ == "__main__":
    main()

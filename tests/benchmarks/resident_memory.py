"""Resident memory of a bench process while it counts 100,000 pieces.

The process runs the whole line on its usual threads: a port, the loop, the writer to a journal on
disk, and the panel on the main thread. The port plays a short simulated morning over and over,
without waiting, its times going on. Resident memory is read from the system every so many counted
pieces; after the first fifth it must not grow. A line fitted to what was read shows that, in bytes
a piece, beside what one number kept of each piece would take. Pieces go on boards, or on none with
``plain``, so that the processor time of both can be held side by side. Run:
``python tests/benchmarks/resident_memory.py [PIECES [plain]]``.
"""

from __future__ import annotations

import os
import statistics
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
from weighstation.station.bench.session import Session
from weighstation.station.bench.session_plan import SessionPlan
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.timeline import VirtualTime
from weighstation.station.panel.panel import Panel
from weighstation.station.ports import Arrival
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.station.stores import Store

LIMITS = Limits(740_000, 8_000, 8_000)
PLACES = 6
"""Pieces on a board; nobody moves boards, so that as many as may be are held."""
LOOKS = 50
WARM = 1 / 5
"""Share of the pieces after which all that is held is there: boards, caches, arenas."""
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


def new_runner(store: Store, wanted: int, places: int | None) -> Runner[Session]:
    """Return a bench on the endless port.

    Parameters
    ----------
    store : Store
    wanted : int
        Pieces, after which it ends.
    places : int or None
        On a board; None to keep no boards.

    Returns
    -------
    Runner of Session
    """
    promise = RunStarted(
        run="r1",
        product=Product("Country loaf", LIMITS, board_places=places),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="endless",
        software="benchmark",
        clock_utc_ms=0,
    )
    opening = opening_lines(BoardRecord(), "r1", places=places, goes_on=False)
    plan = SessionPlan(
        *(BenchPlan(LIMITS), "Country loaf", wanted),
        ends_at_planned=True,
        clocks=ClockPlan(opening=opening),
    )
    port = EndlessPort()
    batch = Batch(promise, VirtualTime(), opening=opening)
    runner = Runner(
        partial(Session, plan, batch, Standing()), Scale("endless", port, lambda: port), store
    )
    port.runner = runner
    return runner


def watched(runner: Runner[Session], wanted: int) -> list[tuple[int, float]]:
    """Show the panel until the bench ends; return pieces counted and memory on the way, in MiB."""
    seen: list[tuple[int, float]] = []
    with Path(os.devnull).open("w") as nowhere:
        console = Console(file=nowhere, force_terminal=True, width=80, height=24)
        with Panel(console) as panel:
            while not runner.is_over:
                panel.show(runner.session.snapshot, time.monotonic())
                while not runner.lines.empty():
                    runner.lines.get()
                counted = runner.session.snapshot.counted
                if counted >= wanted * len(seen) / LOOKS:
                    seen.append((counted, resident_mib()))
                time.sleep(0.03)
    return seen


def report(seen: list[tuple[int, float]], wanted: int) -> None:
    """Print the memory on the way, and how a line fitted to it rises once all is warm."""
    for counted, mib in seen[:: LOOKS // 10]:
        print(f"{counted:8d} pieces   {mib:6.1f} MiB")
    warm = [look for look in seen if look[0] >= wanted * WARM]
    slope = statistics.linear_regression(*zip(*warm, strict=True)).slope
    span = warm[-1][0] - warm[0][0]
    one = sys.getsizeof(wanted)
    print(f"most {max(mib for _, mib in seen):.1f} MiB, budget 45")
    print(
        f"from {warm[0][0]} to {warm[-1][0]} pieces, {len(warm)} looks: the fitted line rises"
        f" {slope * MEBIBYTE:+.2f} bytes a piece, {slope * span:+.2f} MiB in all"
    )
    print(f"one number kept of each piece: {one} bytes a piece, {one * span / MEBIBYTE:.2f} MiB")


def main() -> None:
    """Count pieces and print the memory on the way."""
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    places = None if "plain" in sys.argv else PLACES
    with tempfile.TemporaryDirectory() as folder:
        store = open_for_writing(Path(folder) / "j.sqlite", journal_id="0" * 32, station="bench")
        runner = new_runner(store, wanted, places)
        begun_s, busy_s = time.monotonic(), time.process_time()
        runner.start()
        seen = watched(runner, wanted)
        runner.close()
        store.close()
        took_s, busy_s = time.monotonic() - begun_s, time.process_time() - busy_s
    counted = runner.session.snapshot.counted
    boards = "no boards" if places is None else f"boards of {places}"
    print(f"{boards}: {counted} pieces in {took_s:.0f} s, each committed to disk")
    print(f"processor time {1e6 * busy_s / counted:.0f} us a piece, panel included")
    report(seen, wanted)


if __name__ == "__main__":
    main()

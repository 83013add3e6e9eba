"""A cable that is pulled out and put back at every bad moment of a batch, and what came of it."""

from __future__ import annotations

import os
import random
import statistics
import threading
import time
from collections import deque
from contextlib import suppress
from dataclasses import dataclass, field
from enum import Enum
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol, Self

from weighstation.journal import Kind, RunStarted
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.loop import BenchPlan
from weighstation.station.bench.runner import Runner, Scale
from weighstation.station.bench.session import Session
from weighstation.station.bench.session_plan import SessionPlan
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.timeline import WallTime
from weighstation.station.ports import open_port
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from weighstation.journal import Line

LIMITS = Limits(740_000, 8_000, 8_000)
FASTER = 8.0
RATE_HZ = 10.0
PATIENCE_S = 60.0
HELD_UP_S = 0.05
LOST_S = 0.5


class ScaleTime:
    """Seconds on a scale's own clock, as the station's clock: what is said is heard at its time.

    On a wall clock that goes 8 times faster, a machine that is held up for 0.2 s leaves out 1.6 s,
    and a piece that lay there is not seen at rest. Nobody's bench is as late as that.
    """

    def __init__(self) -> None:
        self._now_s = 0.0
        self._is_asked = threading.Event()

    def __call__(self) -> float:
        """Return the time: a port asks for it when it has read something."""
        self._is_asked.set()
        return self._now_s

    def go_on(self, t_s: float) -> None:
        """Go on to a time; what is said next is said then."""
        self._is_asked.clear()
        self._now_s = t_s

    def go_by(self, seconds: float) -> None:
        """Go on by some seconds."""
        self.go_on(self._now_s + seconds)

    def await_heard(self) -> None:
        """Wait until what was said is heard; what was lost with a cable never is."""
        if not self._is_asked.wait(LOST_S):
            self._now_s += LOST_S


class Cable:
    """A device name that a pseudo-terminal can be plugged into and pulled out of."""

    def __init__(self, device: Path, time: ScaleTime | None = None) -> None:
        self.device = device
        self.time = time or ScaleTime()
        self._near = -1

    def plug_in(self) -> None:
        near, far = os.openpty()
        os.set_blocking(near, False)
        self.device.unlink(missing_ok=True)
        self.device.symlink_to(os.ttyname(far))
        self._near, self._far = near, far

    def send(self, data: bytes) -> int:
        return os.write(self._near, data)

    def pull_out(self) -> None:
        self.device.unlink()
        os.close(self._far)
        os.close(self._near)


def wait_until(holds: Callable[[], bool], within_s: float = PATIENCE_S) -> float:
    """Return how long it took until something held, but for what a busy machine took.

    A look comes every 5 ms. One that comes more than `HELD_UP_S` after the last was held up by
    others, as the threads that are looked at were: no more than that is counted of it.
    """
    begun = looked = time.monotonic()
    took_s = 0.0
    while not holds():
        assert time.monotonic() - begun < within_s, "it never came to hold"
        time.sleep(0.005)
        before, looked = looked, time.monotonic()
        took_s += min(looked - before, HELD_UP_S)
    return took_s


class SpokenScale:
    """A scale that speaks all the time through a cable, whatever lies on it.

    One that goes ``faster`` than the wall clock says the next line when the last was heard.
    """

    def __init__(self, cable: Cable, *, faster: float = FASTER) -> None:
        self._cable = cable
        self._waits = faster > 1
        self._wait_s = 1 / RATE_HZ / faster
        self._levels_g: deque[int] = deque()
        self._level_g = 0
        self._lock = threading.Lock()
        self._plugged = self._over = False
        self._thread = threading.Thread(target=self._speak, daemon=True)

    def __enter__(self) -> Self:
        self.plug_in()
        self._thread.start()
        return self

    def __exit__(self, *exc: object) -> None:
        self._over = True
        self._thread.join()
        self.pull_out()

    def plug_in(self) -> None:
        with self._lock:
            self._cable.plug_in()
            self._plugged = True

    def pull_out(self, *, mid_line: bool = False) -> None:
        with self._lock:
            if self._plugged:
                if mid_line:
                    self._cable.send(f"S +{self._level_g:05d}"[:-2].encode())
                    time.sleep(0.03)
                self._cable.pull_out()
                self._plugged = False

    def put(self, *levels_g: int) -> None:
        """Show some levels, one a reading, and stay at the last of them; wait for that."""
        self._levels_g.extend(levels_g)
        wait_until(lambda: not self._levels_g, PATIENCE_S + len(levels_g) * self._wait_s)

    def swap(self, level_g: int) -> None:
        """Lay something else there at once."""
        self._level_g = level_g

    def _speak(self) -> None:
        while not self._over:
            with self._lock:
                is_said = self._plugged
                # nobody weighs while the cable is out: the station's own clock goes on then
                self._cable.time.go_by(1 / RATE_HZ if is_said else self._wait_s)
                if is_said:
                    self._say_next()
            if is_said and self._waits:
                self._cable.time.await_heard()
            time.sleep(self._wait_s)

    def _say_next(self) -> None:
        if self._levels_g:
            self._level_g = self._levels_g.popleft()
        with suppress(OSError):
            self._cable.send(f"S +{self._level_g:05d} g\r\n".encode())


class SlowStore:
    """A store whose commits take as long as on a tired disk."""

    def __init__(self, store: Any) -> None:
        self._store = store
        self.begun = 0

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)

    def append(self, line: Line) -> Any:
        if line.kind is Kind.PIECE_KEPT:
            self.begun += 1
            time.sleep(0.15)
        return self._store.append(line)


class Moment(Enum):
    """When the cable is pulled out."""

    BETWEEN = "between pieces"
    MID_PIECE = "mid-piece"
    MID_LINE = "mid-line"
    MID_COMMIT = "mid-commit"


@dataclass
class UnplugScore:
    """What came of the unplugs.

    Parameters
    ----------
    moments : dict
        Unplugs by moment.
    swapped : int
        Times at which another piece lay there when the cable came back.
    lost_s, back_s : list of float, seconds
        From the pull to the panel saying so; from the device's return to the panel's.
    expected_g, counted_g : list of float, grams
    gaps : int
        Lines of the journal that tell of a gap.
    """

    moments: dict[Moment, int] = field(default_factory=lambda: dict.fromkeys(Moment, 0))
    swapped: int = 0
    lost_s: list[float] = field(default_factory=list)
    back_s: list[float] = field(default_factory=list)
    expected_g: list[float] = field(default_factory=list)
    counted_g: list[float] = field(default_factory=list)
    gaps: int = 0

    @property
    def unplugs(self) -> int:
        """All of them."""
        return sum(self.moments.values())

    def __str__(self) -> str:
        by = ", ".join(f"{count} {moment.value}" for moment, count in self.moments.items())
        return (
            f"{self.unplugs} unplugs ({by}; swapped in {self.swapped}); {len(self.counted_g)}"
            f" pieces counted, {len(self.expected_g)} expected; {self.gaps} gaps on record; lost"
            f" shown after {statistics.median(self.lost_s):.2f} s (worst {max(self.lost_s):.2f});"
            f" back after {statistics.median(self.back_s):.2f} s (worst {max(self.back_s):.2f})"
        )


class WatchedBench(Protocol):
    """What the trial sees of a bench, wherever its loop runs."""

    faster: float
    """How many times faster than a clock on the wall its own clock goes."""

    def __init__(self, cable: Cable, folder: Path) -> None: ...

    @property
    def is_lost(self) -> bool:
        """Whether it says so."""
        ...

    @property
    def counted(self) -> int:
        """Pieces that it has shown as counted."""
        ...

    def await_commit(self, number: int) -> None:
        """Return while a piece is being written."""
        ...

    def result(self) -> tuple[list[float], int]:
        """End it; return the grams of each piece on record, and the gaps on record."""
        ...


class ThreadedBench:
    """The threads of a bench within this process, on the scale's own time and a slow disk."""

    faster = FASTER

    def __init__(self, cable: Cable, folder: Path) -> None:
        journal = folder / "journal.sqlite"
        self._store = SlowStore(open_for_writing(journal, journal_id="0" * 32, station="b"))
        self._runner = _runner(cable, self._store)
        self._runner.start()

    @property
    def is_lost(self) -> bool:
        return self._runner.session.snapshot.scene is Scene.SCALE_LOST

    @property
    def counted(self) -> int:
        return self._runner.session.snapshot.counted

    def await_commit(self, number: int) -> None:
        wait_until(lambda: self._store.begun >= number, PATIENCE_S)

    def result(self) -> tuple[list[float], int]:
        self._runner.close()
        grams = [piece.final_mg / 1000 for piece in self._store.pieces("r1")]
        gaps = sum(entry.kind is Kind.GAP for entry in self._store.entries(1))
        self._store.close()
        return grams, gaps


def unplug_trial(
    folder: Path,
    unplugs: int,
    seed: int,
    kind: type[WatchedBench] = ThreadedBench,
) -> UnplugScore:
    """Weigh one piece for each unplug, on a real line and a real file."""
    score, rng = UnplugScore(), random.Random(seed)
    cable = Cable(folder / "scale")
    moments = [list(Moment)[place % len(Moment)] for place in range(unplugs)]
    rng.shuffle(moments)
    with SpokenScale(cable, faster=kind.faster) as scale:
        bench = kind(cable, folder)
        try:
            scale.put(*[0] * 25)
            for moment in moments:
                _one(moment, scale, bench, score, rng)
        finally:
            score.counted_g, score.gaps = bench.result()
    return score


def _runner(cable: Cable, store: Any) -> Runner[Session]:
    promise = RunStarted(
        run="r1",
        product=Product("Country loaf", LIMITS),
        way=Way.SINGLE,
        lifted=LiftedPolicy.BOARDED,
        scale="serial://",
        software="test",
    )
    url = f"serial://{cable.device}"
    reopen = partial(open_port, url, cable.time)
    plan = SessionPlan(BenchPlan(LIMITS, lifted=LiftedPolicy.BOARDED), product="Country loaf")
    return Runner(
        partial(Session, plan, Batch(promise, WallTime()), Standing()),
        Scale(url, reopen(), reopen),
        store,
    )


def _one(
    moment: Moment,
    scale: SpokenScale,
    bench: WatchedBench,
    score: UnplugScore,
    rng: random.Random,
) -> None:
    """Weigh a piece, with the cable out at some moment of it."""
    piece_g, other_g = rng.randint(733, 747), rng.randint(733, 747)
    score.moments[moment] += 1
    if moment is Moment.BETWEEN:
        _pull(scale, bench, score, rng)
    scale.put(piece_g // 3, 2 * piece_g // 3, *[piece_g] * 14)
    if moment in (Moment.MID_PIECE, Moment.MID_LINE):
        swaps = rng.random() < 0.4
        score.swapped += swaps
        piece_g = other_g if swaps else piece_g
        _pull(scale, bench, score, rng, swap_g=piece_g, mid_line=moment is Moment.MID_LINE)
        scale.put(*[piece_g] * 22)
    scale.put(piece_g // 2, *[0] * 4)
    score.expected_g.append(float(piece_g))
    if moment is Moment.MID_COMMIT:
        bench.await_commit(len(score.expected_g))
        _pull(scale, bench, score, rng)
    scale.put(*[0] * 10)
    wait_until(lambda: bench.counted >= len(score.expected_g), PATIENCE_S)


def _pull(
    scale: SpokenScale,
    bench: WatchedBench,
    score: UnplugScore,
    rng: random.Random,
    *,
    swap_g: int | None = None,
    mid_line: bool = False,
) -> None:
    scale.pull_out(mid_line=mid_line)
    score.lost_s.append(wait_until(lambda: bench.is_lost, PATIENCE_S))
    time.sleep(rng.uniform(0.0, 0.5))
    if swap_g is not None:
        scale.swap(swap_g)
    scale.plug_in()
    score.back_s.append(wait_until(lambda: not bench.is_lost, PATIENCE_S))

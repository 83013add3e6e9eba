"""Kill a station again and again, and look each time at what it had shown and what is on disk."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from contextlib import closing
from dataclasses import dataclass
from typing import TYPE_CHECKING

from station_under_test import Bench, Slowness, Station, steady_hands

from weighstation.errors import SpecificationError
from weighstation.journal import Why
from weighstation.quantities import grams
from weighstation.station.stores import open_for_reading, run_chain

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from station_under_test import Mark

    from weighstation.journal import PieceFacts

PIECES = 12
SPEED = 150.0
SLOW = Slowness(write_us=800, before_us=6000, after_us=6000)
AFTER_LEAVING_S = 0.25
START_S = 0.4
LINES_A_PIECE = 6
WAIT_S = 60.0


@dataclass
class Score:
    """What came of the kills.

    ``inside`` of them fell between the first byte of a commit and the end of its sync; after
    ``unshown`` of them the journal held a piece that had not been shown yet.
    """

    kills: int = 0
    inside: int = 0
    unshown: int = 0
    batches: int = 0
    shown: int = 0


def is_inside(marks: list[Mark]) -> bool:
    """Tell whether the last thing seen was a commit that had begun and was not synced."""
    log = [mark.what for mark in marks if mark.what != "O"]
    return bool(log) and log[-1] != "E"


class KillTrial:
    """Batches of pieces, each divided through as many kills as chance has it.

    ``by_command`` proves the journal after each kill by ``weighstation journal verify`` in a
    process of its own; else by the same code in this one, and by the command once a batch.
    """

    def __init__(self, folder: Path, shim: Path, *, seed: int, by_command: bool = False) -> None:
        self.score = Score()
        self._folder = folder
        self._shim = shim
        self._rng = random.Random(seed)
        self._by_command = by_command
        self._most = 0
        self._wanted = (0, 0)

    def run(self, kills: int, *, inside: int = 0) -> Score:
        """Divide batches until there were so many kills, and so many of them inside a commit.

        On a busy machine a kill that was meant for a commit comes late: then there are more of
        them, up to four times as many. The last batch comes to its end.
        """
        self._most = 4 * kills
        self._wanted = (kills, inside)
        while not self._is_enough:
            self._batch()
        return self.score

    @property
    def _is_enough(self) -> bool:
        kills, inside = self._wanted
        seen = self.score
        return seen.kills >= self._most or (seen.kills >= kills and seen.inside >= inside)

    def _batch(self) -> None:
        self.score.batches += 1
        folder = self._folder / f"batch{self.score.batches}"
        folder.mkdir()
        seed = self._rng.randrange(2**32)
        truth = steady_hands(folder / "recording.jsonl", pieces=PIECES, seed=seed)
        bench = Bench(folder / "home", truth, self._shim, SPEED)
        shown: dict[int, float] = {}
        from_s = 0.0
        while self._life(bench, from_s, shown, kill=not self._is_enough):
            record = _record(bench)
            if record.is_done:
                break
            from_s = _left_s(record.pieces)
        self._compare(bench, shown)

    def _life(self, bench: Bench, from_s: float, shown: dict[int, float], *, kill: bool) -> bool:
        """Start a station once; False when it came to the end of its batch."""
        station = bench.start(from_s, SLOW)
        if kill:
            self._wait_for_an_instant(bench, station)
            station.kill()
        code = station.gone(WAIT_S)
        killed = kill and code == -signal.SIGKILL  # it may have come to its own end just before
        assert killed or code == 0, f"exit code {code}: {station.complaint}"
        shown |= station.pieces
        if killed:
            self.score.kills += 1
            self.score.inside += is_inside(bench.marks())
            self._look(bench, shown)
        return killed

    def _wait_for_an_instant(self, bench: Bench, station: Station) -> None:
        """Wait for an instant of its start, one after some line of events, or one in a commit.

        Instants are drawn by how far it has come, not by the clock: how fast it gets there is the
        machine's affair.
        """
        drawn = self._rng.random()
        if drawn < 0.2:
            time.sleep(self._rng.uniform(0.0, START_S))
        elif drawn < 0.5:
            lines = self._rng.randint(1, LINES_A_PIECE * PIECES // 2)
            _wait(station, lambda: station.said >= lines)
            time.sleep(self._rng.uniform(0.0, 0.03))
        else:
            syncs = self._rng.randint(0, PIECES // 2)
            _wait(station, lambda: _is_in_commit(bench.marks(), syncs))
            time.sleep(self._rng.uniform(0.0, 0.012))

    def _look(self, bench: Bench, shown: dict[int, float]) -> None:
        on_record = _record(bench).grams
        lost = {number: shown[number] for number in shown if shown[number] != on_record.get(number)}
        assert {} == lost, f"shown but not on record: {lost}"
        self.score.unshown += len(on_record) > len(shown)
        if on_record and self._by_command:
            _verify_by_command(bench)

    def _compare(self, bench: Bench, shown: dict[int, float]) -> None:
        _verify_by_command(bench)
        on_record = _record(bench).grams
        assert dict(enumerate(map(float, bench.truth.grams), start=1)) == on_record
        assert shown.items() <= on_record.items()
        self.score.shown += len(shown)


def _is_in_commit(marks: list[Mark], syncs: int) -> bool:
    """Tell whether a commit has begun after so many syncs, and has not ended."""
    return sum(mark.what == "E" for mark in marks) >= syncs and is_inside(marks)


def _wait(station: Station, is_so: Callable[[], bool]) -> None:
    """Wait until something is so, or the station has come to its own end."""
    while station.is_running and not is_so():
        time.sleep(0.001)


def _verify_by_command(bench: Bench) -> None:
    command = [sys.executable, "-m", "weighstation", "journal", "verify", "--home", str(bench.home)]
    done = subprocess.run(command, check=False, capture_output=True, text=True, timeout=WAIT_S)
    assert done.returncode == 0, done.stdout + done.stderr


@dataclass(frozen=True)
class Record:
    """The batch as the journal has it; it may have come to its end just before the kill."""

    pieces: tuple[PieceFacts, ...] = ()
    is_done: bool = False

    @property
    def grams(self) -> dict[int, float]:
        return {piece.number: grams(piece.final_mg) for piece in self.pieces}


def _record(bench: Bench) -> Record:
    """Return what is on record, after proving it."""
    try:
        store = open_for_reading(bench.journal)
    except SpecificationError:  # killed before there was a journal
        return Record()
    with closing(store):
        store.verify()
        last = store.last_run()
        if last is None:
            return Record()
        runs = run_chain(store, last.run)
        pieces = tuple(piece for state in runs for piece in store.pieces(state.run))
        return Record(pieces, last.ended == Why.DONE.value)


def _left_s(pieces: tuple[PieceFacts, ...]) -> float:
    """Return when the pan was free after the last piece on record: hands go on from there."""
    if not pieces:
        return 0.0
    return max(piece.off_ms for piece in pieces) / 1000 + AFTER_LEAVING_S

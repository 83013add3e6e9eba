"""What an auditor asks a journal of a year, person by person and week by week."""

from __future__ import annotations

import statistics
from collections import defaultdict, deque
from dataclasses import dataclass, field
from datetime import UTC, datetime
from itertools import chain
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.journal import Doubts, Kind, codec, read_body
from weighstation.monitor.plausibility import (
    FormerWeeks,
    PiecesOfAWeek,
    clock_disagrees,
    entered_late,
    flags_of_week,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.journal import PieceFacts, RunStarted, RunState
    from weighstation.monitor.plausibility import Flag
    from weighstation.station.stores import Store

FORMER = 13
"""Weeks before a week that it is held against; house figure."""

Who = tuple[str, str]
"""A person and a product."""


@dataclass(frozen=True)
class Asked:
    """A flag, and of whose week it is."""

    person: str
    product: str
    week: str
    flag: Flag


@dataclass
class _Bench:
    kept_sd: deque[float] = field(default_factory=lambda: deque(maxlen=FORMER))
    first_sd: deque[float] = field(default_factory=lambda: deque(maxlen=FORMER))
    kept: deque[list[list[int]]] = field(default_factory=lambda: deque(maxlen=FORMER))

    def former(self) -> FormerWeeks:
        runs = tuple(chain.from_iterable(self.kept))
        return FormerWeeks(tuple(self.kept_sd), tuple(self.first_sd), runs)

    def add(self, week: PiecesOfAWeek) -> None:
        self.kept_sd.append(statistics.stdev(chain.from_iterable(week.kept_mg)))
        self.first_sd.append(statistics.stdev(chain.from_iterable(week.first_mg)))
        self.kept.append([list(run) for run in week.kept_mg])


def week_of(t_utc_ms: int) -> str:
    """Return the week of a time, as ``2025-W07``."""
    year, week, _ = datetime.fromtimestamp(t_utc_ms / 1000, tz=UTC).isocalendar()
    return f"{year}-W{week:02d}"


def asked_of(store: Store) -> Iterator[Asked]:
    """Yield every flag on the weights and times of a journal."""
    weeks: defaultdict[str, defaultdict[Who, list[tuple[RunState, RunStarted]]]]
    weeks = defaultdict(lambda: defaultdict(list))
    for state in store.runs_begun(0, 2**62):
        started = store.started(state.run)
        weeks[week_of(state.began_utc_ms)][started.person, state.product].append((state, started))
        yield from _times(store, state, started)
    benches: defaultdict[Who, _Bench] = defaultdict(_Bench)
    for name, people in weeks.items():
        for who, runs in people.items():
            week = _week(store, runs)
            for flag in flags_of_week(week, benches[who].former()):
                yield Asked(*who, name, flag)
            benches[who].add(week)


def _week(store: Store, runs: list[tuple[RunState, RunStarted]]) -> PiecesOfAWeek:
    pieces: list[tuple[PieceFacts, ...]] = [store.pieces(state.run) for state, _ in runs]
    state, started = runs[0]
    return PiecesOfAWeek(
        started.product.limits,
        state.division_mg,
        [[one.final_mg for one in run if one.verdict is Verdict.KEEP] for run in pieces],
        [firsts for firsts in map(_firsts_mg, pieces) if firsts],
    )


def _firsts_mg(run: tuple[PieceFacts, ...]) -> list[int]:
    """Return the first cuts of a run; none where nobody saw them."""
    return [piece.first_mg for piece in run if piece.first_mg is not None]


def _times(store: Store, state: RunState, started: RunStarted) -> Iterator[Asked]:
    began_ms = started.clock_utc_ms or 0
    lines = [e for e in store.run_lines(state.run) if e.kind in (Kind.PIECE_KEPT, Kind.IMPORTED)]
    pieces = [codec.read_piece(read_body(line.body)) for line in lines]
    written_ms = [line.t_utc_ms for line in lines]
    said_ms = [began_ms + piece.placed_ms for piece in pieces]
    flags = [entered_late(said_ms, written_ms)]
    if not state.is_imported:
        own_ms = [piece.placed_ms + (piece.ms or 0) for piece in pieces]
        flags.append(clock_disagrees(written_ms, own_ms, clock_utc_ms=began_ms))
    for flag in flags:
        if flag is not None:
            yield Asked(started.person, state.product, week_of(state.began_utc_ms), flag)


def doubtful_of(store: Store) -> set[tuple[str, int]]:
    """Return run and number of every piece that a failed check makes doubtful."""
    doubts = Doubts()
    for entry in store.entries():
        doubts.feed(entry)
    return set(doubts.pieces.doubtful)

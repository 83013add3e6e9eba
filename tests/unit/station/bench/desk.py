"""A session without its threads: a scale played by hand, and a disk that writes when it is told."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from weighstation.station.bench.messages import Durable, Tick
from weighstation.station.bench.silence import TICK_S
from weighstation.station.ports import Arrival
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from weighstation.journal import Line
    from weighstation.station.bench.backlog import Happened


@dataclass
class Desk:
    """Outlets that keep what comes: lines for the disk, of events, and how often it may tidy up."""

    waiting: list[tuple[Line, Happened]] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    tidied: int = 0
    store: MemoryStore = field(
        default_factory=lambda: MemoryStore(journal_id="0" * 32, station="bench")
    )

    def write(self, line: Line, outcome: Happened) -> None:
        self.waiting.append((line, outcome))

    def say(self, line: str) -> None:
        self.said.append(line)

    def pan_is_empty(self) -> None:
        self.tidied += 1

    def committed(self) -> Iterator[Durable]:
        """Write what waits, and yield each line as it is on the disk."""
        waiting, self.waiting = self.waiting, []
        for line, outcome in waiting:
            yield Durable(self.store.append(line), outcome)

    def events(self, kind: str) -> list[dict[str, Any]]:
        """Return the lines of events of one kind."""
        every = [json.loads(line) for line in self.said]
        return [event for event in every if event["event"] == kind]


class Hand:
    """A scale that is played by hand, ten lines a second.

    Parameters
    ----------
    take : callable
        Takes what the bench is told.
    """

    def __init__(self, take: Callable[[Arrival | Tick], None]) -> None:
        self.t_s = 0.0
        self._take = take

    def play(self, *indicated: float, times: int = 1) -> None:
        """Indicate these grams one after another, so many times over."""
        for grams in indicated * times:
            self._take(Arrival(self.t_s, f"S {grams:+06.0f} g\r\n".encode()))
            self.t_s = round(self.t_s + 0.1, 1)

    def burst(self, *indicated: float) -> None:
        """Indicate these grams in one arrival, as after a network that hung."""
        lines = "".join(f"S {grams:+06.0f} g\r\n" for grams in indicated)
        self.t_s = round(self.t_s + 0.1 * (len(indicated) - 1), 1)
        self._take(Arrival(self.t_s, lines.encode()))
        self.t_s = round(self.t_s + 0.1, 1)

    def wait(self, seconds: float) -> None:
        """Let nothing come for so long after the last reading."""
        last_s = self.t_s - 0.1
        for tick in range(1, round(seconds / TICK_S) + 1):
            self._take(Tick(last_s + tick * TICK_S))
        self.t_s = last_s + seconds

"""Years of a simulated bakery in one journal, one week of them in another, and the raw pieces.

Run by history_of_ten_million.py: python tests/benchmarks/history_build.py FOLDER PIECES
"""

from __future__ import annotations

import sys
import time
from datetime import UTC, date, datetime, timedelta
from heapq import merge
from operator import attrgetter
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parents[1] / "end_to_end"))

from raw_pieces import RawPieces
from year_journal import priced_bakery, write_year

from weighstation.simulate.year import (
    LoafBaked,
    PieceStruckOut,
    PieceWeighed,
    RunBegan,
    RunClosed,
    ScaleTried,
    Year,
    YearCauses,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weighstation.simulate.year import YearFact

FIRST_YEAR = 2001
PIECES_A_YEAR = 590_000
WEEKS_BEFORE_THE_END = 6


def history(pieces: int) -> Iterator[YearFact]:
    """Yield the facts of as many years as it takes, to the end of the day that brings the last."""
    years = range(FIRST_YEAR, FIRST_YEAR + 2 + pieces // PIECES_A_YEAR)
    causes = YearCauses().without("weights_are_typed")
    bakery = priced_bakery(struck_out_late=0.0004)
    told = (Year(bakery, causes, year=year, seed=year).facts() for year in years)
    counted = running = 0
    for fact in merge(*told, key=attrgetter("t_utc_ms")):
        if counted >= pieces and not running and isinstance(fact, RunBegan | ScaleTried):
            return
        counted += isinstance(fact, PieceWeighed)
        running += isinstance(fact, RunBegan) - isinstance(fact, RunClosed)
        yield fact


def day_of(fact: YearFact) -> date:
    """Return the day of a fact, UTC."""
    return datetime.fromtimestamp(fact.t_utc_ms / 1000, tz=UTC).date()


class Week:
    """Gathers what belongs to one week: its runs, all that was ever said of them, its checks."""

    def __init__(self, monday: date) -> None:
        self.monday, self.sunday = monday, monday + timedelta(days=6)
        self.facts: list[YearFact] = []
        self._runs: set[str] = set()

    def of(self, facts: Iterable[YearFact]) -> Iterator[YearFact]:
        """Yield facts as they come, and keep the week's."""
        began = datetime.combine(self.monday, datetime.min.time(), UTC).timestamp() * 1000
        for fact in facts:
            if fact.t_utc_ms >= began and self._is_in(fact):
                self.facts.append(fact)
            yield fact

    def _is_in(self, fact: YearFact) -> bool:
        if isinstance(fact, ScaleTried):
            return day_of(fact) <= self.sunday + timedelta(days=3)
        if isinstance(fact, RunBegan) and day_of(fact) <= self.sunday:
            self._runs.add(fact.run)
        told = RunBegan | PieceWeighed | PieceStruckOut | LoafBaked | RunClosed
        return isinstance(fact, told) and fact.run in self._runs


def last_monday(pieces: int) -> date:
    """Return the first day of a week that ends some weeks before the history does."""
    last = date(FIRST_YEAR, 1, 1) + timedelta(days=round(365.25 * pieces / 600_000))
    monday = last - timedelta(weeks=WEEKS_BEFORE_THE_END)
    return max(date(FIRST_YEAR, 1, 8), monday) - timedelta(days=monday.weekday())


def build(folder: Path, pieces: int) -> None:
    """Write the history, the raw pieces and the week alone, and tell what that took."""
    week = Week(last_monday(pieces))
    began_s = time.perf_counter(), time.process_time()
    with RawPieces(folder) as raw:
        lines = write_year(folder / "history" / "journal.sqlite", raw.of(week.of(history(pieces))))
    wall_s, cpu_s = time.perf_counter() - began_s[0], time.process_time() - began_s[1]
    size_gb = (folder / "history" / "journal.sqlite").stat().st_size / 1e9
    print(
        f"{lines} lines in {wall_s:.0f} s ({lines / wall_s:.0f} lines/s;"
        f" {1e6 * cpu_s / lines:.0f} us of processor time each, making them included),"
        f" {size_gb:.2f} GB",
        flush=True,
    )
    alone = write_year(folder / "week" / "journal.sqlite", week.facts)
    print(f"the week from {week.monday}: {alone} lines", flush=True)
    (folder / "monday").write_text(week.monday.isoformat())


if __name__ == "__main__":
    build(Path(sys.argv[1]), int(sys.argv[2]))

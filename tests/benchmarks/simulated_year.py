"""A simulated year in processor seconds, beside a loop that draws as many numbers, no more.

Run: python tests/benchmarks/simulated_year.py [seed, 1] [--written] [--causes] [--aim]

``--written`` writes it into a journal on the disk, and asks who typed. ``--causes`` takes single
causes out of the bakery and says how often the interval of their part of the give-away, and of the
change that is advised, held what that saved: ``--years 3``, ``--pieces 12 24`` to a dough, and
``--boarded 0.01`` of those out of the band. ``--aim`` does so for the aim above the least lawful
weight, which is worked out from baked loaves and therefore out of a journal; with 24 pieces to a
dough.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter, defaultdict
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parents[1] / "end_to_end"))
sys.path.insert(0, str(Path(__file__).parents[1] / "property"))

from cause_weeks import CAUSES, PLAIN, Saved, of_size, saved, share_covered
from year_asked import asked_of
from year_journal import priced_bakery, write_year

from weighstation.events import Verdict
from weighstation.journal import PieceFacts
from weighstation.report.giveaway import Part, Span, part_interval_mg
from weighstation.report.giveaway.parts import given_away
from weighstation.simulate.year import PieceWeighed, RunBegan, Year
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.rows import rows_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from weighstation.simulate.year import Bakery
    from weighstation.station.stores import Store

NORMALS = 7
"""Of each piece: its cut, two times, four corrections."""

FEW = 24
LABELLED = ("Tin loaf", "Hearth loaf")


def bare(pieces: int) -> float:
    """Return the processor seconds that the numbers and the pieces alone take."""
    rng = Random(1)
    began_s = time.process_time()
    for number in range(pieces):
        drawn = [rng.gauss(0.0, 1.0) for _ in range(NORMALS)]
        rng.random()
        PieceFacts(number, round(drawn[0]), 0, 0, 0, 0, Verdict.KEEP, 0)
    return time.process_time() - began_s


def played(seed: int) -> None:
    """Play a year and print what came of it."""
    year = Year(seed=seed)
    began_s = time.process_time()
    count = Counter(type(fact).__name__ for fact in year.facts())
    took_s = time.process_time() - began_s
    pieces = count[PieceWeighed.__name__]
    bare_s = bare(pieces)
    for name, facts in sorted(count.items()):
        print(f"{name:16} {facts:8}")
    print(f"{took_s:.1f} s, {1e6 * took_s / pieces:.1f} us a piece")
    print(f"{took_s / bare_s:.1f} x a bare loop ({bare_s:.1f} s)")
    print(year.truth.drifted, year.truth.scale_off, year.truth.typed, sep="\n", flush=True)


def written(seed: int) -> None:
    """Write a year, prove it, and print who is asked for what."""
    facts = list(Year(priced_bakery(), seed=seed).facts())
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.sqlite"
        began_s = time.perf_counter(), time.process_time()
        lines = write_year(path, facts)
        wall_s, cpu_s = time.perf_counter() - began_s[0], time.process_time() - began_s[1]
        print(
            f"{lines} lines written: {lines / wall_s:.0f}/s, {1e6 * cpu_s / lines:.0f} us each of"
        )
        print(f"processor time; {path.stat().st_size / lines:.0f} bytes each", flush=True)
        with closing(open_for_reading(path)) as store:
            began = time.process_time()
            store.verify()
            print(f"proved: {1e6 * (time.process_time() - began) / lines:.0f} us a line")
            asked = Counter((a.flag.kind.value, a.person, a.week) for a in asked_of(store))
    for (kind, person, week), times in sorted(asked.items()):
        print(f"  {kind}: {person} in {week}, {times} times")


def told(name: str, found: list[Saved]) -> None:
    """Print how often intervals held what a cause cost."""
    own, usual = share_covered(found)
    said = sum(each.said_mg for each in found)
    ratio = sum(each.saved_mg for each in found) / said
    print(
        f"{name:34} {len(found)} weeks and products: held what their own week saved in {own:.1%},"
        f" what such weeks save in {usual:.1%}; saved {ratio:.2f} of what was said,"
        f" {said / len(found) / 1e6:.2f} kg a week",
        flush=True,
    )


def week_of(t_utc_ms: int) -> date:
    """Return the Monday of a time, UTC."""
    day = datetime.fromtimestamp(t_utc_ms / 1000, tz=UTC).date()
    return day - timedelta(days=day.weekday())


def net_mg(bakery: Bakery, seed: int) -> dict[tuple[date, str], int]:
    """Return what the pieces of each week and product weigh together."""
    began: dict[str, RunBegan] = {}
    found: defaultdict[tuple[date, str], int] = defaultdict(int)
    for fact in Year(bakery, PLAIN, seed=seed).facts():
        if isinstance(fact, RunBegan):
            began[fact.run] = fact
        elif isinstance(fact, PieceWeighed):
            run = began[fact.run]
            found[week_of(run.t_utc_ms), run.product.name] += fact.piece.final_mg
    return found


def aimed(bakery: Bakery, lawful_mg: dict[str, int]) -> Bakery:
    """Return a bakery that scales some products at other weights."""
    products = []
    for one in bakery.products:
        limits = one.product.limits
        target_mg = lawful_mg.get(one.product.name, limits.target_mg)
        moved = replace(one.product, limits=replace(limits, target_mg=target_mg))
        products.append(replace(one, product=moved))
    return replace(bakery, products=tuple(products))


def causes(pieces: int, boarded: float, seeds: range) -> None:
    """Take single causes out of years, and print what the weeks had said."""
    print(f"{pieces} pieces to a dough, {boarded:.1%} of those out of band boarded")
    found: dict[str, list[Saved]] = {name: [] for name in CAUSES}
    for seed in seeds:
        for name in CAUSES:
            says, with_it, without = of_size(name, pieces, boarded=boarded)
            found[name] += saved(says, with_it, without, seed)
    for name, weeks in found.items():
        told(name, weeks)


def aim(seeds: range) -> None:
    """Scale at what a year's loaves show to be just lawful, and print what the weeks had said."""
    told("aim above lawful", [one for seed in seeds for one in _aim_year(seed)])


def _aim_year(seed: int) -> list[Saved]:
    bakery = priced_bakery(pieces=FEW)
    with tempfile.TemporaryDirectory() as folder:
        home = Home.find(Path(folder))
        write_year(home.journal_path, Year(bakery, PLAIN, seed=seed).facts())
        with closing(open_for_reading(home.journal_path)) as store, store.one_moment():
            whole = Span(date(2025, 1, 1), date(2025, 12, 31), UTC)
            lawful = {name: _lawful_mg(store, home, whole, name) for name in LABELLED}
            print({name: f"{mg / 1000:.1f} g lawful" for name, mg in lawful.items()})
            before, after = net_mg(bakery, seed), net_mg(aimed(bakery, lawful), seed)
            saved_mg = {key: before[key] - after[key] for key in before}
            return [one for key in before for one in _aim_week(store, home, key, saved_mg[key])]


def _lawful_mg(store: Store, home: Home, span: Span, product: str) -> int:
    basis = rows_of(store, home, span, patience=Patience(), product=product)[-1].basis
    assert basis is not None
    return basis.lawful_mg


def _aim_week(store: Store, home: Home, key: tuple[date, str], saved_mg: int) -> list[Saved]:
    monday, product = key
    week = Span(monday, monday + timedelta(days=6), UTC)
    rows = rows_of(store, home, week, patience=Patience(), product=product)
    interval = part_interval_mg(rows, Part.AIM_ABOVE_LAWFUL)
    if interval is None or len(rows) < 24:
        return []
    pieces = sum(row.state.kept.n for row in rows)
    said_mg = sum(given_away(row).part(Part.AIM_ABOVE_LAWFUL).mg for row in rows)
    return [Saved((monday.toordinal(), product), pieces, saved_mg, said_mg, interval)]


def main() -> None:
    """Do what the options say; without one, play a year."""
    words = argparse.ArgumentParser()
    words.add_argument("seed", nargs="?", type=int, default=1)
    for option in ("--written", "--causes", "--aim"):
        words.add_argument(option, action="store_true")
    words.add_argument("--years", type=int, default=1)
    words.add_argument("--pieces", type=int, nargs="+", default=[156])
    words.add_argument("--boarded", type=float, default=0.01)
    asked = words.parse_args()
    seeds = range(asked.seed, asked.seed + asked.years)
    if asked.written:
        written(asked.seed)
    if asked.causes:
        for pieces in asked.pieces:
            causes(pieces, asked.boarded, seeds)
    if asked.aim:
        aim(seeds)
    if not (asked.written or asked.causes or asked.aim):
        played(asked.seed)


if __name__ == "__main__":
    main()

"""What the statement and the dossier tell of a bakery's year of 600,000 pieces, week by week.

The journal is written week by week, and after each week the dossier of that week is asked from the
journal as it then stands, as an auditor would on the Monday after; late voids come when they come.

Run: python tests/benchmarks/year_told.py [seed, 1] [--hands] [--clean YEARS]

Without an option: a year in which a divider drifts, a scale goes off and somebody types. The
commands are run as a person would, `weighstation giveaway` and `weighstation dossier` for each
week, and the first for the whole year; what they found is printed beside what went on, of which
they were told nothing. ``--hands`` divides by hand into narrow bands. ``--clean`` asks so many
years in which nothing went wrong, from the seed on, by the dossier's own questions, and counts.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

sys.path.insert(0, str(Path(__file__).parents[1] / "end_to_end"))

from year_journal import CURRENCY, append_many, dividers, priced_bakery
from year_ramp import Ramp, best_ramp

from weighstation.monitor.plausibility import FlagKind
from weighstation.report.dossier import Scope
from weighstation.report.dossier.questions import questions
from weighstation.report.giveaway import Span
from weighstation.simulate.year import Year, YearCauses, YearLines
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import open_for_reading, open_for_writing

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.report.dossier import Evidence
    from weighstation.simulate.year import Bakery, YearFact, YearTruth

PER_WEEK = 0.002
"""What the drifting divider gains a week, in parts of the scaling weight."""

CLEAN = YearCauses().without("hand_drifts", "scale_goes_off", "weights_are_typed")
Told = dict[str, Any]


def monday_of(fact: YearFact) -> date:
    """Return the Monday of the week in which a fact was written down, UTC."""
    day = datetime.fromtimestamp(fact.t_utc_ms / 1000, tz=UTC).date()
    return day - timedelta(days=day.weekday())


def week_of(monday: date) -> Span:
    """Return the days of a week."""
    return Span(monday, monday + timedelta(days=6), UTC)


def name_of(monday: date) -> str:
    """Return the name of a week, as ``2025-W07``."""
    return f"{monday:%G-W%V}"


def written_weeks(year: Year, home: Home) -> Iterator[date]:
    """Write a year week by week into the journal of a home; yield each Monday of the year after.

    The last late voids fall into weeks in which nothing else is done; these are not yielded.
    """
    lines = YearLines(currency=CURRENCY)
    last = year.truth.open_days[-1]
    for monday, facts in groupby(year.facts(), key=monday_of):
        with closing(
            open_for_writing(home.journal_path, journal_id="5eed" * 8, station="bakery")
        ) as store:
            append_many(store, lines.of(facts))
        if monday <= last:
            yield monday


def evidence_in(home: Home, monday: date) -> Evidence:
    """Return what the dossier of a week rests on."""
    with closing(open_for_reading(home.journal_path)) as store, store.one_moment():
        meant, scope = Meant(span=week_of(monday)), Scope("week", UTC)
        return evidence_of(store, home, meant, scope, Patience())


def said(home: Home, command: str, first: date, last: date, *more: str) -> tuple[int, Told]:
    """Return how a command ended, and what it said of some days."""
    span = ("--from", str(first), "--to", str(last), "--json", "--home", str(home.folder))
    ended = subprocess.run(
        [sys.executable, "-m", "weighstation", command, *span, *more],
        env={**os.environ, "TZ": "UTC"},
        capture_output=True,
        text=True,
        check=False,
    )
    if ended.returncode not in (0, 1):
        raise SystemExit(ended.stderr)
    return ended.returncode, json.loads(ended.stdout)


@dataclass
class Weeks:
    """What was told of each week."""

    names: list[str] = field(default_factory=list)
    giveaway_pct: list[float] = field(default_factory=list)
    mind: dict[str, list[str]] = field(default_factory=dict)
    asked: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    unfit: dict[str, list[str]] = field(default_factory=dict)
    doubtful: dict[str, int] = field(default_factory=dict)
    bad: list[str] = field(default_factory=list)
    first_pct: defaultdict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    took_s: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))

    def ask(self, home: Home, monday: date) -> None:
        """Run both commands for a week."""
        week, name = week_of(monday), name_of(monday)
        self.names.append(name)
        began_s = time.perf_counter()
        _, statement = said(home, "giveaway", week.first, week.last)
        between_s = time.perf_counter()
        code, dossier = said(home, "dossier", week.first, week.last, "--people")
        self.took_s["giveaway"] += between_s - began_s
        self.took_s["dossier"] += time.perf_counter() - between_s
        self._statement(name, statement)
        self._dossier(name, dossier)
        if code:
            self.bad.append(name)

    def _statement(self, name: str, record: Told) -> None:
        self.giveaway_pct.append(record["giveaway_pct"])
        mind = [said for said in record.get("mind", ()) if "a simulation" not in said]
        if mind:
            self.mind[name] = mind

    def _dossier(self, name: str, record: Told) -> None:
        for each in record["questions"]:
            self.asked[name, each["kind"], each["of"]] += 1
        unfit = [f"{one['scale']} {one['time']}" for one in record["checks"] if not one["is_fit"]]
        if unfit:
            self.unfit[name] = unfit
        doubtful = sum(len(batch["doubtful"]) for batch in record["batches"])
        if doubtful:
            self.doubtful[name] = doubtful
        for person, pct in first_cuts_pct(record["batches"]).items():
            self.first_pct[person].append(pct)


def first_cuts_pct(batches: Sequence[Told]) -> dict[str, float]:
    """Return how far first cuts of each person lie off the scaling weight, over all batches."""
    off: defaultdict[str, list[tuple[int, float]]] = defaultdict(list)
    for batch in batches:
        if batch["first_mean_g"] is not None:
            share = batch["first_mean_g"] / batch["scaling_weight_g"] - 1
            off[batch["person"]].append((batch["pieces"], 100 * share))
    return {
        person: sum(n * pct for n, pct in shares) / sum(n for n, _ in shares)
        for person, shares in off.items()
    }


def told_of(ramp: Ramp, names: Sequence[str]) -> str:
    """Return where a rise was found, in words."""
    until = names[ramp.until] if ramp.until < len(names) else "the end"
    return (
        f"{names[ramp.first]} to before {until}, {ramp.slope:+.3f} % a week,"
        f" {ramp.explained:.0%} of the squares"
    )


def show_truth(truth: YearTruth) -> None:
    """Print what went on."""
    drifted, off, typed = truth.drifted, truth.scale_off, truth.typed
    if drifted:
        print(
            f"went on: {drifted.person} drifted {drifted.since} ({name_of(drifted.since)})"
            f" until {drifted.until} ({name_of(drifted.until)}),"
            f" {100 * drifted.per_week:.2f} % a week"
        )
    if off:
        print(f"went on: {off.scale} off since {off.since} ({name_of(off.since)}), {off.found}")
    if typed:
        first, last = typed.days[0], typed.days[-1]
        print(f"went on: {typed.person} typed {first} ({name_of(first)}) to {last}", flush=True)


def with_causes(seed: int, *, by_hand: bool) -> None:
    """Write a year with causes, ask it, and print what was found beside what went on."""
    bakery = priced_bakery() if by_hand else dividers(per_week=PER_WEEK)
    year, weeks = Year(bakery, seed=seed), Weeks()
    with tempfile.TemporaryDirectory() as folder:
        home = Home.find(Path(folder))
        for monday in written_weeks(year, home):
            weeks.ask(home, monday)
        first, last = year.truth.open_days[0], year.truth.open_days[-1]
        _, whole = said(home, "giveaway", first, last)
    print(f"{'by hand' if by_hand else 'by machine'}, seed {seed}: {whole['pieces']} pieces")
    show_truth(year.truth)
    show(weeks, whole)


def show(weeks: Weeks, whole: Told) -> None:
    """Print what was found."""
    by_week = whole["by"]["week"]
    trend = best_ramp([each["giveaway_pct"] for each in by_week])
    print("statement, trend of the year:", told_of(trend, [each["name"] for each in by_week]))
    print("statements of the weeks:     ", told_of(best_ramp(weeks.giveaway_pct), weeks.names))
    for name, lines in weeks.mind.items():
        for line in lines:
            print(f"statement, {name}: {line}")
    for person, row in sorted(weeks.first_pct.items()):
        names = weeks.names[-len(row) :]
        print(f"dossiers, first cuts of {person}: {told_of(best_ramp(row), names)}")
    for name in weeks.names:
        if name in weeks.unfit or name in weeks.doubtful:
            print(f"dossier, {name}: {weeks.doubtful.get(name, 0)} doubtful; {weeks.unfit}")
    for (name, kind, of), times in sorted(weeks.asked.items()):
        print(f"dossier, {name}: {kind}, {of}" + (f", {times} times" if times > 1 else ""))
    print(f"dossiers that left with 1, of {len(weeks.names)}: {', '.join(weeks.bad)}")
    for command, took_s in weeks.took_s.items():
        print(f"{command}: {took_s / len(weeks.names):.2f} s a week by the clock", flush=True)


def clean(bakery: Bakery, seeds: range) -> Counter[str]:
    """Return how often anything was asked or found wrong in years in which nothing was."""
    total: Counter[str] = Counter()
    for seed in seeds:
        count: Counter[str] = Counter()
        began_s = time.process_time()
        with tempfile.TemporaryDirectory() as folder:
            home = Home.find(Path(folder))
            for monday in written_weeks(Year(bakery, CLEAN, seed=seed), home):
                count += asked_in(evidence_in(home, monday), name_of(monday))
            last = Span(date(2025, 1, 1), date(2025, 12, 31), UTC)
            _, whole = said(home, "giveaway", last.first, last.last)
        trend = best_ramp([each["giveaway_pct"] for each in whole["by"]["week"]])
        print(
            f"seed {seed}: {dict(count)}, {time.process_time() - began_s:.0f} s of processor time"
        )
        print(
            f"  best rise by chance: {trend.slope:+.4f} % a week, {trend.explained:.0%}", flush=True
        )
        total += count
    return total


def asked_in(evidence: Evidence, week: str) -> Counter[str]:
    """Return what the dossier of a week asks, by kind, and what it finds wrong."""
    count: Counter[str] = Counter(weeks=1, batches=len(evidence.batches), pieces=evidence.kept.n)
    for each in questions(evidence):
        print(f"  {week}: {each.flag.kind.value}, {each.of}: {each.flag.text}", flush=True)
        count[each.flag.kind.value] += 1
    count["doubtful"] = sum(len(batch.figures.doubtful) for batch in evidence.batches)
    count["unfit"] = sum(not check.said.is_fit for check in evidence.checks)
    count["faults"] = bool(evidence.proof.fault) + (evidence.proof.set_back is not None)
    return count


def main() -> None:
    """Do what the options say."""
    words = argparse.ArgumentParser()
    words.add_argument("seed", nargs="?", type=int, default=1)
    words.add_argument("--hands", action="store_true")
    words.add_argument("--clean", type=int, default=0, metavar="YEARS")
    asked = words.parse_args()
    if not asked.clean:
        with_causes(asked.seed, by_hand=asked.hands)
        return
    bakery = priced_bakery() if asked.hands else dividers(per_week=PER_WEEK)
    total = clean(bakery, range(asked.seed, asked.seed + asked.clean))
    kinds = [*(kind.value for kind in FlagKind), "doubtful", "unfit", "faults"]
    print(f"{asked.clean} clean years, {total['pieces']} pieces, {total['batches']} batches:")
    print("  " + ", ".join(f"{kind} {total[kind]}" for kind in kinds))


if __name__ == "__main__":
    main()

"""Flags on honest years, and how many cheated weeks are flagged.

A year is three products, four people and 52 weeks of about 150 pieces a day, six days a week, as
``weighstation.simulate.year`` makes it: drifting hands, a scale that goes off, doughs that age and
differ, neighbours that hang together, a division, and a band by which every piece is sorted. Each
week of a person at a product is asked with the thirteen before it. Harder benches follow: a year
each of hands that trim just inside the limit, that correct finely, of doughs that differ more, of
neighbours that agree more, of other divisions. Then honest weeks are cheated in, one way at a time.

The same weeks are counted at 1 in 100 too: ten years without a flag would not tell a level of one
in a hundred thousand from one of one in ten thousand.

Run: python tests/benchmarks/false_flags.py [years, 10] [--harder] [--cheats]
"""

from __future__ import annotations

import statistics
import sys
import time
from collections import Counter, defaultdict, deque
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from itertools import chain
from random import Random
from typing import TYPE_CHECKING

from weighstation.events import Verdict
from weighstation.monitor.plausibility import (
    ALPHA,
    FormerWeeks,
    PiecesOfAWeek,
    clock_disagrees,
    clock_set_back,
    entered_late,
    flags_of_week,
)
from weighstation.simulate.year import (
    Bakery,
    PieceWeighed,
    RunBegan,
    RunClosed,
    Year,
    YearCauses,
    invented_bakery,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from weighstation.monitor.plausibility import Flag

HONEST = YearCauses().without("weights_are_typed")
FORMER = 13
LAX = 0.01
"""A level at which honest weeks are flagged often enough to be counted against what is expected."""

Key = tuple[int, str, str]


@dataclass
class Week:
    """What one person divided of one product in a week."""

    began: RunBegan
    kept_mg: list[list[int]] = field(default_factory=list)
    first_mg: list[list[int]] = field(default_factory=list)

    def asked(self) -> PiecesOfAWeek:
        """Return it as it is asked about."""
        limits = self.began.product.limits
        return PiecesOfAWeek(limits, self.began.division_mg, self.kept_mg, self.first_mg)


def weeks_of(year: Year, count: Counter[str]) -> Iterator[tuple[Key, Week]]:
    """Yield the weeks of a year as they end; lines are asked for their times meanwhile."""
    weeks: dict[Key, Week] = {}
    runs: dict[str, tuple[RunBegan, list[PieceWeighed]]] = {}
    now, lines_ms = 0, []
    for fact in year.facts():
        lines_ms.append(fact.t_utc_ms)
        if isinstance(fact, RunBegan):
            runs[fact.run] = (fact, [])
        elif isinstance(fact, PieceWeighed):
            runs[fact.run][1].append(fact)
        elif isinstance(fact, RunClosed):
            began, pieces = runs.pop(fact.run)
            ask_times(began, pieces, count)
            number = week_number(began.t_utc_ms)
            if number != now:
                now = number
                yield from weeks.items()
                weeks = {}
            add(weeks.setdefault((now, began.person, began.product.name), Week(began)), pieces)
    yield from weeks.items()
    note(count, [clock_set_back(lines_ms)])


def week_number(t_utc_ms: int) -> int:
    """Return the week of a time, from Monday."""
    return (datetime.fromtimestamp(t_utc_ms / 1000, tz=UTC).toordinal() - 1) // 7


def add(week: Week, pieces: list[PieceWeighed]) -> None:
    """Put a run into its week."""
    week.first_mg.append([fact.piece.first_mg or 0 for fact in pieces])
    week.kept_mg.append(
        [fact.piece.final_mg for fact in pieces if fact.piece.verdict is Verdict.KEEP]
    )


def ask_times(began: RunBegan, pieces: list[PieceWeighed], count: Counter[str]) -> None:
    """Ask the lines of a run for their times."""
    utc_ms = [fact.t_utc_ms for fact in pieces]
    own_ms = [fact.piece.off_ms for fact in pieces]
    said_ms = [began.t_utc_ms + fact.piece.placed_ms for fact in pieces]
    note(count, [clock_disagrees(utc_ms, own_ms, clock_utc_ms=began.t_utc_ms)])
    note(count, [entered_late(said_ms, utc_ms)])


def note(count: Counter[str], flags: Iterable[Flag | None]) -> None:
    """Count flags by kind and show them."""
    for flag in flags:
        if flag:
            count[flag.kind.value] += 1
            print(f"    {flag.kind.value}: {flag.text}")


def is_flagged(flag: Flag) -> bool:
    """Return whether a flag at the lax level is one at the level of the package."""
    return (flag.p or 0.0) * LAX < (flag.alpha or 0.0) * ALPHA


class Bench:
    """One person at one product over the weeks."""

    def __init__(self) -> None:
        self._kept_sd: deque[float] = deque(maxlen=FORMER)
        self._first_sd: deque[float] = deque(maxlen=FORMER)
        self._kept: deque[list[list[int]]] = deque(maxlen=FORMER)

    def former(self) -> FormerWeeks:
        """Return the weeks before."""
        kept = tuple(chain.from_iterable(self._kept))
        return FormerWeeks(tuple(self._kept_sd), tuple(self._first_sd), kept)

    def add(self, week: Week) -> None:
        """Let a week be one of those before."""
        self._kept_sd.append(statistics.stdev(chain.from_iterable(week.kept_mg)))
        self._first_sd.append(statistics.stdev(chain.from_iterable(week.first_mg)))
        self._kept.append(week.kept_mg)


def honest_years(bakery: Bakery, years: range) -> tuple[Counter[str], int]:
    """Return the flags on honest years, and how many weeks were asked."""
    count: Counter[str] = Counter()
    asked = 0
    for seed in years:
        benches: defaultdict[tuple[str, str], Bench] = defaultdict(Bench)
        for (_, person, product), week in weeks_of(Year(bakery, HONEST, seed=seed), count):
            bench = benches[person, product]
            lax = flags_of_week(week.asked(), bench.former(), alpha=LAX)
            note(count, (flag for flag in lax if is_flagged(flag)))
            count.update({f"lax {kind}" for kind in {flag.kind.value for flag in lax}})
            bench.add(week)
            asked += 1
    return count, asked


def everyone(bakery: Bakery, **habits: float) -> Bakery:
    """Return a bakery whose people share some habits."""
    people = tuple(replace(person, **habits) for person in bakery.people)  # type: ignore[arg-type]
    return replace(bakery, people=people)


def divided_by(bakery: Bakery, division_mg: int) -> Bakery:
    """Return a bakery with scales of another division."""
    scales = tuple(
        replace(scale, division_mg=division_mg, check_limit_mg=max(1000, division_mg))
        for scale in bakery.scales
    )
    return replace(bakery, scales=scales)


def harder() -> dict[str, Bakery]:
    """Return benches at which an honest hand is easily misjudged."""
    usual = invented_bakery()
    return {
        "trim just inside the limit": everyone(usual, aims_inside=0.9),
        "trim halfway inside": everyone(usual, aims_inside=0.5),
        "fine corrections": everyone(usual, miss=0.08),
        "even first cuts, 1 %": everyone(usual, spread=0.01),
        "doughs that differ by 1 %": replace(usual, dough_spread=0.01),
        "neighbours agree by 0.5": replace(usual, agreement=0.5),
        "division 0.1 g": divided_by(usual, 100),
        "division 0.5 g": divided_by(usual, 500),
        "division 2 g": divided_by(usual, 2000),
        "division 5 g": divided_by(usual, 5000),
    }


def rounded(week: Week, weights_mg: list[int]) -> list[int]:
    """Return weights as somebody types them: fives, inside the band."""
    limits, step_mg = week.began.product.limits, 5 * week.began.division_mg
    low_mg, high_mg = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    typed = (round(each_mg / step_mg) * step_mg for each_mg in weights_mg)
    return [each if low_mg <= each <= high_mg else limits.target_mg for each in typed]


def typed_apart(days: int) -> Callable[[Week, Bench, Random], PiecesOfAWeek]:
    """Return the lines that were typed on some days, asked alone."""

    def cheat(week: Week, bench: Bench, rng: Random) -> PiecesOfAWeek:
        del bench, rng
        asked = week.asked()
        return replace(
            asked, kept_mg=[rounded(week, run) for run in week.kept_mg[:days]], first_mg=()
        )

    return cheat


def typed_among(days: int) -> Callable[[Week, Bench, Random], PiecesOfAWeek]:
    """Return a week in which kept weights of some days are round, asked together."""

    def cheat(week: Week, bench: Bench, rng: Random) -> PiecesOfAWeek:
        del bench, rng
        kept = [rounded(week, run) for run in week.kept_mg[:days]] + week.kept_mg[days:]
        return replace(week.asked(), kept_mg=kept, first_mg=())

    return cheat


def evened(sd_divisions: float) -> Callable[[Week, Bench, Random], PiecesOfAWeek]:
    """Return a week whose kept weights were made up, close about the scaling weight."""

    def cheat(week: Week, bench: Bench, rng: Random) -> PiecesOfAWeek:
        del bench
        d_mg, target_mg = week.began.division_mg, week.began.product.limits.target_mg
        kept = [
            [target_mg + round(rng.gauss(0.0, sd_divisions)) * d_mg for _ in run]
            for run in week.kept_mg
        ]
        return replace(week.asked(), kept_mg=kept, first_mg=())

    return cheat


def copied(part: float) -> Callable[[Week, Bench, Random], PiecesOfAWeek]:
    """Return a week into which a part of an earlier day was copied."""

    def cheat(week: Week, bench: Bench, rng: Random) -> PiecesOfAWeek:
        day = rng.choice(bench.former().kept_mg)
        length = max(1, round(part * len(day)))
        at = rng.randrange(len(day) - length + 1)
        kept = [*week.kept_mg[:-1], [*day[at : at + length], *week.kept_mg[-1][length:]]]
        return replace(week.asked(), kept_mg=kept)

    return cheat


def pressed(share: float) -> Callable[[Week, Bench, Random], PiecesOfAWeek]:
    """Return a week in which a share of the slightly light pieces was pressed into the band."""

    def cheat(week: Week, bench: Bench, rng: Random) -> PiecesOfAWeek:
        del bench
        limits, d_mg = week.began.product.limits, week.began.division_mg
        low_mg = limits.target_mg - limits.under_mg

        def shown(first_mg: int) -> int:
            near = low_mg - limits.under_mg <= first_mg < low_mg
            if near and rng.random() < share:
                return low_mg + rng.randrange(3) * d_mg
            return first_mg

        return replace(
            week.asked(), first_mg=[[shown(one) for one in run] for run in week.first_mg]
        )

    return cheat


CHEATS = {
    "one day typed round, asked apart": typed_apart(1),
    "the week typed round, asked apart": typed_apart(6),
    "one day of six round, asked together": typed_among(1),
    "two days of six round, asked together": typed_among(2),
    "three days of six round, asked together": typed_among(3),
    "made up, spread 0.8 d": evened(0.8),
    "made up, spread 1.5 d": evened(1.5),
    "made up, spread 2.5 d": evened(2.5),
    "a day copied": copied(1.0),
    "twenty pieces copied": copied(0.13),
    "half of the slightly light pressed": pressed(0.5),
    "all of the slightly light pressed": pressed(1.0),
}


def cheated(seed: int, after: int = 20, until: int = 40) -> None:
    """Print how many weeks are flagged when one cheat is put into them, by product; any kind."""
    found: Counter[tuple[str, str]] = Counter()
    asked: Counter[str] = Counter()
    benches: defaultdict[tuple[str, str], Bench] = defaultdict(Bench)
    first_week: int | None = None
    for (number, person, product), week in weeks_of(Year(causes=HONEST, seed=seed), Counter()):
        first_week = first_week or number
        bench, rng = benches[person, product], Random(f"{number} {person} {product}")
        if after <= number - first_week < until:
            asked[product] += 1
            for name, cheat in CHEATS.items():
                flags = flags_of_week(cheat(week, bench, rng), bench.former())
                found[name, product] += bool(flags)
        bench.add(week)
    print(f"{'share of weeks flagged':42}" + "".join(f"{product:>14}" for product in asked))
    for name in CHEATS:
        shares = (found[name, product] / asked[product] for product in asked)
        print(f"{name:42}" + "".join(f"{share:14.0%}" for share in shares))
    print(f"{'weeks asked':42}" + "".join(f"{weeks:14}" for weeks in asked.values()))


def printed(name: str, bakery: Bakery, years: range) -> None:
    """Ask honest years and print what was flagged."""
    began_s = time.perf_counter()
    count, asked = honest_years(bakery, years)
    took_s = time.perf_counter() - began_s
    kinds = ("too neat", "too even", "entered late", "clock stepped", "repeated", "just inside")
    print(f"{name}: {len(years)} years, {asked} weeks, {took_s:.0f} s; flags on honest weeks:")
    print("  " + ", ".join(f"{kind} {count[kind]}" for kind in kinds))
    asked_by_chance = [kind for kind in kinds if kind not in ("entered late", "clock stepped")]
    lax = ", ".join(f"{kind} {count[f'lax {kind}']}" for kind in asked_by_chance)
    print(f"  at 1 in 100, where at most {LAX * asked:.0f} are expected: {lax}", flush=True)


def main() -> None:
    """Ask as the options say; without one, only the honest years."""
    options = [option for option in sys.argv[1:] if option.startswith("--")]
    numbers = [int(word) for word in sys.argv[1:] if not word.startswith("--")]
    if "--harder" in options:
        for name, bakery in harder().items():
            printed(name, bakery, range(100, 101))
    if "--cheats" in options:
        cheated(seed=1000)
    if not options:
        printed("invented bakery", invented_bakery(), range(1, 1 + (numbers[0] if numbers else 10)))


if __name__ == "__main__":
    main()

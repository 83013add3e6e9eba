"""A week of a dossier is held against the weeks before it of the same person and product."""

from __future__ import annotations

import random
from array import array
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from statistics import stdev
from typing import TYPE_CHECKING

import pytest
from audited_bench import COUNTRY, Bench

from weighstation.monitor.plausibility import FlagKind
from weighstation.report.dossier import Evidence, Scope
from weighstation.report.dossier.former import MOST_WEEKS, FormerRun, History
from weighstation.report.dossier.questions import questions
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path

WIDE = replace(COUNTRY, limits=replace(COUNTRY.limits, under_mg=100_000, over_mg=100_000))
FIRST, WEEKS = datetime(2024, 3, 4, 4, tzinfo=UTC), 10


def weekly(store: MemoryStore, *, last_person: str = "AK", copied: bool = False) -> None:
    """Write ten weeks of one batch, the last cut four times as evenly, or copied from another."""
    bench = Bench(store)
    bench.check()
    for week in range(WEEKS):
        bench.now = FIRST + timedelta(weeks=week)
        is_last = week == WEEKS - 1
        bench.begin(f"week{week:04}", WIDE, person=last_person if is_last else "AK")
        drawn = random.Random(3 if copied and is_last else week)
        for _ in range(60):
            off_g = drawn.gauss(0.0, 20.0) * (0.25 if is_last and not copied else 1.0)
            bench.kept(round(740 + off_g))
        bench.end()
    bench.check()


def asked(store: MemoryStore, folder: Path, run: str) -> list[FlagKind]:
    return [each.flag.kind for each in questions(read(store, folder, run))]


def read(store: MemoryStore, folder: Path, run: str) -> Evidence:
    scope = Scope("test", UTC)
    return evidence_of(store, Home(folder), Meant(run), scope, Patience(60.0))


@pytest.fixture
def store() -> MemoryStore:
    return MemoryStore(journal_id="0f" * 16, station="bench-1")


def test_a_spread_far_below_that_of_the_weeks_before_is_asked_about(
    store: MemoryStore, tmp_path: Path
) -> None:
    weekly(store)
    found = questions(read(store, tmp_path, "week0009"))

    assert any("in its 9 weeks before" in each.flag.text for each in found)
    assert {FlagKind.EVEN} == {each.flag.kind for each in found}
    assert {("week0009",)} == {each.runs for each in found}


def test_an_honest_week_is_asked_nothing(store: MemoryStore, tmp_path: Path) -> None:
    weekly(store)

    assert [] == asked(store, tmp_path, "week0008")


def test_weeks_of_another_person_are_not_compared_with(store: MemoryStore, tmp_path: Path) -> None:
    weekly(store, last_person="JS")

    assert () == read(store, tmp_path, "week0009").former
    assert [] == asked(store, tmp_path, "week0009")


def test_weights_copied_from_a_week_before_the_dossier_are_found(
    store: MemoryStore, tmp_path: Path
) -> None:
    weekly(store, copied=True)

    assert FlagKind.REPEATED in asked(store, tmp_path, "week0009")


def former(began: str, weights_g: list[int]) -> tuple[str, FormerRun]:
    mg = array("q", (1000 * weight for weight in weights_g))
    return began, FormerRun("Country loaf", "AK", COUNTRY.limits, 1000, 0, mg, array("q"))


def test_a_history_has_the_thirteen_weeks_before_and_no_later_one() -> None:
    """Standard deviations by Python's statistics."""
    drawn = random.Random(1)
    weights = [[round(drawn.gauss(740, 4)) for _ in range(40)] for _ in range(20)]
    weeks = dict(former(f"2026-W{week:02}", weights[week]) for week in range(20))
    history = History({week: [run] for week, run in weeks.items()})
    found = history.before("2026-W19")

    assert MOST_WEEKS == 13
    assert found.kept_sd_mg == tuple(stdev(1000 * g for g in week) for week in weights[7:19])
    assert () == found.first_sd_mg
    assert 12 == len(found.kept_mg)


def test_a_week_of_too_few_pieces_has_no_spread_but_can_be_copied_from() -> None:
    week, run = former("2026-W10", [740, 741, 742])
    found = History({week: [run]}).before("2026-W11")

    assert ((), 1) == (found.kept_sd_mg, len(found.kept_mg))

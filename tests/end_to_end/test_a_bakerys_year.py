"""A whole year of a bakery: what went wrong in it is found, at dates that nothing here is told.

Fewer pieces to a dough than a bakery divides; ``tests/benchmarks/year_told.py`` asks years of the
whole size.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from contextlib import closing
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from year_asked import asked_of, doubtful_of, week_of
from year_journal import dividers, write_year
from year_ramp import best_ramp

from weighstation.monitor.plausibility import FlagKind
from weighstation.simulate.year import (
    PieceStruckOut,
    PieceWeighed,
    RunBegan,
    ScaleTried,
    WeightTyped,
    Year,
    YearFact,
    YearTruth,
)
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from weighstation.station.stores import Store

PIECES, PER_WEEK = 14, 0.002
YEAR = ("2025-01-01", "2025-12-31")


@dataclass(frozen=True)
class Played:
    """A year in a journal, and what went on in it."""

    home: Path
    truth: YearTruth
    facts: tuple[YearFact, ...]


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Played:
    """The year, written down."""
    home = tmp_path_factory.mktemp("year")
    bakery = dividers(per_week=PER_WEEK, pieces=PIECES, struck_out=0.004, struck_out_late=0.004)
    year = Year(bakery, seed=11)
    facts = tuple(year.facts())
    write_year(home / "journal.sqlite", facts)
    return Played(home, year.truth, facts)


@pytest.fixture
def store(played: Played) -> Iterator[Store]:
    with closing(open_for_reading(played.home / "journal.sqlite")) as store:
        yield store


def told(home: Path, command: str, first: str, last: str) -> tuple[int, dict[str, Any]]:
    """Return how a command ended, and what it said of some days."""
    span = ("--from", first, "--to", last, "--json", "--home", str(home))
    said = subprocess.run(
        [sys.executable, "-m", "weighstation", command, *span],
        env={**os.environ, "TZ": "UTC"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert said.returncode in (0, 1), said.stderr
    return said.returncode, json.loads(said.stdout)


def test_the_weeks_of_the_statement_show_the_drift(played: Played) -> None:
    """Of the share given away; one of four drifts, so that a week rises by a quarter of its drift.

    Where it begins and ends is found to a week, how steep it is to a quarter.
    """
    weeks = told(played.home, "giveaway", *YEAR)[1]["by"]["week"]
    names = [week["name"] for week in weeks]
    found = best_ramp([week["giveaway_pct"] for week in weeks])
    drifted = played.truth.drifted

    assert drifted is not None
    since, until = (names.index(f"{day:%G-W%V}") for day in (drifted.since, drifted.until))
    assert abs(found.first - since) <= 1
    assert abs(found.until - until) <= 1
    assert found.slope == pytest.approx(100 * PER_WEEK / 4, rel=0.25)


def test_who_typed_is_asked_and_nobody_else(played: Played, store: Store) -> None:
    typed = played.truth.typed
    asked = list(asked_of(store))
    weeks = {f"{day:%G-W%V}" for day in typed.days} if typed else set()

    assert typed is not None
    assert {typed.person} == {each.person for each in asked}
    assert {each.week for each in asked} <= weeks
    assert {FlagKind.NEAT, FlagKind.LATE} <= {each.flag.kind for each in asked}
    of_product = {each.product for each in asked if each.flag.kind is FlagKind.NEAT}
    assert of_product >= {"Tin loaf", "Hearth loaf"}


def doubted(played: Played) -> set[tuple[str, int]]:
    """Return what was weighed on the failed scale since its last good check, and still counts."""
    (failed,) = (f for f in played.facts if isinstance(f, ScaleTried) and not f.is_fit)
    good_ms = max(
        fact.t_utc_ms
        for fact in played.facts
        if isinstance(fact, ScaleTried)
        and (fact.scale, fact.is_fit) == (failed.scale, True)
        and fact.t_utc_ms < failed.t_utc_ms
    )
    began = {f.run: f for f in played.facts if isinstance(f, RunBegan)}
    weighed = {
        (f.run, f.piece.number)
        for f in played.facts
        if isinstance(f, PieceWeighed)
        and began[f.run].scale == failed.scale
        and good_ms < f.t_utc_ms < failed.t_utc_ms
    }
    return weighed - {
        (f.run, f.piece.number) for f in played.facts if isinstance(f, PieceStruckOut)
    }


def test_pieces_since_the_last_good_check_are_doubtful(played: Played, store: Store) -> None:
    expected = doubted(played)

    assert len(expected) > 100
    assert expected == doubtful_of(store)


def test_the_dossier_of_those_days_lists_the_same_pieces(played: Played) -> None:
    off = played.truth.scale_off
    assert off is not None
    code, record = told(played.home, "dossier", str(off.last_good), str(off.found))
    found = {
        (batch["batch"], number) for batch in record["batches"] for number in batch["doubtful"]
    }

    assert (1, doubted(played)) == (code, found)


def minded(record: dict[str, Any]) -> list[str]:
    """Return what a statement minds, but that all of a simulated year is simulated."""
    (stood_in,) = (said for said in record["mind"] if "a simulation or a recording" in said)
    return [said for said in record["mind"] if said != stood_in]


def test_the_statements_of_those_days_say_how_many_pieces_are_doubtful(played: Played) -> None:
    off = played.truth.scale_off
    assert off is not None
    _, record = told(played.home, "giveaway", str(off.last_good), str(off.found))
    before = off.last_good - timedelta(days=7)
    _, week_before = told(played.home, "giveaway", str(before), str(before + timedelta(days=6)))

    assert [f"{len(doubted(played))} pieces in "] == [
        said.partition("in ")[0] + "in " for said in minded(record)
    ]
    assert off.scale in minded(record)[0]
    assert [] == minded(week_before)


def test_the_statement_of_the_typed_days_says_that_no_scale_weighed_them(played: Played) -> None:
    typed = played.truth.typed
    assert typed is not None
    _, record = told(played.home, "giveaway", str(typed.days[0]), str(typed.days[-1]))
    pieces = sum(isinstance(fact, WeightTyped) for fact in played.facts)

    assert 100 < pieces
    assert [f"{pieces} pieces in "] == [said.partition("in ")[0] + "in " for said in minded(record)]
    assert "typed.csv" in minded(record)[0]


def test_the_dossier_asks_about_the_typed_week_and_not_about_the_one_before(
    played: Played,
) -> None:
    typed = played.truth.typed
    assert typed is not None
    monday = typed.days[0] - timedelta(days=typed.days[0].weekday())
    first, last = str(monday), str(monday + timedelta(days=6))
    _, record = told(played.home, "dossier", first, last)
    week = timedelta(days=7)
    _, before = told(played.home, "dossier", str(monday - week), str(monday - timedelta(days=1)))

    assert {"too neat", "entered late"} == {each["kind"] for each in record["questions"]}
    assert [] == before["questions"]


def test_late_voids_are_out_of_the_week_they_were_weighed_in(played: Played, store: Store) -> None:
    weighed = {
        (f.run, f.piece.number): week_of(f.t_utc_ms)
        for f in played.facts
        if isinstance(f, PieceWeighed)
    }
    late = [
        f
        for f in played.facts
        if isinstance(f, PieceStruckOut) and week_of(f.t_utc_ms) != weighed[f.run, f.piece.number]
    ]
    counted = {(f.run, piece.number) for f in late for piece in store.pieces(f.run)}

    assert len(late) > 50
    assert not counted & {(f.run, f.piece.number) for f in late}
    assert store.verify() == store.head()

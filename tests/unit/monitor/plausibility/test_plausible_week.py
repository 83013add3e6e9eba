"""A week is asked everything, and each kind keeps its share of false alarms."""

from __future__ import annotations

import statistics
from dataclasses import replace

import pytest
from honest_bench import LIMITS, first_cuts, kept

from weighstation.monitor.plausibility import (
    ALPHA,
    FlagKind,
    FormerWeeks,
    PiecesOfAWeek,
    flags_of_week,
)
from weighstation.monitor.plausibility.week import EVEN_TESTS, NEAT_TESTS


def week(seed: int) -> PiecesOfAWeek:
    cuts = [first_cuts(150, seed=10 * seed + day) for day in range(6)]
    return PiecesOfAWeek(LIMITS, 1000, [kept(day, seed=seed) for day in cuts], cuts)


def flat(runs: object) -> list[int]:
    assert isinstance(runs, (list, tuple))
    return [each for run in runs for each in run]


@pytest.fixture(scope="module")
def former() -> FormerWeeks:
    weeks = [week(seed) for seed in range(200, 209)]
    return FormerWeeks(
        kept_sd_mg=[statistics.stdev(flat(one.kept_mg)) for one in weeks],
        first_sd_mg=[statistics.stdev(flat(one.first_mg)) for one in weeks],
        kept_mg=[run for one in weeks for run in one.kept_mg],
    )


def test_honest_weeks_have_no_flag(former: FormerWeeks) -> None:
    assert [()] * 10 == [flags_of_week(week(seed), former) for seed in range(10)]
    assert () == flags_of_week(PiecesOfAWeek(LIMITS, 1000, ()))


def test_a_typed_week_is_too_neat_and_nothing_is_said_of_first_cuts(former: FormerWeeks) -> None:
    honest = week(1)
    typed = [[round(each / 5000) * 5000 for each in run] for run in honest.kept_mg]
    flags = flags_of_week(replace(honest, kept_mg=typed, first_mg=()), former)

    assert FlagKind.NEAT in {flag.kind for flag in flags}
    assert FlagKind.INSIDE not in {flag.kind for flag in flags}


def test_the_tests_of_a_kind_share_its_alpha(former: FormerWeeks) -> None:
    honest = week(1)
    equal = replace(honest, kept_mg=[[743_000] * 150] * 6, first_mg=[[743_000] * 150] * 6)
    round_ones = replace(honest, kept_mg=[[740_000, 745_000] * 75] * 6)
    even = [flag for flag in flags_of_week(equal, former) if flag.kind is FlagKind.EVEN]
    neat = [flag for flag in flags_of_week(round_ones, former) if flag.kind is FlagKind.NEAT]

    assert {ALPHA / EVEN_TESTS} == {flag.alpha for flag in even}
    assert 3 < len(even) <= EVEN_TESTS
    assert {ALPHA / NEAT_TESTS / 2} == {flag.alpha for flag in neat}


def test_a_copied_day_and_pressed_pieces_are_flagged(former: FormerWeeks) -> None:
    honest = week(2)
    copied = replace(honest, kept_mg=[*honest.kept_mg[:5], former.kept_mg[3]])
    shown = [
        [732_000 if 727_000 <= each < 732_000 else each for each in run] for run in honest.first_mg
    ]

    assert [FlagKind.REPEATED] == [flag.kind for flag in flags_of_week(copied, former)]
    assert FlagKind.INSIDE in {
        flag.kind for flag in flags_of_week(replace(honest, first_mg=shown), former)
    }

"""A sequence of weights that comes twice is flagged; chance and coarse scales are not."""

from __future__ import annotations

import math

import pytest
from honest_bench import first_cuts, kept

from weighstation.monitor.plausibility import FlagKind, repeated


def days(count: int, seed: int = 1) -> list[list[int]]:
    return [kept(first_cuts(150, seed=100 * seed + day), seed=day) for day in range(count)]


def test_a_copied_day_is_flagged_and_both_places_are_named() -> None:
    former, latest = days(12), days(6, seed=2)
    latest[4] = list(former[7])
    flag = repeated(latest, former_mg=former)

    assert flag is not None
    assert (FlagKind.REPEATED, 150, 18 * 150) == (flag.kind, flag.count, flag.n)
    assert (7, 0, 16, 0) == tuple(flag.figures.values())
    assert "150 weights in a row are those of an earlier place" in flag.text


def test_the_chance_of_a_match_is_at_most_pairs_times_shares() -> None:
    """Two equal runs of twelve marks that came once each: 24 x 24 (1.5 / 12)^12, by hand."""
    run = [1000 * mark for mark in range(700, 712)]
    flag = repeated([run, run], alpha=1e-3)

    assert flag is not None
    assert flag.p is not None
    assert math.isclose(24 * 24 * (1.5 / 12) ** 12, flag.p, rel_tol=1e-9)


def test_a_part_of_a_day_is_found_wherever_it_stands() -> None:
    former, latest = days(12), days(1, seed=3)
    latest[0][60:85] = former[3][100:125]
    flag = repeated(latest, former_mg=former)

    assert flag is not None
    assert flag.count is not None
    assert flag.count >= 25
    assert (3, 12) == (flag.figures["first_run"], flag.figures["again_run"])


def test_within_one_run_a_match_does_not_overlap_itself() -> None:
    run = kept(first_cuts(40, seed=5), seed=5)
    flag = repeated([run + run])

    assert flag is not None
    assert 40 == flag.count


@pytest.mark.parametrize("seed", range(5))
def test_honest_weeks_are_not_flagged(seed: int) -> None:
    assert repeated(days(6, seed=10 + seed), former_mg=days(30, seed=50 + seed)) is None


def test_weights_that_a_coarse_scale_shows_alike_are_nothing() -> None:
    rolls = [[70_000] * 150 for _ in range(6)]

    assert repeated(rolls, former_mg=rolls) is None
    assert repeated([]) is None
    assert repeated([[740_000] * 9], former_mg=days(2)) is None


def test_former_runs_that_are_alike_are_not_asked_again() -> None:
    former = days(3)

    assert repeated(days(1, seed=4), former_mg=[*former, former[0]]) is None

"""Dough weighed back between boards, each stretch held against the others."""

from __future__ import annotations

import math
import statistics
from dataclasses import replace

import pytest

from weighstation.evaluate.stretch import Stretch, judged, scale_part_mg

GOOD = Stretch(
    before_mg=20_000_000,
    after_mg=15_560_000,
    counted_mg=4_434_000,
    pieces=6,
    lumps=4,
    division_mg=1000,
)
"""Six pieces of 739 g; 6 g stuck to bench and hands."""


def out_mg(*stretches: Stretch) -> list[int]:
    return [result.out_mg for result in judged(stretches)]


def lost(grams: int) -> Stretch:
    return replace(GOOD, after_mg=GOOD.after_mg - grams * 1000)


def test_what_is_gone_is_what_left_and_was_not_counted() -> None:
    assert 6_000 == GOOD.gone_mg


def test_the_scale_part_is_that_of_the_guide() -> None:
    """JCGM 100:2008 (from memory), F.2.2.1: u = d / sqrt(12) for a reading; 4.3.7: d / sqrt(3) for
    a lump that is wrong by up to d, and d / 4 / sqrt(3) for a zero set to a quarter of a division
    (OIML R 76-1, 4.5.2, from memory), which 5.2.2 adds up over the pieces; k = 2."""
    piece, lump, zero = 1 / 12, 1 / 12 + 1 / 3, 6 * (1 / 4) / math.sqrt(3)

    assert 2000 * math.sqrt(6 * piece + 4 * lump + zero**2) == pytest.approx(GOOD.scale_mg, abs=1)
    assert 5 * scale_part_mg(6, 4, 1000) == pytest.approx(scale_part_mg(6, 4, 5000), abs=5)


def test_what_a_bench_loses_as_usual_is_not_told() -> None:
    assert [0] * 5 == out_mg(*[lost(14)] * 5)


def test_one_stretch_in_five_stands_out() -> None:
    results = judged([GOOD, GOOD, lost(60), GOOD, GOOD])

    assert [0, 0, 60_000, 0, 0] == [result.out_mg for result in results]


def test_what_differs_anyway_widens_the_slack() -> None:
    """Three times 1.4826 times the median deviation, as common practice has it for outliers."""
    losses_g = (0, 4, 8, 12, 24)
    results = judged([lost(grams) for grams in losses_g])
    middle = statistics.median(losses_g)
    mad_g = statistics.median(abs(grams - middle) for grams in losses_g)
    wide_mg = 3 * 1.4826 * mad_g * 1000

    assert [wide_mg + GOOD.scale_mg] * 5 == pytest.approx(
        [result.slack_mg for result in results], abs=2
    )
    assert [0] * 5 == [result.out_mg for result in results]


def test_a_cloth_on_every_board_is_told_of_every_board() -> None:
    """Then the usual is not below nothing: dough does not grow."""
    assert [-114_000] * 5 == out_mg(*[lost(-120)] * 5)


def test_below_four_stretches_a_fiftieth_may_be_lost_and_nothing_gained() -> None:
    assert [0, 0] == out_mg(lost(70), GOOD)
    assert [106_000, 0] == out_mg(lost(100), GOOD)
    assert [-24_000, 0] == out_mg(lost(-30), GOOD)


def test_less_than_two_grams_a_kilogram_is_no_news() -> None:
    fine = replace(GOOD, division_mg=100)

    assert [0] * 4 == out_mg(*[fine] * 3, replace(fine, after_mg=fine.after_mg - 8_000))
    assert 10_000 == out_mg(*[fine] * 3, replace(fine, after_mg=fine.after_mg - 10_000))[-1]


def test_no_stretch_says_nothing() -> None:
    assert () == judged([])

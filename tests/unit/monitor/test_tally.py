"""A tally gives the figures of its pieces without them."""

from __future__ import annotations

import statistics
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor import Tally

TARGET_MG, DIVISION_MG = 740_000, 1000
steps = st.lists(st.integers(-60, 60), min_size=2, max_size=80)


def tally_of(some: list[int]) -> Tally:
    net_mg = [TARGET_MG + step * DIVISION_MG for step in some]
    return Tally.of(net_mg, target_mg=TARGET_MG, division_mg=DIVISION_MG)


@given(steps)
def test_figures_are_those_of_the_pieces(some: list[int]) -> None:
    net_mg = [TARGET_MG + step * DIVISION_MG for step in some]
    tally = tally_of(some)

    assert len(some) == tally.n
    assert Fraction(sum(net_mg), len(net_mg)) == tally.mean_mg
    assert statistics.variance(map(Fraction, net_mg)) == tally.variance_mg2
    assert sum(net_mg) - len(net_mg) * TARGET_MG == tally.giveaway_mg
    assert sum(max(0, each - TARGET_MG) for each in net_mg) == tally.over_sum_mg
    assert sum(each < 732_000 for each in net_mg) == tally.below(732_000)
    assert sum(each > 748_000 for each in net_mg) == tally.above(748_000)


@given(steps, steps)
def test_adding_is_the_same_as_counting_together(left: list[int], right: list[int]) -> None:
    assert tally_of(left) + tally_of(right) == tally_of(left + right)


def test_what_makes_no_tally_is_refused() -> None:
    with pytest.raises(SpecificationError, match="division"):
        Tally(TARGET_MG, 0)
    with pytest.raises(SpecificationError, match="division"):
        Tally.of([1], target_mg=1, division_mg=0)
    with pytest.raises(SpecificationError, match="at least one piece"):
        Tally(TARGET_MG, DIVISION_MG, {1: 0})
    with pytest.raises(SpecificationError, match="cannot be added"):
        _ = Tally(TARGET_MG, DIVISION_MG) + Tally(TARGET_MG, 500)
    with pytest.raises(NotEnoughDataError, match="at least 2 pieces"):
        _ = tally_of([0]).sd_mg
    with pytest.raises(NotEnoughDataError, match="at least 1 piece"):
        _ = Tally(TARGET_MG, DIVISION_MG).mean_mg

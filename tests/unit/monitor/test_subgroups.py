"""Charts of subgroups."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor import chart_constants, xbar_r, xbar_s, xbar_s_of


def pieces(m: int, n: int, seed: int) -> list[list[float]]:
    draw = random.Random(seed)
    return [[draw.gauss(740, 8) for _ in range(n)] for _ in range(m)]


def test_limits_are_the_printed_constants_times_the_mean_range() -> None:
    """A2, D3 and D4 of n = 5 as printed: .577, 0, 2.114 (ASTM MNL 7)."""
    groups = pieces(20, 5, 1)
    charts = xbar_r(groups)
    means = [sum(group) / 5 for group in groups]
    mean_range = sum(max(group) - min(group) for group in groups) / 20
    centre = sum(means) / 20

    assert charts.centre == pytest.approx(centre)
    assert charts.upper == pytest.approx(centre + 0.577 * mean_range, abs=0.001 * mean_range)
    assert charts.lower == pytest.approx(centre - 0.577 * mean_range, abs=0.001 * mean_range)
    assert charts.spread.upper == pytest.approx(2.114 * mean_range, abs=0.001 * mean_range)
    assert charts.spread.lower == 0
    assert charts.sigma == pytest.approx(mean_range / 2.326, rel=1e-4)


def test_loaves_of_the_bakeries_of_a_town() -> None:
    """Mean 106.06 g, limits 115.72 and 96.39 g, ranges up to 40.08 g: a study of loaf weights,
    sjphrt.com.ly v1i2.60, read in an excerpt. That six loaves a bakery fit, with a mean range of
    20.0 and a sigma of 7.9 g, is own arithmetic.
    """
    charts = xbar_r([[106.06 + off * 20.0 for off in (-0.5, -0.2, 0, 0, 0.2, 0.5)]] * 40)

    assert 106.06 == pytest.approx(charts.centre)
    assert 115.72 == pytest.approx(charts.upper, abs=0.02)
    assert 96.39 == pytest.approx(charts.lower, abs=0.02)
    assert 40.08 == pytest.approx(charts.spread.upper, abs=0.02)
    assert 7.9 == pytest.approx(charts.sigma, abs=0.05)


def test_limits_of_unequal_sizes_are_each_size_s_own() -> None:
    """Montgomery's piston rings, table 6.4 (summary and limits from memory, recomputed).

    Grand mean 74.001 and s 0.0103; limits for sizes 5, 3 and 4 as printed: mean 73.986 to 74.016,
    73.981 to 74.021, 73.984 to 74.018; s at most .022, .026, .023.
    """
    charts = xbar_s_of([74.001] * 3, [0.0103] * 3, [5, 3, 4])
    lower, upper = np.asarray(charts.lower), np.asarray(charts.upper)

    assert [73.986, 73.981, 73.984] == pytest.approx(lower.tolist(), abs=6e-4)
    assert [74.016, 74.021, 74.018] == pytest.approx(upper.tolist(), abs=6e-4)
    assert [0.022, 0.026, 0.023] == pytest.approx(
        np.asarray(charts.spread.upper).tolist(), abs=6e-4
    )


def test_equal_sizes_take_the_mean_deviation() -> None:
    charts = xbar_s(pieces(12, 4, 2))
    constants = chart_constants(4)
    s = charts.spread.centre

    assert charts.sigma == pytest.approx(s / constants.c4)
    assert charts.upper == pytest.approx(charts.centre + constants.a3 * s)
    assert charts.spread.upper == pytest.approx(constants.b4 * s)


def test_a_table_gives_what_its_rows_give() -> None:
    groups = pieces(9, 6, 3)
    whole, rows = xbar_s(np.array(groups)), xbar_s(groups)

    assert whole.points.tolist() == rows.points.tolist()
    assert whole.spread.points.tolist() == pytest.approx(rows.spread.points.tolist())


def test_deviations_are_those_of_numpy() -> None:
    groups = [*pieces(5, 3, 4), *pieces(5, 7, 5)]
    charts = xbar_s(groups)

    assert [np.std(group, ddof=1) for group in groups] == pytest.approx(
        charts.spread.points.tolist()
    )
    assert np.mean(np.concatenate(groups)) == pytest.approx(charts.centre)


def test_a_subgroup_that_moved_signals_and_is_named() -> None:
    groups = pieces(15, 5, 6)
    groups[9] = [each + 40 for each in groups[9]]
    signals = xbar_r(groups).signals

    assert [9] == [signal.index for signal in signals]
    assert signals[0].text.startswith("Subgroup 10 ")


@given(
    st.lists(st.lists(st.integers(700, 780), min_size=3, max_size=3), min_size=2, max_size=20),
    st.sampled_from([0.25, 0.001, 28.35]),
)
def test_subgroups_do_not_change_with_the_unit(groups: list[list[int]], factor: float) -> None:
    scaled = [[each * factor for each in group] for group in groups]
    for chart in (xbar_r, xbar_s):
        one, other = chart(groups), chart(scaled)

        assert one.sigma * factor == pytest.approx(other.sigma, abs=1e-9)
        assert one.upper * factor == pytest.approx(other.upper)
        assert one.spread.upper * factor == pytest.approx(other.spread.upper, abs=1e-9)


def test_what_makes_no_subgroups_is_refused() -> None:
    with pytest.raises(SpecificationError, match="one size"):
        xbar_r([[1.0, 2.0], [1.0, 2.0, 3.0]])
    with pytest.raises(NotEnoughDataError, match="subgroup needs at least 2"):
        xbar_s([[1.0], [2.0]])
    with pytest.raises(NotEnoughDataError, match="at least 2 of them"):
        xbar_r([[1.0, 2.0]])
    with pytest.raises(NotEnoughDataError, match="at least 2 of them"):
        xbar_r(np.ones((1, 5)))
    with pytest.raises(SpecificationError, match="finite"):
        xbar_s([[1.0, math.inf], [1.0, 2.0]])
    with pytest.raises(SpecificationError, match="one mean, one deviation"):
        xbar_s_of([1.0, 2.0], [1.0, -2.0], [3, 3])
    with pytest.raises(NotEnoughDataError, match="at least 2 weights"):
        xbar_s_of([1.0, 2.0], [1.0, 2.0], [3, 1])


@pytest.mark.parametrize("grams", [740.1, 1e9 + 0.1])
@pytest.mark.parametrize("sizes", [(3, 4, 7), (4, 4, 4)])
def test_equal_weights_signal_nothing_whatever_the_sizes(
    grams: float, sizes: tuple[int, ...]
) -> None:
    """A mean that is rounded away from equal weights would put all of them beyond the limits."""
    charts = xbar_s([[grams] * size for size in sizes])

    assert () == charts.signals + charts.spread.signals
    assert grams == charts.centre


def test_a_subgroup_of_many_thousands_has_limits() -> None:
    charts = xbar_s_of([740.0, 741.0], [8.0, 8.0], [12_000, 60_000])

    assert np.asarray(charts.spread.upper).tolist() == pytest.approx(
        [8 * (1 + 3 / math.sqrt(2 * n)) for n in (12_000, 60_000)], rel=1e-5
    )


def test_a_row_where_a_table_is_wanted_is_told_so() -> None:
    with pytest.raises(SpecificationError, match="Each subgroup takes one row of numbers"):
        xbar_r([740.0, 741.0, 742.0])  # type: ignore[list-item]
    with pytest.raises(SpecificationError, match="one size, a whole number"):
        xbar_s_of([740.0, 741.0], [8.0, 8.0], [5, 2.5])  # type: ignore[list-item]

"""The charts that remember say what the published examples say, whole and one by one."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor import OnlineCusum, OnlineEwma, Rule, cusum, ewma

# NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, 6.3.2.4 (read in a copy).
EWMA_DATA = [
    *(52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5),
    *(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
]
EWMA_PRINTED = [
    *(50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33),
    *(50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99),
]
# The same, 6.3.2.3: data read in a package that cites the page, sums from memory and recomputed.
CUSUM_DATA = [
    *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600),
    *(324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
]
HIGH = [
    *(0, 0, 0, 0, 0.0325, 0, 0, 0, 0, 0, 0, 0, 3.0075, 4.94, 7.4475, 10.63),
    *(11.9875, 14.445, 16.0025, 19.035),
]
LOW = [
    *(0, 0.0075, 0, 0.3325, 0, 0, 0.5575, 0.715, 0.1725, 0.255, 0.3125),
    *(0, 0, 0, 0, 0, 0, 0, 0, 0),
]
numbers = st.lists(st.floats(600, 900), min_size=1, max_size=700)


def test_published_ewma() -> None:
    chart = ewma(EWMA_DATA, lam=0.3, L=3, target=50, sigma=2.0539, steady=True)

    assert EWMA_PRINTED == pytest.approx(chart.points.tolist(), abs=6e-3)
    # Printed 52.5884 and 47.4115, with the factor rounded to 0.4201.
    assert 52.5884 == pytest.approx(chart.upper[0], abs=1e-4)
    assert 47.4115 == pytest.approx(chart.lower[0], abs=1e-4)
    assert () == chart.signals


def test_limits_before_the_long_run() -> None:
    """Computed independently from the formula for i = 1, 2, 3, 5 and 10."""
    chart = ewma(EWMA_DATA, lam=0.3, L=3, target=50, sigma=2.0539)
    found = [chart.upper[place - 1] for place in (1, 2, 3, 5, 10)]

    assert [51.8485, 52.2564, 52.4314, 52.5516, 52.5874] == pytest.approx(found, abs=5e-5)


def test_published_cusum() -> None:
    chart = cusum(CUSUM_DATA, target=325, sigma=1, k=0.3175, h=4.1959)

    assert HIGH == pytest.approx(chart.high.tolist(), abs=1e-9)
    assert LOW == pytest.approx(chart.low.tolist(), abs=1e-9)
    assert [(13, Rule.SUM_OF_DEVIATIONS, 12, 1)] == [
        (each.index, each.rule, each.first, each.side) for each in chart.signals
    ]
    assert "Pieces 13 to 14 have together been heavier" in chart.signals[0].text


@given(numbers, st.sampled_from([0.05, 0.2, 0.5, 1.0]))
def test_ewma_one_by_one_is_the_same(x: list[float], lam: float) -> None:
    online = OnlineEwma(lam, 740.0)
    points = [online.feed(each) for each in x]

    assert points == pytest.approx(
        ewma(x, lam=lam, L=3, target=740, sigma=8).points.tolist(), rel=1e-12
    )


@given(numbers, st.sampled_from([0.0, 2.0]))
def test_cusum_one_by_one_is_the_same(x: list[float], head_start: float) -> None:
    online = OnlineCusum(target=740, sigma=8, k=0.5, h=5, head_start=head_start)
    chart = cusum(x, target=740, sigma=8, k=0.5, h=5, head_start=head_start)
    pairs = []
    for each in x:
        online.feed(each)
        pairs.append((online.high, online.low))

    assert [high for high, _ in pairs] == pytest.approx(chart.high.tolist(), abs=1e-6)
    assert [low for _, low in pairs] == pytest.approx(chart.low.tolist(), abs=1e-6)


@pytest.mark.parametrize("length", [31, 32, 33, 1024, 1025, 40_000])
@pytest.mark.parametrize("lam", [1e-4, 0.2, 0.95, 1.0])
def test_long_runs_are_averaged_in_blocks_without_a_seam(length: int, lam: float) -> None:
    x = [740.0 + (place * 7919 % 41 - 20) for place in range(length)]
    online = OnlineEwma(lam, 740.0)
    points = [online.feed(each) for each in x]

    assert points == pytest.approx(
        ewma(x, lam=lam, L=3, target=740, sigma=8).points.tolist(), rel=1e-12
    )


@pytest.mark.parametrize("lam", [0.01, 0.3, 0.999, 1.0])
def test_limits_grow_to_those_of_the_long_run(lam: float) -> None:
    x = [740.0] * 4000
    chart = ewma(x, lam=lam, L=3, target=740, sigma=8)
    steady = ewma(x, lam=lam, L=3, target=740, sigma=8, steady=True)
    grown = [
        740 + 24 * math.sqrt(lam / (2 - lam) * (1 - (1 - lam) ** (2 * i))) for i in range(1, 4001)
    ]

    assert grown == pytest.approx(chart.upper.tolist(), rel=1e-14)
    assert chart.upper[-1] == steady.upper[-1]


def test_long_runs_are_summed_in_chunks_without_a_seam() -> None:
    x = [740.0 + (place * 7919 % 41 - 20) for place in range(10_000)]
    online, chart = OnlineCusum(target=740, sigma=8, k=0.5, h=5), None
    chart = cusum(x, target=740, sigma=8, k=0.5, h=5)
    for each in x:
        online.feed(each)

    assert online.high == pytest.approx(chart.high[-1], abs=1e-9)
    assert online.low == pytest.approx(chart.low[-1], abs=1e-9)


@given(st.lists(st.floats(700, 780), min_size=3, max_size=40), st.sampled_from([0.001, 28.35]))
def test_charts_do_not_change_with_the_unit(x: list[float], factor: float) -> None:
    scaled = [each * factor for each in x]
    one = cusum(x, target=740, sigma=8, k=0.5, h=4)
    other = cusum(scaled, target=740 * factor, sigma=8 * factor, k=0.5, h=4)
    average = ewma(x, lam=0.2, L=2.7, target=740, sigma=8)
    rescaled = ewma(scaled, lam=0.2, L=2.7, target=740 * factor, sigma=8 * factor)

    assert (one.high * factor).tolist() == pytest.approx(other.high.tolist(), abs=1e-9 * factor)
    assert (average.upper * factor).tolist() == pytest.approx(rescaled.upper.tolist())
    assert (average.points * factor).tolist() == pytest.approx(rescaled.points.tolist())


def test_mean_error_is_that_of_the_stretch() -> None:
    online = OnlineCusum(target=740, sigma=8, k=0.5, h=5)
    for each in (735.0, 750.0, 752.0, 754.0):
        online.feed(each)

    assert online.mean_error(1) == pytest.approx((10 + 12 + 14) / 3)
    assert online.mean_error(-1) == 0


def test_numbers_that_make_no_sense_are_refused() -> None:
    with pytest.raises(SpecificationError, match="lam"):
        ewma([1.0], lam=0, L=3, target=0, sigma=1)
    with pytest.raises(SpecificationError, match="sigma"):
        ewma([1.0], lam=0.2, L=3, target=0, sigma=0)
    with pytest.raises(SpecificationError, match="target"):
        ewma([1.0], lam=0.2, L=3, target=math.nan, sigma=1)
    with pytest.raises(NotEnoughDataError):
        ewma([], lam=0.2, L=3, target=0, sigma=1)
    with pytest.raises(SpecificationError, match="one row"):
        ewma(["heavy"], lam=0.2, L=3, target=0, sigma=1)  # type: ignore[list-item]
    with pytest.raises(SpecificationError, match="one row"):
        ewma([[1.0]], lam=0.2, L=3, target=0, sigma=1)  # type: ignore[list-item]
    with pytest.raises(SpecificationError, match="h must be"):
        cusum([1.0], target=0, sigma=1, k=0.5, h=0)
    with pytest.raises(SpecificationError, match="k one from 0"):
        cusum([1.0], target=0, sigma=1, k=-1, h=5)
    with pytest.raises(SpecificationError, match="head_start"):
        cusum([1.0], target=0, sigma=1, k=0.5, h=5, head_start=5)
    with pytest.raises(SpecificationError, match="finite"):
        cusum([math.inf], target=0, sigma=1, k=0.5, h=5)

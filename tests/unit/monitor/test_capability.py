"""Capability says what printed examples say, with one limit or two, from weights or a summary."""

from __future__ import annotations

import math
import random
import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.process.capability import Capability, capability, capability_from

WEIGHTS = (739.0, 744.0, 741.0, 735.0, 742.0, 748.0, 738.0, 740.0, 743.0, 737.0)


def of_index(cpk: float, n: int) -> Capability:
    """A capability with that Cpk, from unit spread and one limit."""
    return capability_from(0.0, sd_g=1.0, n=n, band=(None, 3 * cpk))


def test_handbook_example() -> None:
    """NIST/SEMATECH e-Handbook 6.1.6 (from memory, recomputed): limits 20 and 8, mean 16, s 2."""
    found = capability_from(16.0, sd_g=2.0, n=30, band=(8.0, 20.0))

    assert 1.0 == found.cp
    assert 0.6667 == round(found.cpk, 4)
    assert 1.3333 == round(capability_from(16.0, sd_g=2.0, n=30, band=(8.0, None)).cpk, 4)
    assert 0.6667 == round(capability_from(16.0, sd_g=2.0, n=30, band=(None, 20.0)).cpk, 4)


@pytest.mark.parametrize(
    ("cp", "share", "printed"),
    [
        (1.0, 2.699796e-3, 0.0027),
        (4 / 3, 6.334248e-5, 64e-6),
        (5 / 3, 5.733031e-7, 0.6e-6),
        (2.0, 1.973175e-9, 2e-9),
    ],
)
def test_shares_outside_of_the_handbook_table(cp: float, share: float, printed: float) -> None:
    """e-Handbook 6.1.6 (from memory); the exact shares were computed apart from this project.

    The page prints 64 ppm for 1.33, where 4/3 gives 63.3 and 1.33 gives 66.1.
    """
    found = capability_from(0.0, sd_g=1.0, n=50, band=(-3 * cp, 3 * cp))

    assert share == pytest.approx(found.share_outside, rel=1e-6)
    assert printed == pytest.approx(found.share_outside, rel=0.05)


@pytest.mark.parametrize(
    ("n", "cpk", "low", "high"),
    [
        (30, 1.00, 0.716346, 1.283654),
        (50, 1.33, 1.050939, 1.609061),
        (100, 1.00, 0.846151, 1.153849),
        (20, 1.33, 0.882606, 1.777394),
    ],
)
def test_interval_of_cpk(n: int, cpk: float, low: float, high: float) -> None:
    """Formula of e-Handbook 6.1.6; values computed apart from this project."""
    found = of_index(cpk, n)

    assert (low, high) == tuple(round(end, 6) for end in found.cpk_interval)
    assert found.cp is None
    assert found.cp_interval is None


def test_interval_of_cp() -> None:
    """D. C. Montgomery's example (from memory, recomputed): limits 62 and 38, s 1.75, n 20."""
    found = capability_from(50.0, sd_g=1.75, n=20, band=(38.0, 62.0))

    assert found.cp is not None
    assert found.cp_interval is not None
    assert 2.29 == round(found.cp, 2)
    assert 1.564945 == round(found.cp_interval[0], 6)  # the book rounds 1.565 up to 1.57
    assert 3.005579 == round(found.cp_interval[1], 6)
    assert 3.01 == round(found.cp_interval[1], 2)


def test_weights_and_their_summary_agree() -> None:
    found = capability(WEIGHTS, 732.0, 748.0)
    summary = capability_from(
        statistics.mean(WEIGHTS), sd_g=statistics.stdev(WEIGHTS), n=10, band=(732.0, 748.0)
    )

    assert summary.cpk == pytest.approx(found.cpk, rel=1e-14)
    assert summary.cpk_interval == pytest.approx(found.cpk_interval, rel=1e-14)
    assert found.within is not None
    assert 0 == found.outside
    assert "Cpk" in found.text


def test_a_weight_on_a_limit_is_inside_whatever_the_float() -> None:
    found = capability([740.0, 0.1 + 0.2 + 784.7, 785.3], upper=785.0)

    assert 1 == found.outside


def test_a_wandering_mean_parts_the_two_spreads() -> None:
    """Weights that rise steadily have small steps and a great spread."""
    rising = [740 + place + (0.5 if place % 2 else 0.0) for place in range(20)]
    found = capability(rising, 700.0, 800.0)

    assert found.within is not None
    assert found.within.cpk > 4 * found.cpk


def test_interval_of_cp_holds_the_truth_as_often_as_it_says() -> None:
    """2,000 seeded normal samples of 20; 95 % within three standard errors of a share."""
    draw = random.Random(20)
    held = 0
    for _ in range(2000):
        found = capability([draw.gauss(0, 1) for _ in range(20)], -3.0, 3.0)
        assert found.cp_interval is not None
        held += found.cp_interval[0] <= 1.0 <= found.cp_interval[1]

    assert abs(held / 2000 - 0.95) < 3 * math.sqrt(0.95 * 0.05 / 2000)


def test_interval_of_cpk_holds_the_truth_nearly_as_often_as_it_says() -> None:
    """2,000 seeded normal samples of 30 with a true Cpk of 1.33: measured 95.7 %, said 95 %."""
    draw = random.Random(21)
    held = 0
    for _ in range(2000):
        low, high = capability([draw.gauss(0, 1) for _ in range(30)], upper=4.0).cpk_interval
        held += low <= 4 / 3 <= high

    assert abs(held / 2000 - 0.95) < 3 * math.sqrt(0.95 * 0.05 / 2000) + 0.01


def test_a_thousand_summaries_agree_with_a_reference_library() -> None:
    """SciPy's normal and chi-square laws; intervals and shares, furthest 4.6e-14."""
    draw = random.Random(22)
    places = [
        (draw.randint(2, 500), draw.uniform(0.5, 9), draw.uniform(734, 746)) for _ in range(1000)
    ]
    n_s, sds, means = map(np.array, zip(*places, strict=True))
    chi_s = stats.chi2.ppf(np.array([[0.025], [0.975]]), n_s - 1).T
    below, above = stats.norm.cdf(732, means, sds), stats.norm.sf(748, means, sds)
    z = stats.norm.ppf(0.975)
    apart = 0.0
    for place, (n, sd, mean) in enumerate(places):
        found = capability_from(mean, sd_g=sd, n=n, band=(732.0, 748.0))
        cp, cpk = 16 / (6 * sd), min(748 - mean, mean - 732) / (3 * sd)
        half = z * math.sqrt(1 / (9 * n) + cpk**2 / (2 * (n - 1)))
        wanted = (
            *(cp * (chi_s[place] / (n - 1)) ** 0.5),
            cpk - half,
            cpk + half,
            below[place],
            above[place],
        )
        assert found.cp_interval is not None
        ours = (*found.cp_interval, *found.cpk_interval, found.share_below, found.share_above)
        apart = max(
            apart,
            *(abs(a - float(b)) / max(abs(a), 1e-3) for a, b in zip(ours, wanted, strict=True)),
        )

    assert 1e-10 > apart


@given(
    st.lists(st.integers(680_000, 800_000), min_size=3, max_size=30, unique=True),
    st.floats(1e-3, 1e3),
    st.floats(-1e3, 1e3),
)
def test_no_index_changes_with_the_unit_or_the_zero(
    weights_mg: list[int], unit: float, zero: float
) -> None:
    weights = [mg / 1000 for mg in weights_mg]
    here = capability(weights, 732.0, 748.0)
    there = capability(
        [w * unit + zero * unit for w in weights], (732 + zero) * unit, (748 + zero) * unit
    )

    assert here.cp == pytest.approx(there.cp, rel=1e-6)
    assert here.cpk == pytest.approx(there.cpk, rel=1e-6, abs=1e-6)
    assert here.cpk_interval == pytest.approx(there.cpk_interval, rel=1e-6, abs=1e-6)


@given(st.lists(st.integers(680_000, 800_000), min_size=3, max_size=30, unique=True))
def test_cpk_is_never_above_cp_and_lies_in_its_interval(weights_mg: list[int]) -> None:
    found = capability([mg / 1000 for mg in weights_mg], 732.0, 748.0)

    assert found.cp is not None
    assert found.cpk <= found.cp
    assert found.cpk_interval[0] <= found.cpk <= found.cpk_interval[1]
    assert 0 <= found.share_outside <= 1


@pytest.mark.parametrize(
    ("weights", "lower", "upper", "says"),
    [
        ([1.0, math.nan, 3.0], 0.0, 5.0, "finite numbers"),
        ([1.0, 1.0, 1.0], 0.0, 5.0, "all 3 weights are equal"),
        ([1.0, 2.0], 5.0, 0.0, "swap"),
        ([1.0, 2.0], 5.0, 5.0, "swap"),
        ([1.0, 2.0], None, None, "lower or an upper"),
        ([1.0, 2.0], None, math.inf, "finite limits"),
        ([1.0, 2.0], math.nan, 3.0, "finite limits"),
    ],
)
def test_what_means_nothing_is_refused(
    weights: list[float], lower: float | None, upper: float | None, says: str
) -> None:
    with pytest.raises(SpecificationError, match=says):
        capability(weights, lower, upper)


def test_a_confidence_that_is_none_is_refused() -> None:
    with pytest.raises(SpecificationError, match="between 0 and 1"):
        capability(WEIGHTS, upper=748.0, confidence=95)


@pytest.mark.parametrize("weights", [[], [740.0]])
def test_too_few_are_refused(weights: list[float]) -> None:
    with pytest.raises(NotEnoughDataError, match="at least 2") as refused:
        capability(weights, upper=748.0)

    assert (len(weights), 2) == (refused.value.have, refused.value.need)


def test_a_summary_that_is_none_is_refused() -> None:
    with pytest.raises(SpecificationError, match="positive standard deviation"):
        capability_from(740.0, sd_g=-1.0, n=20, band=(732.0, 748.0))
    with pytest.raises(NotEnoughDataError):
        capability_from(740.0, sd_g=1.0, n=1, band=(732.0, 748.0))

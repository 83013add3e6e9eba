"""Intervals and tests of mean and spread are those of the handbook and of a reference library."""

from __future__ import annotations

import math
import random
import statistics

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.process.intervals import mean_interval, mean_test, sd_interval, sd_test

PARTICLES = (50, 48, 44, 56, 61, 52, 53, 55, 67, 51)


def test_interval_of_the_mean_of_zarr13() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.2, ZARR13.DAT (from memory, recomputed), by its summary.

    The mean 9.26146 and s 0.022789 are themselves rounded, hence one unit of the last digit.
    """
    low, high = mean_interval(9.261460, sd_g=0.022789, n=195)

    assert 0.001632 == round(0.022789 / math.sqrt(195), 6)
    assert (9.258242, 9.264679) == pytest.approx((low, high), abs=1.0e-6)


def test_spread_of_gear_against_a_tenth() -> None:
    """e-Handbook 1.3.5.8, GEAR.DAT (from memory, recomputed), by its summary.

    Chi-square is printed as 0.3903040; the printed s, 0.6278908E-02, would give 0.3903044.
    """
    found = sd_test(0.00627890488, n=100, stated_g=0.1)

    assert 0.3903040 == round(found.statistic, 7)
    assert 99 == found.df
    assert found.p < 1e-80


def test_mean_of_particles_against_fifty() -> None:
    """e-Handbook 7.2.2.1 (from memory, recomputed): mean 53.7, s 6.567, t 1.782."""
    mean, sd = statistics.mean(PARTICLES), statistics.stdev(PARTICLES)
    found = mean_test(mean, sd_g=sd, n=10, target_g=50.0)

    assert (53.7, 6.567) == (mean, round(sd, 3))
    assert (1.782, 9) == (round(found.statistic, 3), found.df)
    assert found.p == pytest.approx(stats.ttest_1samp(PARTICLES, 50).pvalue, rel=1e-12)


def test_a_thousand_intervals_are_those_of_a_reference_library() -> None:
    """SciPy; furthest 3.8e-14."""
    draw = random.Random(69)
    places = [
        (draw.randint(2, 2000), draw.uniform(0.1, 50), draw.uniform(0.5, 0.999))
        for _ in range(1000)
    ]
    df = np.array([n - 1 for n, _, _ in places])
    tail = np.array([(1 - confidence) / 2 for _, _, confidence in places])
    laws = zip(
        stats.t.isf(tail, df), stats.chi2.ppf(tail, df), stats.chi2.isf(tail, df), strict=True
    )
    apart = 0.0
    for (n, sd, confidence), (t, *chi) in zip(places, laws, strict=True):
        low, high = mean_interval(0.0, sd_g=sd, n=n, confidence=confidence)
        half = t * sd / math.sqrt(n)
        small, great = sd_interval(sd, n=n, confidence=confidence)
        pairs = zip(
            (low, high, great, small),
            (-half, half, *(sd * math.sqrt((n - 1) / c) for c in chi)),
            strict=True,
        )
        apart = max(apart, *(abs(ours / float(theirs) - 1) for ours, theirs in pairs))

    assert 1e-11 > apart


def test_a_thousand_tests_of_a_mean_agree_with_a_reference_library() -> None:
    """SciPy `ttest_1samp`, two-sided; p furthest 1.1e-12."""
    draw = random.Random(84)
    apart = 0.0
    for _ in range(1000):
        sample = [draw.gauss(740, 4) for _ in range(draw.randint(2, 60))]
        mean, sd = statistics.fmean(sample), statistics.stdev(sample)
        found = mean_test(mean, sd_g=sd, n=len(sample), target_g=741.0)
        apart = max(apart, abs(found.p / float(stats.ttest_1samp(sample, 741.0).pvalue) - 1))

    assert 1e-9 > apart


def test_both_sides_of_the_test_of_spread() -> None:
    for sd in (0.5, 0.9999, 1.0, 2.0):
        chi = 19 * sd**2
        wanted = 2 * min(stats.chi2.cdf(chi, 19), stats.chi2.sf(chi, 19))

        assert sd_test(sd, n=20, stated_g=1.0).p == pytest.approx(wanted, rel=1e-12)


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 2"):
        mean_interval(740.0, sd_g=4.0, n=1)
    with pytest.raises(SpecificationError, match="positive standard deviation"):
        sd_interval(0.0, n=9)
    with pytest.raises(SpecificationError, match="finite mean"):
        mean_test(740.0, sd_g=4.0, n=9, target_g=math.nan)
    with pytest.raises(SpecificationError, match="State a positive"):
        sd_test(4.0, n=9, stated_g=-1.0)
    with pytest.raises(SpecificationError, match="between 0 and 1"):
        mean_interval(740.0, sd_g=4.0, n=9, confidence=95)

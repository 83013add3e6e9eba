"""Intervals and tests of mean and spread are those of the handbook and of a reference library."""

from __future__ import annotations

import math
import random
import statistics

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.intervals import mean_interval, mean_test, sd_interval, sd_test

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
    apart = 0.0
    for _ in range(1000):
        n, sd, confidence = draw.randint(2, 2000), draw.uniform(0.1, 50), draw.uniform(0.5, 0.999)
        low, high = mean_interval(0.0, sd_g=sd, n=n, confidence=confidence)
        wanted = stats.t.interval(confidence, n - 1, scale=sd / math.sqrt(n))
        small, great = sd_interval(sd, n=n, confidence=confidence)
        chi = stats.chi2.interval(confidence, n - 1)
        pairs = zip(
            (low, high, great, small),
            (*wanted, *(sd * math.sqrt((n - 1) / c) for c in chi)),
            strict=True,
        )
        apart = max(apart, *(abs(ours / float(theirs) - 1) for ours, theirs in pairs))

    assert 1e-11 > apart


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

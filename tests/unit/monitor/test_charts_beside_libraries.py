"""A thousand random inputs each: charts say what reference libraries say, where these say it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy import integrate, signal, special, stats  # type: ignore[import-untyped]

from weighstation.monitor import (
    BenchDetector,
    Moments,
    c4,
    chart_constants,
    cusum,
    ewma,
    individuals,
    xbar_r,
    xbar_s,
)
from weighstation.monitor.bench import ALLOWANCE_K, LIMIT_H

if TYPE_CHECKING:
    from collections.abc import Iterator

TIMES = 1000
TARGET_G = 740.0


def runs(seed: int, least: int = 2) -> Iterator[np.ndarray]:
    """Return runs of weights of 2 to 300 pieces, each with its own level and spread."""
    draw = np.random.default_rng(seed)
    for _ in range(TIMES):
        level, spread = draw.uniform(50, 1500), draw.uniform(0.5, 40)
        yield level + spread * draw.standard_normal(draw.integers(least, 300))


def off(found: np.ndarray | float, expected: np.ndarray | float) -> float:
    """Return the largest relative difference."""
    return float(np.max(np.abs(np.asarray(found) / np.asarray(expected) - 1)))


def test_moments_are_those_of_scipy() -> None:
    """Largest relative differences measured: mean 1.6e-15, variance 8e-14."""
    for x in runs(1):
        found, expected = Moments.of(x.tolist()), stats.describe(x)

        assert found.mean == pytest.approx(expected.mean, rel=1e-14)
        assert found.variance == pytest.approx(expected.variance, rel=1e-12)


def test_averages_are_those_of_a_recursive_filter_of_scipy() -> None:
    """scipy.signal.lfilter; largest relative difference measured 1e-13."""
    draw = np.random.default_rng(3)
    for x in runs(4):
        lam = draw.uniform(0.01, 1)
        chart = ewma(x, lam=lam, L=3, target=TARGET_G, sigma=8)
        expected = TARGET_G + signal.lfilter([lam], [1, lam - 1], x - TARGET_G)

        assert off(chart.points, expected) < 1e-12


def test_deviations_of_subgroups_are_those_of_scipy() -> None:
    """scipy.stats.tstd and NumPy; largest relative difference measured 4e-16."""
    draw = np.random.default_rng(5)
    for _ in range(TIMES // 10):
        groups = [TARGET_G + 8 * draw.standard_normal(draw.integers(2, 9)) for _ in range(10)]
        charts = xbar_s(groups)

        assert off(charts.spread.points, np.array([stats.tstd(g) for g in groups])) < 1e-11
        assert off(charts.points, np.array([g.mean() for g in groups])) < 1e-14


def test_mean_deviation_of_normal_values_is_that_of_scipy() -> None:
    """A chi variable over the root of its degrees of freedom; measured 1.5e-11 on these sizes."""
    sizes = np.random.default_rng(6).integers(2, 10_000, TIMES)
    expected = stats.chi(sizes - 1).mean() / np.sqrt(sizes - 1)

    assert off(np.array([c4(int(n)) for n in sizes]), expected) < 1e-10


@pytest.mark.parametrize("n", [2, 7, 30, 200, 10_000])
def test_mean_range_is_that_of_another_integral(n: int) -> None:
    """One less both shares to the n-th power, by scipy.integrate.quad (Tippett, 1925)."""
    expected, _ = integrate.quad(
        lambda x: 1 - special.ndtr(x) ** n - special.ndtr(-x) ** n,
        *(-12, 12),
        epsabs=1e-13,
        limit=500,
        points=[-6, -4, -2, 0, 2, 4, 6],
    )

    assert chart_constants(n).d2 == pytest.approx(expected, rel=1e-12)


def test_sigma_of_a_chart_aims_at_that_of_the_weights() -> None:
    """A thousand good runs of 300: each estimate lies on average on the true spread."""
    draw = np.random.default_rng(7)
    found = []
    for _ in range(TIMES):
        x = draw.standard_normal(300)
        table = x.reshape(-1, 5)
        found.append([individuals(x).sigma, xbar_r(table).sigma, xbar_s(table).sigma])
    errors = np.std(found, axis=0, ddof=1) / math.sqrt(TIMES)

    assert (np.abs(np.mean(found, axis=0) - 1) < 3 * errors).all()


def test_the_bench_detector_first_rings_where_the_whole_chart_does() -> None:
    rang = 0
    for x in runs(8, least=10):
        level, spread = float(x.mean()) + 1.0, float(x.std()) + 0.1
        detector = BenchDetector(level, sigma_g=spread)
        found = [place for place, g in enumerate(x.tolist()) if detector.feed(place + 1, g)]
        chart = cusum(x, target=level, sigma=spread, k=ALLOWANCE_K, h=LIMIT_H)
        rang += bool(found)

        assert found[:1] == [each.index for each in chart.signals][:1]

    assert rang > TIMES / 50

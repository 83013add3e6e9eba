"""Outlier tests and percentiles are those of the handbook."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.process.outliers import fences, fences_from, grubbs, grubbs_critical
from weighstation.monitor.process.percentile import percentile

# NIST/SEMATECH e-Handbook 1.3.5.17.1 and 7.2.6.2; data from memory, results recomputed.
URANIUM = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)
GAUGE = (
    *(95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1065, 95.0925),
    *(95.1990, 95.1682),
)


def test_grubbs_example() -> None:
    """The page prints G 2.4687 and the one-sided critical value 2.032."""
    found = grubbs(URANIUM)

    assert (7, 2.468765) == (found.index, round(found.g, 6))
    assert 2.031652 == round(grubbs_critical(8, sides=1), 6)
    assert 2.126645 == round(found.critical, 6)
    assert found.is_outlier
    assert "Weight 8" in found.text
    assert "before anything is left out" in found.text
    assert "No weight" in grubbs(URANIUM[:-1]).text


def test_critical_values_of_a_reference_library() -> None:
    """The same formula with SciPy's t on 1,000 random inputs; furthest 1.1e-12."""
    draw = random.Random(75)
    for _ in range(1000):
        n, level, sides = draw.randint(3, 500), draw.uniform(1e-3, 0.3), draw.choice((1, 2))
        t = float(stats.t.isf(level / (sides * n), n - 2))
        wanted = (n - 1) / n**0.5 * (t * t / (n - 2 + t * t)) ** 0.5

        assert wanted == pytest.approx(grubbs_critical(n, level=level, sides=sides), rel=1e-11)


def test_normal_samples_have_an_outlier_as_seldom_as_said() -> None:
    """2,000 seeded samples of 20 at 5 %: the test is nearly exact there."""
    draw = random.Random(76)
    found = sum(grubbs([draw.gauss(740, 4) for _ in range(20)]).is_outlier for _ in range(2000))

    assert abs(found / 2000 - 0.05) < 3 * (0.05 * 0.95 / 2000) ** 0.5


def test_fences_about_printed_quartiles() -> None:
    """e-Handbook 7.1.6 (from memory, recomputed), from its quartiles; its data are not here."""
    found = fences_from(429.75, 742.25)

    assert (-39.0, 1211.0) == found.inner
    assert (-507.75, 1679.75) == found.outer
    assert (1,) == found.beyond_inner([559.5, 1441.0, 1211.0])
    assert () == found.beyond_outer([559.5, 1441.0])


def test_fences_of_weights() -> None:
    weights = [*range(1, 8), 100]
    found = fences(weights)
    quartiles = np.percentile(weights, [25, 75], method="weibull")

    assert fences_from(*map(float, quartiles)) == found
    assert (7,) == found.beyond_outer(weights)


def test_percentile_example() -> None:
    """The page prints 95.1981 for the 90th."""
    found = percentile(GAUGE, share=0.90)

    assert 95.1981 == round(found, 4)
    assert 95.19807 == pytest.approx(found, abs=1e-8)


def test_a_thousand_percentiles_are_those_of_a_reference_library() -> None:
    """NumPy, method "weibull"; furthest 2.2e-16."""
    draw = random.Random(77)
    for _ in range(1000):
        sample = [draw.gauss(740, 4) for _ in range(draw.randint(2, 100))]
        share = draw.uniform(0.001, 0.999)
        wanted = float(np.percentile(sample, 100 * share, method="weibull"))

        assert wanted == pytest.approx(percentile(sample, share=share), rel=1e-13)


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 3"):
        grubbs([740.0, 741.0])
    with pytest.raises(SpecificationError, match="3 weights or more"):
        grubbs_critical(2)
    with pytest.raises(SpecificationError, match="1 or 2 sides"):
        grubbs_critical(5, sides=3)
    with pytest.raises(SpecificationError, match="not above"):
        fences_from(3.0, 2.0)
    with pytest.raises(NotEnoughDataError, match="at least 4"):
        fences([1.0, 2.0, 3.0])
    with pytest.raises(SpecificationError, match="between 0 and 1"):
        percentile([1.0, 2.0], share=90)

"""Tolerance factors are those of the handbook, of tables, and of a reference library."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np
import pytest
from scipy import integrate, stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.process.tolerance import (
    Side,
    howe_factor,
    one_sided_factor,
    tolerance_interval,
    two_sided_factor,
)


def test_handbook_example_by_its_own_approximation() -> None:
    """NIST/SEMATECH e-Handbook 7.2.6.3: n 43, mean 97.07, s 0.0268, share .90, confidence .99.

    Seen in a secondary copy, recomputed; the last line of the page has 2.68 for 0.0268.
    """
    two = howe_factor(43, share=0.90, confidence=0.99)

    assert 2.2173159 == round(two, 7)
    assert 97.010576 == pytest.approx(97.07 - two * 0.0268, abs=1e-6)
    assert 97.129424 == pytest.approx(97.07 + two * 0.0268, abs=1e-6)


def test_handbook_example_exactly() -> None:
    """Computed apart from this project: 2.22283 and 1.8739536."""
    assert 2.22283 == round(two_sided_factor(43, share=0.90, confidence=0.99), 5)
    assert 1.8739536 == round(one_sided_factor(43, share=0.90, confidence=0.99), 7)


@pytest.mark.parametrize(
    ("n", "share", "confidence", "howe", "exact"),
    [
        (20, 0.95, 0.95, 2.75228, 2.76035),
        (10, 0.99, 0.95, 4.44459, 4.43691),
        (30, 0.9973, 0.95, 3.90254, 3.90445),
        (50, 0.95, 0.95, 2.37877, 2.38156),
    ],
)
def test_factors_computed_elsewhere(
    n: int, share: float, confidence: float, howe: float, exact: float
) -> None:
    """A published table prints 2.76 and 4.44 for the first two (seen in a secondary copy)."""
    assert howe == round(howe_factor(n, share=share, confidence=confidence), 5)
    assert exact == round(two_sided_factor(n, share=share, confidence=confidence), 5)


def test_one_sided_factor_is_that_of_a_reference_library() -> None:
    """SciPy's noncentral t on 1,000 random inputs; furthest 7.5e-14."""
    draw = random.Random(63)
    for _ in range(1000):
        n, share = draw.randint(3, 200), draw.uniform(0.5, 0.999)
        confidence = draw.uniform(0.5, 0.99)
        shift = stats.norm.ppf(share) * math.sqrt(n)
        factor = one_sided_factor(n, share=share, confidence=confidence)

        # at this factor the reference has the confidence that was asked for
        assert confidence == pytest.approx(
            float(stats.nct.cdf(factor * math.sqrt(n), n - 1, shift)), rel=1e-11
        )


def test_howe_factor_is_that_of_a_reference_library() -> None:
    """The formula with SciPy's quantiles on 1,000 random inputs; furthest 8.9e-16."""
    draw = random.Random(65)
    apart = 0.0
    for _ in range(1000):
        n, share, confidence = (
            draw.randint(2, 500),
            draw.uniform(0.5, 0.999),
            draw.uniform(0.5, 0.99),
        )
        z, chi = stats.norm.ppf((1 + share) / 2), stats.chi2.ppf(1 - confidence, n - 1)
        wanted = float(z * math.sqrt((n - 1) * (1 + 1 / n) / chi))
        apart = max(apart, abs(howe_factor(n, share=share, confidence=confidence) / wanted - 1))

    assert 1e-11 > apart


def test_two_sided_factor_holds_its_confidence_by_another_quadrature() -> None:
    """The defining integral by Gauss and Legendre, r out of SciPy's noncentral chi-square.

    400 random inputs; furthest 1.5e-14.
    """
    draw = random.Random(64)
    for _ in range(400):
        n, share = draw.randint(2, 100), draw.uniform(0.5, 0.999)
        confidence = draw.uniform(0.5, 0.99)
        k = two_sided_factor(n, share=share, confidence=confidence)

        assert confidence == pytest.approx(held(k, n, share), abs=1e-11)


def test_the_reference_itself_is_that_of_an_adaptive_quadrature() -> None:
    """SciPy's `quad` at 5 of them; a tenth of a second each."""
    for n, share, k in (
        (2, 0.9, 15.0),
        (3, 0.5, 2.0),
        (10, 0.99, 4.4),
        (43, 0.9, 2.2),
        (90, 0.95, 2),
    ):
        parts = float(integrate.quad(lambda z: part(z, k, n, share), 0, 8.3, epsabs=1e-12)[0])  # noqa: B023 - run at once

        assert 2 * parts == pytest.approx(held(k, n, share), abs=1e-11)


def part(z: Any, k: float, n: int, share: float) -> Any:
    """Return what means that are z standard errors off add; r is a root of chi-square, 1 df."""
    r2 = stats.ncx2.ppf(share, 1, z * z / n)
    return stats.chi2.sf((n - 1) * r2 / k**2, n - 1) * stats.norm.pdf(z)


def held(k: float, n: int, share: float) -> float:
    """Return the confidence of a factor, by 60 places of Gauss and Legendre from 0 to 8.3."""
    place, weight = np.polynomial.legendre.leggauss(60)
    z = (place + 1) * 8.3 / 2
    return float(8.3 * np.sum(weight * part(z, k, n, share)))


def test_intervals_of_weights() -> None:
    weights = [739.0, 744.0, 741.0, 735.0, 742.0, 748.0, 738.0, 740.0]
    both = tolerance_interval(weights, share=0.95)
    above = tolerance_interval(weights, share=0.95, side=Side.LOWER)
    below = tolerance_interval(weights, share=0.95, side=Side.UPPER)

    assert both.lower is not None
    assert both.upper is not None
    assert above.lower is not None
    assert (above.upper, below.lower) == (None, None)
    assert both.lower < above.lower < min(weights)
    assert both.upper - both.lower == pytest.approx(2 * both.factor * stats.tstd(weights))
    for found in (both, above, below):
        assert "95 %" in found.text


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="at least 2"):
        two_sided_factor(1, share=0.9, confidence=0.9)
    with pytest.raises(SpecificationError, match="between 0 and 1"):
        howe_factor(10, share=1.0, confidence=0.9)
    with pytest.raises(SpecificationError, match="all 2 weights are equal"):
        tolerance_interval([740.0, 740.0], share=0.9)


@pytest.mark.parametrize("n", [2, 3])
@pytest.mark.parametrize("confidence", [0.9999, 0.9999999, 0.000001])
def test_one_sided_factor_of_few_weights_comes_to_an_end(n: int, confidence: float) -> None:
    """Far out in a tail without end; held against SciPy's noncentral t."""
    expected = stats.nct.ppf(confidence, n - 1, stats.norm.ppf(0.9) * math.sqrt(n)) / math.sqrt(n)
    found = one_sided_factor(n, share=0.9, confidence=confidence)

    assert expected == pytest.approx(found, rel=1e-6)

"""The distributions agree with a reference library on random inputs, and with printed values.

The reference is SciPy. Each test of a thousand random inputs states the largest relative
difference that was measured (SciPy 1.17). Where the two are furthest apart, in tails of 1e-239
and 1e-122 of chi-square and in the quantile of t, a computation with 40 digits was nearer to
ours.
"""

from __future__ import annotations

import math
import random
from typing import TYPE_CHECKING

import pytest
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import (
    binomial_cdf,
    binomial_sf,
    chi_square_cdf,
    chi_square_quantile,
    chi_square_sf,
    normal_cdf,
    normal_density,
    normal_quantile,
    t_cdf,
    t_quantile,
)
from weighstation.monitor.process.noncentral import noncentral_t_cdf, noncentral_t_quantile

if TYPE_CHECKING:
    from collections.abc import Callable

TIMES = 1000


def furthest(
    ours: Callable[..., float],
    reference: Callable[..., float],
    draw: Callable[[], tuple[float, ...]],
) -> float:
    """Return the largest relative difference over a thousand draws."""
    largest = 0.0
    for _ in range(TIMES):
        place = draw()
        wanted = float(reference(*place))
        apart = abs(ours(*place) - wanted)
        largest = max(largest, apart / abs(wanted) if wanted else apart)
    return largest


class Draws:
    """Random inputs, the same at every run."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def df(self, least: float = 1.0, most: float = 2000.0) -> float:
        return math.exp(self.random.uniform(math.log(least), math.log(most)))

    def share(self) -> float:
        any_share = self.random.uniform(1e-9, 1 - 1e-9)
        low = 10 ** self.random.uniform(-8, -1)
        return self.random.choice((any_share, low, 1 - 10 ** self.random.uniform(-4, -1)))

    def chi(self) -> tuple[float, float]:
        df = self.df()
        return df * math.exp(self.random.uniform(-1, 1)), df

    def count(self) -> tuple[int, int, float]:
        n = self.random.randint(1, 5000)
        p = self.random.random() * self.random.choice((1.0, 0.1))
        k = round(self.random.gauss(n * p, 3 * math.sqrt(n * p * (1 - p))))
        return max(-1, min(n, k)), n, p


def test_normal_share_below() -> None:
    """Furthest 2.4e-13, at z = -36.8."""
    draw = Draws(1)

    assert 5e-13 > furthest(normal_cdf, stats.norm.cdf, lambda: (draw.random.uniform(-37, 8),))


def test_normal_quantile() -> None:
    """Furthest 6.4e-16."""
    draw = Draws(2)

    assert 1e-14 > furthest(normal_quantile, stats.norm.ppf, lambda: (draw.share(),))


def test_t_share_below() -> None:
    """Furthest 7.3e-14."""
    draw = Draws(3)

    assert 2e-13 > furthest(
        lambda t, df: t_cdf(t, df=df),
        stats.t.cdf,
        lambda: (draw.random.uniform(-12, 12), draw.df()),
    )


def test_t_quantile() -> None:
    """Furthest 2.2e-13."""
    draw = Draws(4)

    assert 1e-12 > furthest(
        lambda p, df: t_quantile(p, df=df), stats.t.ppf, lambda: (draw.share(), draw.df())
    )


def test_chi_square_shares() -> None:
    """Furthest 6.9e-13 below, 1.5e-12 above."""
    draw = Draws(5)

    assert 2e-12 > furthest(lambda x, df: chi_square_cdf(x, df=df), stats.chi2.cdf, draw.chi)
    assert 3e-12 > furthest(lambda x, df: chi_square_sf(x, df=df), stats.chi2.sf, draw.chi)


def test_chi_square_quantile() -> None:
    """Furthest 4.6e-15."""
    draw = Draws(6)

    assert 1e-13 > furthest(
        lambda p, df: chi_square_quantile(p, df=df),
        stats.chi2.ppf,
        lambda: (draw.share(), draw.df()),
    )


def test_binomial_shares() -> None:
    """Furthest 2.1e-13 below, 1.6e-13 above."""
    draw = Draws(7)

    assert 1e-12 > furthest(
        lambda k, n, p: binomial_cdf(int(k), n=int(n), p=p), stats.binom.cdf, draw.count
    )
    assert 1e-12 > furthest(
        lambda k, n, p: binomial_sf(int(k), n=int(n), p=p), stats.binom.sf, draw.count
    )


def test_noncentral_t_share_below() -> None:
    """Furthest 8.7e-14, between 1 and 500 degrees of freedom."""
    draw = Draws(8)

    def place() -> tuple[float, float, float]:
        df, shift = draw.df(1, 500), draw.random.uniform(-3, 40)
        share = draw.random.uniform(0.001, 0.999)
        return float(stats.nct.ppf(share, df, shift)), df, shift

    assert 1e-11 > furthest(
        lambda t, df, shift: noncentral_t_cdf(t, df=df, shift=shift), stats.nct.cdf, place
    )


@pytest.mark.parametrize(
    ("n", "confidence", "printed"),
    [(30, 0.995, 0.503), (50, 0.995, 0.379), (20, 0.995, 0.640), (80, 0.995, 0.295)],
)
def test_printed_factors_of_student(n: int, confidence: float, printed: float) -> None:
    """Factors t / sqrt(n) of the published packers' mean test (76/211/EEC Annex II 2.3; read)."""
    factor = t_quantile(confidence, df=n - 1) / math.sqrt(n)

    assert printed == pytest.approx(factor, abs=5e-4)


def test_printed_critical_values() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.8 and 7.2.2.1; from memory, recomputed."""
    assert 73.361 == round(chi_square_quantile(0.025, df=99), 3)
    assert 128.422 == round(chi_square_quantile(0.975, df=99), 3)
    assert 2.262 == round(t_quantile(0.975, df=9), 3)


@pytest.mark.parametrize(
    ("n", "accepted", "shares"),
    [
        (50, 3, (0.9984, 0.9638, 0.7604, 0.2503)),
        (80, 5, (0.9998, 0.9848, 0.7892, 0.1769)),
        (125, 7, (1.0000, 0.9864, 0.7117, 0.0601)),
    ],
)
def test_chances_of_accepting_a_lot(n: int, accepted: int, shares: tuple[float, ...]) -> None:
    """Single sampling plans of 76/211/EEC (read); chances computed apart from this project."""
    found = tuple(round(binomial_cdf(accepted, n=n, p=p), 4) for p in (0.01, 0.025, 0.05, 0.1))

    assert shares == found


def test_edges_of_the_supports() -> None:
    assert (0.0, 1.0) == (binomial_cdf(-1, n=5, p=0.5), binomial_cdf(5, n=5, p=0.5))
    assert (1.0, 0.0) == (binomial_cdf(0, n=5, p=0.0), binomial_cdf(4, n=5, p=1.0))
    assert (0.0, 1.0) == (chi_square_cdf(-1.0, df=3), chi_square_sf(0.0, df=3))
    assert (1.0, 0.0) == (chi_square_cdf(math.inf, df=3), chi_square_sf(math.inf, df=3))
    assert (0.0, 1.0) == (t_cdf(-math.inf, df=3), t_cdf(math.inf, df=3))
    assert 0.5 == t_cdf(0.0, df=3)
    assert 0.0 == t_quantile(0.5, df=3)
    assert normal_density(1.5) == pytest.approx(stats.norm.pdf(1.5), rel=1e-15)


def test_noncentral_quantile_undoes_the_share() -> None:
    for p in (0.01, 0.3, 0.99):
        for df in (1.0, 7.0, 150.0):
            t = noncentral_t_quantile(p, df=df, shift=4.0)

            assert p == pytest.approx(noncentral_t_cdf(t, df=df, shift=4.0), rel=1e-11)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1, math.nan])
def test_a_share_that_is_none_is_refused(share: float) -> None:
    for quantile in (normal_quantile, lambda p: t_quantile(p, df=3)):
        with pytest.raises(SpecificationError, match="between 0 and 1"):
            quantile(share)


@pytest.mark.parametrize("df", [0.0, -1.0, math.nan, math.inf])
def test_degrees_of_freedom_that_are_none_are_refused(df: float) -> None:
    with pytest.raises(SpecificationError, match="positive number"):
        t_cdf(1.0, df=df)
    with pytest.raises(SpecificationError, match="positive number"):
        chi_square_quantile(0.5, df=df)


def test_a_binomial_without_trials_or_chance_is_refused() -> None:
    with pytest.raises(SpecificationError, match="count"):
        binomial_cdf(1, n=-1, p=0.5)
    with pytest.raises(SpecificationError, match="chance"):
        binomial_sf(1, n=3, p=1.5)


def test_what_is_no_number_is_refused_at_once() -> None:
    for share in (t_cdf, chi_square_cdf, chi_square_sf):
        with pytest.raises(SpecificationError, match="finite number"):
            share(math.nan, df=3)
    for t, shift in ((math.inf, 1.0), (1.0, math.nan)):
        with pytest.raises(SpecificationError, match="finite number"):
            noncentral_t_cdf(t, df=3, shift=shift)


def test_far_out_there_is_an_end() -> None:
    """A tail of less than the smallest double is 0; a quantile beyond the greatest is refused."""
    assert 0.0 == noncentral_t_cdf(1, df=1000, shift=100)
    for p, df in ((1e-8, 0.01), (1e-300, 1.0)):
        with pytest.raises(SpecificationError, match="too far out"):
            t_quantile(p, df=df)


@pytest.mark.parametrize(("p", "df"), [(1e-140, 1.0), (1e-12, 2.0), (0.5 + 1e-12, 3.0)])
def test_quantiles_in_tails_and_at_the_middle(p: float, df: float) -> None:
    assert t_quantile(p, df=df) == pytest.approx(float(stats.t.ppf(p, df)), rel=1e-11)


def test_many_degrees_of_freedom() -> None:
    """SciPy's t at 0.975: apart 2.9e-13 at 1e5, 3.1e-12 at 1e6 and 5.8e-10 at 1e8."""
    for df, near in ((1e5, 1e-12), (1e6, 1e-11), (1e8, 1e-8)):
        assert t_quantile(0.975, df=df) == pytest.approx(float(stats.t.ppf(0.975, df)), rel=near)

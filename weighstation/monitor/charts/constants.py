"""The constants of control charts for any subgroup size, worked out and not typed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import normal_cdf, normal_density
from weighstation.monitor.incomplete import stirling_error
from weighstation.quantities import in_words, is_count

_REACH = 9.0
"""Beyond so many sigma nothing is left of a normal distribution that a double could hold."""
_X_STEP = 0.05
_PANELS, _ORDER = 24, 12
LARGEST = 10_000
"""The integral for ranges is right up to here."""
LARGEST_OF_C4 = 10**12


@dataclass(frozen=True, slots=True)
class ChartConstants:
    """Constants for subgroups of ``n`` normal values with spread one.

    Parameters
    ----------
    n : int
    d2, d3 : float
        Mean and standard deviation of the range.
    c4 : float
        Mean of the standard deviation (with n - 1).

    Notes
    -----
    A2 = 3 / (d2 sqrt n), D3 and D4 = 1 -+ 3 d3 / d2, A3 = 3 / (c4 sqrt n),
    B3 and B4 = 1 -+ 3 sqrt(1 - c4^2) / c4; D3 and B3 are at least 0. ASTM MNL 7 and Montgomery,
    Introduction to Statistical Quality Control, appendix VI (from memory).
    """

    n: int
    d2: float
    d3: float
    c4: float

    @property
    def a2(self) -> float:
        """Limits of the mean, in mean ranges."""
        return 3 / (self.d2 * math.sqrt(self.n))

    @property
    def a3(self) -> float:
        """Limits of the mean, in mean standard deviations."""
        return 3 / (self.c4 * math.sqrt(self.n))

    @property
    def b3(self) -> float:
        """Lower limit of the standard deviation, in its mean."""
        return max(0.0, 1 - self._s_reach)

    @property
    def b4(self) -> float:
        """Upper limit of the standard deviation, in its mean."""
        return 1 + self._s_reach

    @property
    def d3_limit(self) -> float:
        """Lower limit of the range, in its mean: the tables' D3."""
        return max(0.0, 1 - 3 * self.d3 / self.d2)

    @property
    def d4_limit(self) -> float:
        """Upper limit of the range, in its mean: the tables' D4."""
        return 1 + 3 * self.d3 / self.d2

    @property
    def _s_reach(self) -> float:
        return 3 * math.sqrt(1 - self.c4 * self.c4) / self.c4


def chart_constants(n: int) -> ChartConstants:
    """Return the constants for a subgroup size.

    Parameters
    ----------
    n : int
        Values in a subgroup, 2 to 10,000.

    Returns
    -------
    ChartConstants

    Raises
    ------
    SpecificationError
        If there is no such size.

    Examples
    --------
    >>> found = chart_constants(5)
    >>> round(found.d2, 3), round(found.a2, 3), round(found.b4, 3)
    (2.326, 0.577, 2.089)
    """
    _checked_size(n, LARGEST)
    d2, d3 = _range_moments(n)
    return ChartConstants(n, d2, d3, c4(n))


def c4(n: int) -> float:
    """Return the mean standard deviation of ``n`` normal values with spread one.

    Parameters
    ----------
    n : int
        2 to a million million.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If there is no such size.

    Notes
    -----
    c4 = sqrt(2 / (n - 1)) Gamma(n / 2) / Gamma((n - 1) / 2); Montgomery, equation 4.12 (from
    memory). Worked out by Stirling's formula and its error, so that no large logarithm is left to
    cancel: 1 - c4^2 is what the limits are made of.

    Examples
    --------
    >>> round(c4(2), 7), round(c4(25), 7)
    (0.7978846, 0.9896404)
    """
    _checked_size(n, LARGEST_OF_C4)
    half = (n - 1) / 2
    errors = stirling_error(half + 0.5) - stirling_error(half)
    return math.exp(half * math.log1p(0.5 / half) - 0.5 + errors)


def _checked_size(n: int, largest: int) -> None:
    if not (is_count(n, least=2) and n <= largest):
        raise SpecificationError(f"A subgroup has 2 to {largest:,} values, not {in_words(n)}.")


@cache
def _range_moments(n: int) -> tuple[float, float]:
    """Return mean and standard deviation of the range of n standard normal values.

    The range is at most w with the chance F(w) = n times the integral of
    density(x) (cdf(x + w) - cdf(x))^(n - 1); its mean is the integral of 1 - F, its mean square
    that of 2 w (1 - F). Tippett, Biometrika 17 (1925) 364 (from memory). The inner integral is a
    trapezoid sum, which for such a function is as good as exact; the outer is Gauss-Legendre.
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    x = np.arange(-_REACH, _REACH + _X_STEP, _X_STEP)
    density = np.array([normal_density(each) for each in x.tolist()])
    below = np.array([normal_cdf(each) for each in x.tolist()])
    nodes, weights = np.polynomial.legendre.leggauss(_ORDER)
    width = 2 * _REACH / _PANELS
    starts = np.arange(_PANELS) * width
    w = (starts[:, None] + (nodes + 1) * width / 2).ravel()
    parts = np.tile(weights * width / 2, _PANELS)
    above = np.array([normal_cdf(each) for each in (x + w[:, None]).ravel().tolist()])
    at_most = n * _X_STEP * (above.reshape(len(w), -1) - below) ** (n - 1) @ density
    beyond = 1 - at_most
    mean = float(parts @ beyond)
    square = float(parts @ (2 * w * beyond))
    return mean, math.sqrt(square - mean * mean)

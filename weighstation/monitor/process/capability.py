"""Capability: how a band lies to the spread and the mean of what is cut, and how sure that is."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.charts.individuals import D2_OF_TWO
from weighstation.monitor.distributions import chi_square_quantile, normal_cdf, normal_quantile
from weighstation.monitor.given import checked_confidence
from weighstation.monitor.sample import check_summary, spread
from weighstation.quantities import is_number, mg_from_grams

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.monitor.process.intervals import Interval

WHAT = "A capability"


@dataclass(frozen=True, slots=True)
class Capability:
    """What a band and a run of weights say of each other.

    Parameters
    ----------
    n : int
        How many weights.
    mean_g, sd_g : float, grams
        Mean and overall standard deviation, with n - 1.
    lower, upper : float or None, grams
        Limits of the band; None on a side without one.
    confidence : float
        Of both intervals.
    cp, cpk : float or None, float
        Width of the band, and distance of the mean from the nearer limit, over six and three
        overall standard deviations. ``cp`` is None with one limit only.
    cp_interval, cpk_interval : (low, high) tuple of float
    share_below, share_above : float
        Expected shares outside, if the weights follow the normal law.
    within : Within or None
        The same two indices over the short-term spread, where the order of the weights is known.
    outside : int or None
        How many of the weights did lie outside, compared in whole milligrams; None when only
        mean and standard deviation were given.
    """

    n: int
    mean_g: float
    sd_g: float
    lower: float | None
    upper: float | None
    confidence: float
    cp: float | None
    cpk: float
    cp_interval: Interval | None
    cpk_interval: Interval
    share_below: float
    share_above: float
    within: Within | None = None
    outside: int | None = None

    @property
    def share_outside(self) -> float:
        """Expected share outside the band, if the weights follow the normal law."""
        return self.share_below + self.share_above

    @property
    def text(self) -> str:
        """One plain sentence with the interval, without which the index says little."""
        low, high = self.cpk_interval
        return (
            f"Cpk {self.cpk:.2f} from {self.n} pieces"
            f" ({100 * self.confidence:g} % interval {low:.2f} to {high:.2f});"
            f" by the normal law {100 * self.share_outside:.2g} % would lie outside the band."
        )


@dataclass(frozen=True, slots=True)
class Within:
    """The indices over the spread from one weight to the next.

    Parameters
    ----------
    sigma_g : float, grams
        Mean moving range over d2 of two.
    cp, cpk : float or None, float
        ``cp`` is None with one limit only.
    """

    sigma_g: float
    cp: float | None
    cpk: float


def capability(
    x: Iterable[float],
    lower: float | None = None,
    upper: float | None = None,
    *,
    confidence: float = 0.95,
) -> Capability:
    """Return the capability of a run of weights against a band.

    Parameters
    ----------
    x : (n,) float, grams
        In the order they were cut, not sorted by the band: first cuts, never kept pieces.
    lower, upper : float or None, grams
        Limits of the band; one of them may be missing.
    confidence : float
        Of the intervals, between 0 and 1.

    Returns
    -------
    Capability

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two weights.
    SpecificationError
        If a weight or a limit is not a finite number, all weights are equal, both limits are
        missing or they are reversed.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 6.1.6:
    ``Cp = (U - L) / 6 s``, ``Cpk = min(U - mean, mean - L) / 3 s``. The interval of Cp is
    ``Cp sqrt(chi-square / (n - 1))``; that of Cpk is Bissell's approximation there,
    ``Cpk +/- z sqrt(1 / (9 n) + Cpk^2 / (2 (n - 1)))``.

    The names: here ``cp`` and ``cpk`` use the overall standard deviation s, as that section
    does. Others call that pair Pp and Ppk, and keep Cp and Cpk for the short-term spread, which
    is `Within` here. The two agree as long as the process is stable; where they do not, the mean
    wanders, and the overall pair tells what is delivered.
    """
    sample = spread(x, what=WHAT)
    found = capability_from(
        sample.mean_g, sd_g=sample.sd_g, n=sample.n, band=(lower, upper), confidence=confidence
    )
    steps = [abs(b - a) for a, b in pairwise(sample.points)]
    sigma = math.fsum(steps) / len(steps) / D2_OF_TWO
    within = Within(sigma, *_indices(sample.mean_g, sigma, lower, upper))
    outside = sum(_is_outside(point, lower, upper) for point in sample.points)
    return replace(found, within=within, outside=outside)


def capability_from(
    mean_g: float,
    *,
    sd_g: float,
    n: int,
    band: tuple[float | None, float | None],
    confidence: float = 0.95,
) -> Capability:
    """Return the capability of a mean and a standard deviation against a band.

    Parameters
    ----------
    mean_g : float, grams
    sd_g : float, grams
        Overall standard deviation, with n - 1.
    n : int
        How many weights these two come from.
    band : (lower, upper) tuple of float or None, grams
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Capability

    Raises
    ------
    NotEnoughDataError
        If ``n`` is below 2.
    SpecificationError
        If mean or standard deviation are none, both limits are missing or they are reversed.

    Examples
    --------
    >>> found = capability_from(16, sd_g=2, n=30, band=(8, 20))
    >>> found.cp, round(found.cpk, 4)
    (1.0, 0.6667)
    """
    check_summary(mean_g, sd_g, n, what=WHAT)
    checked_confidence(confidence)
    lower, upper = _checked_band(*band)
    cp, cpk = _indices(mean_g, sd_g, lower, upper)
    return Capability(
        n=n,
        mean_g=mean_g,
        sd_g=sd_g,
        lower=lower,
        upper=upper,
        confidence=confidence,
        cp=cp,
        cpk=cpk,
        cp_interval=None if cp is None else _cp_interval(cp, n, confidence),
        cpk_interval=_cpk_interval(cpk, n, confidence),
        share_below=0.0 if lower is None else normal_cdf((lower - mean_g) / sd_g),
        share_above=0.0 if upper is None else normal_cdf((mean_g - upper) / sd_g),
    )


def _checked_band(lower: float | None, upper: float | None) -> tuple[float | None, float | None]:
    given = [limit for limit in (lower, upper) if limit is not None]
    if not given:
        raise SpecificationError(f"{WHAT} needs a lower or an upper limit.")
    if not is_number(*given):
        raise SpecificationError(f"{WHAT} takes finite limits only; leave a missing one out.")
    if lower is not None and upper is not None and lower >= upper:
        raise SpecificationError(
            f"The lower limit {lower:g} is not below the upper limit {upper:g}; swap them."
        )
    return lower, upper


def _indices(
    mean: float, sigma: float, lower: float | None, upper: float | None
) -> tuple[float | None, float]:
    """Return Cp, if there are two limits, and Cpk."""
    rooms = [] if lower is None else [mean - lower]
    rooms += [] if upper is None else [upper - mean]
    cp = None if lower is None or upper is None else (upper - lower) / (6 * sigma)
    return cp, min(rooms) / (3 * sigma)


def _cp_interval(cp: float, n: int, confidence: float) -> Interval:
    tail = (1 - confidence) / 2
    low, high = (chi_square_quantile(p, df=n - 1) for p in (tail, 1 - tail))
    return cp * math.sqrt(low / (n - 1)), cp * math.sqrt(high / (n - 1))


def _cpk_interval(cpk: float, n: int, confidence: float) -> Interval:
    z = normal_quantile((1 + confidence) / 2)
    half = z * math.sqrt(1 / (9 * n) + cpk**2 / (2 * (n - 1)))
    return cpk - half, cpk + half


def _is_outside(point: float, lower: float | None, upper: float | None) -> bool:
    mass = mg_from_grams(point)
    below = lower is not None and mass < mg_from_grams(lower)
    return below or (upper is not None and mass > mg_from_grams(upper))

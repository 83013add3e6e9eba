"""Whether a scale suits a product: what the law asks of a check, and what the bench loses."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology.accuracy import checked_mass, checked_number
from weighstation.monitor.distributions import normal_cdf, normal_density

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from decimal import Decimal

LEAST_DIVISIONS = 5
"""The error of a lawful check is at most a fifth of the tolerable deficiency."""

REACH = 8.0
PANELS = 16
"""How far what scatters is followed, in standard deviations, and in how many parts."""

_NODES = (
    (0.0, 128 / 225),
    (math.sqrt(5 - 2 * math.sqrt(10 / 7)) / 3, (322 + 13 * math.sqrt(70)) / 900),
    (math.sqrt(5 + 2 * math.sqrt(10 / 7)) / 3, (322 - 13 * math.sqrt(70)) / 900),
)
"""Gauss-Legendre, five points, one half of them: place and weight."""


def division_suits_law(
    division_g: float | Decimal | str,
    *,
    tolerance_g: float | Decimal | str,
    least_divisions: int = LEAST_DIVISIONS,
) -> bool:
    """Tell whether a division is fine enough for a check of the quantity in packages.

    Parameters
    ----------
    division_g : float, Decimal or str, grams
        Verification interval or scale interval, positive.
    tolerance_g : float, Decimal or str, grams
        Tolerable deficiency T of the declared quantity, positive.
    least_divisions : int
        Into so many parts T is divided at least, from 1 up; as the rule on quantities says.

    Returns
    -------
    bool
        True up to a fifth of T, or such a part, the fifth itself included.

    Raises
    ------
    SpecificationError
        If a number means nothing.

    Notes
    -----
    The error of the check is at most T / 5: read in UK (Northern Ireland) SR 2011/331, Schedule 2,
    1.3, the same in Directive 76/211/EEC, Annex II, 1.3; a division of at most T / 6 is NIST
    Handbook 133, 2.2, from memory. Taking the division for that error is the
    least that is asked; the whole error, `weighstation.metrology.uncertainty`, is more.

    Examples
    --------
    >>> division_suits_law(2, tolerance_g=12), division_suits_law(5, tolerance_g=12)
    (True, False)
    >>> division_suits_law(5, tolerance_g=29, least_divisions=6)
    False
    """
    tolerance = checked_mass(tolerance_g, "A tolerable deficiency", positive=True)
    division = checked_mass(division_g, "A division", positive=True)
    if isinstance(least_divisions, bool) or not isinstance(least_divisions, int):
        raise SpecificationError("A deficiency is divided into a whole number of parts.")
    if least_divisions < 1:
        raise SpecificationError("A deficiency is divided into at least 1 part.")
    return division * least_divisions <= tolerance


@dataclass(frozen=True, slots=True)
class Scatter:
    """How the pieces come, and how their scale repeats itself.

    Parameters
    ----------
    sd_g : float, grams
        Spread of the pieces themselves, positive.
    mean_error_g : float, grams
        Mean piece less scaling weight.
    repeatability_g : float, grams
        Standard deviation of one load weighed again and again, before rounding; not negative.

    Raises
    ------
    SpecificationError
        If a number means nothing.
    """

    sd_g: float
    mean_error_g: float = 0.0
    repeatability_g: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what is no spread."""
        if checked_number(self.sd_g, "A spread in grams", least=0) == 0:
            raise SpecificationError("Pieces have a spread of more than 0 g.")
        checked_number(self.mean_error_g, "A mean error in grams")
        checked_number(self.repeatability_g, "A repeatability in grams", least=0)


@dataclass(frozen=True, slots=True)
class Misjudged:
    """What share of all pieces a scale misjudges at a band.

    Parameters
    ----------
    kept_outside : float
        Out of the band, and shown in it.
    refused_inside : float
        In the band, and shown out of it.
    division_g : float, grams
    """

    kept_outside: float
    refused_inside: float
    division_g: float

    @property
    def share(self) -> float:
        """Both together."""
        return self.kept_outside + self.refused_inside

    @property
    def text(self) -> str:
        """One plain sentence; a warning, never a bar."""
        return (
            f"A division of {self.division_g:g} g misjudges {100 * self.share:.1f} of 100 pieces"
            f" at this band: {100 * self.kept_outside:.1f} are kept though out of it,"
            f" {100 * self.refused_inside:.1f} are touched though in it."
        )


def misjudged(scatter: Scatter, *, under_g: float, over_g: float, division_g: float) -> Misjudged:
    """Return what share of pieces a scale misjudges, by its rounding and its repeatability.

    Parameters
    ----------
    scatter : Scatter
    under_g, over_g : float, grams
        The band about a scaling weight that the scale can show; not negative.
    division_g : float, grams
        Scale interval d, positive.

    Returns
    -------
    Misjudged

    Raises
    ------
    SpecificationError
        If the band or the division means nothing.

    Notes
    -----
    Pieces and the scale's own scatter follow the normal law. The load is rounded to d; where the
    empty pan's zero lies within its own division is unknown and counts as evenly spread. Given a
    true error x, what is shown is kept with the chance that ``x + zero + scatter`` lies within half
    a division of the values in band; the mean over the zero has the closed form
    ``(s / d) [G((c + d/2) / s) - G((c - d/2) / s)]`` with ``G(u) = u Phi(u) + phi(u)``. Over the
    pieces it is a sum, Gauss-Legendre with five points in each of 16 parts between the places
    where the chance bends. Own derivation, held against a simulation that rounds. No fixed rule of
    a division to a tolerance is used at the bench: the share says more.
    """
    division = checked_mass(division_g, "A division", positive=True)
    under = checked_mass(under_g, "'under'")
    over = checked_mass(over_g, "'over'")
    d = float(division)
    lowest = d * math.ceil(-under / division) - d / 2
    highest = d * math.floor(over / division) + d / 2
    noise = scatter.repeatability_g

    def kept(x: float) -> float:
        return _mean_cdf(highest - x, d, noise) - _mean_cdf(lowest - x, d, noise)

    def refused(x: float) -> float:
        return 1.0 - kept(x)

    reach = d / 2 + REACH * noise
    bends = [c + side for c in (lowest, highest) for side in (-reach, -d / 2, d / 2, reach)]
    low, high = -float(under), float(over)
    outside = _over(kept, scatter, [-math.inf, *bends, low])
    outside += _over(kept, scatter, [high, *bends, math.inf])
    return Misjudged(outside, _over(refused, scatter, [low, *bends, high]), d)


def _mean_cdf(c: float, d: float, noise: float) -> float:
    """Return the chance that zero plus scatter is below c, zero even over one division."""
    if noise < 1e-9 * d:
        return min(1.0, max(0.0, c / d + 0.5))
    upper, lower = (c + d / 2) / noise, (c - d / 2) / noise
    return (_ramp(upper) - _ramp(lower)) * noise / d


def _ramp(u: float) -> float:
    return u * normal_cdf(u) + normal_density(u)


def _over(share: Callable[[float], float], scatter: Scatter, places: Sequence[float]) -> float:
    """Return the integral of a share over the pieces from the first place to the last.

    The places between are those where the share bends; the sum begins anew at each.
    """
    mean, sd = scatter.mean_error_g, scatter.sd_g
    first, last = max(places[0], mean - REACH * sd), min(places[-1], mean + REACH * sd)
    between = (place for place in places[1:-1] if first < place < last)
    edges = sorted({first, *between, last}) if first < last else []
    return math.fsum(
        weight * share(x) * normal_density((x - mean) / sd) * half / sd
        for begin, end in pairwise(edges)
        for half in ((end - begin) / PANELS / 2,)
        for panel in range(PANELS)
        for x, weight in _points(begin + (2 * panel + 1) * half, half)
    )


def _points(centre: float, half: float) -> list[tuple[float, float]]:
    places = [(centre, _NODES[0][1])]
    for place, weight in _NODES[1:]:
        places += [(centre - place * half, weight), (centre + place * half, weight)]
    return places

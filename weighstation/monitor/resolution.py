"""What the scale's division does to a spread, and when there is none left to chart."""

from __future__ import annotations

import math

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words, is_number

LEAST_SD_IN_DIVISIONS = 0.55
"""Below this displayed spread nothing is charted; house figure.

Rounding to a division d adds d^2 / 12 to the variance (JCGM 100:2008, F.2.2.1), more than a
quarter of all that is seen at this place. Below it the correction fails, because the error of
rounding is no longer independent of the weight: where the mean lies between two marks decides
what is seen. Half-way between them no spread at all is shown as d / 2. Measured by
``tests/benchmarks/division_and_spread.py``: a true spread of d / 2 is shown as 0.57 to 0.58 d and
corrected to within 1.2 %; one of 0.4 d as 0.46 to 0.53 d.
"""

PLAIN_SD_IN_DIVISIONS = 1.0
"""From here on the division hides at most 4 % of the spread, and may be forgotten."""


def rounding_sd_g(division_g: float) -> float:
    """Return the standard uncertainty that a division brings: d / sqrt(12).

    Parameters
    ----------
    division_g : float, grams
        The scale interval d, positive.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If the division is not positive.

    Notes
    -----
    JCGM 100:2008, F.2.2.1 (from memory; the relation seen in a secondary copy).

    Examples
    --------
    >>> round(rounding_sd_g(1.0), 6)
    0.288675
    """
    _check_division(division_g)
    return division_g / math.sqrt(12)


def net_rounding_sd_g(division_g: float) -> float:
    """Return the same for a net weight, the difference of two roundings: d / sqrt(6).

    Parameters
    ----------
    division_g : float, grams
        The scale interval d, positive.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If the division is not positive.

    Notes
    -----
    Two independent roundings, of the zero and of the load: EURAMET cg-18 (from memory).
    """
    return rounding_sd_g(division_g) * math.sqrt(2)


def sheppard_sd_g(sd_g: float, *, division_g: float) -> float:
    """Return a displayed standard deviation less what the division added to it.

    Parameters
    ----------
    sd_g : float, grams
        Of displayed weights.
    division_g : float, grams
        The scale interval d, positive.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If the division is not positive, or the spread is too small to be corrected.

    Notes
    -----
    Sheppard's correction, ``sqrt(s^2 - d^2 / 12)`` (from memory). It is for a standard deviation
    only: a mean moving range is right without it, on average over where the mean lies between two
    marks, for the mean difference of two rounded weights is then that of the weights themselves.
    Measured by ``tests/benchmarks/division_and_spread.py``: within 0.4 % from 0.3 divisions on.
    """
    require_resolution(sd_g, division_g=division_g)
    return math.sqrt(sd_g**2 - division_g**2 / 12)


def require_resolution(sd_g: float, *, division_g: float) -> None:
    """Refuse a spread that the scale cannot resolve.

    Parameters
    ----------
    sd_g : float, grams
        Of displayed weights, not negative.
    division_g : float, grams
        The scale interval d, positive.

    Raises
    ------
    SpecificationError
        If the displayed spread is below 0.55 divisions.
    """
    _check_division(division_g)
    if not (is_number(sd_g) and sd_g >= 0):
        raise SpecificationError(f"A spread is not negative and finite, not {in_words(sd_g)} g.")
    if sd_g < LEAST_SD_IN_DIVISIONS * division_g:
        raise SpecificationError(
            f"A division of {division_g:g} g cannot show a spread of {sd_g:.2g} g;"
            f" weigh on a scale of {_finer(sd_g, division_g):g} g or finer to chart it."
        )


def resolution_text(sd_g: float, *, division_g: float) -> str:
    """Return what the division does to a spread, in one plain sentence.

    Parameters
    ----------
    sd_g : float, grams
        Of displayed weights.
    division_g : float, grams
        The scale interval d, positive.

    Returns
    -------
    str

    Raises
    ------
    SpecificationError
        If the displayed spread is below 0.55 divisions.
    """
    corrected = sheppard_sd_g(sd_g, division_g=division_g)
    more = 100 * (sd_g / corrected - 1)
    if sd_g >= PLAIN_SD_IN_DIVISIONS * division_g:
        return f"The division of {division_g:g} g adds {more:.1f} % to the spread, which is little."
    return (
        f"The division of {division_g:g} g adds {more:.0f} % to the spread:"
        f" {sd_g:.2f} g are shown, {corrected:.2f} g are the dough's."
    )


def _finer(sd_g: float, division_g: float) -> float:
    """Return the greatest usual division (1, 2, 5) that would show what may be the spread."""
    wanted = min(division_g / 2, max(sd_g, division_g / 10))
    decade = 10.0 ** math.floor(math.log10(wanted))
    return max(step * decade for step in (1, 2, 5) if step * decade <= wanted * (1 + 1e-9))


def _check_division(division_g: float) -> None:
    if not (is_number(division_g) and division_g > 0):
        raise SpecificationError(
            f"A division is a positive number of grams, not {in_words(division_g)}."
        )

"""Dough temperature -> how fast it ferments, by three laws that differ, and so show what is known.

All laws speak of the dough's own temperature. A prover warms a piece slowly, a retarder cools it
over one to three hours (common practice, no source): give what a probe in the dough shows.
"""

from __future__ import annotations

import math
from enum import Enum
from itertools import pairwise

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words, is_number

STILL_C = 4.0
"""At and below it yeast is taken to stand still; the lowest temperatures at which strains of
Saccharomyces grew are 1.3 to 4.3 C: Salvado et al., Applied and Environmental Microbiology 77
(2011) 2292 (abstract read)."""

MOST_C = 38.0
"""Above it no law here holds. That yeast itself grows best at 32.3 C (the same source), it gasses
best at 32 to 40 C (trade article, read in an excerpt), and from about 45 C it fails."""

COLDEST_MEASURED_C = 13.0
"""The coldest proof to a fixed height that the sources have: Freilich (1949), quoted in Siffring
and Bruinsma, Cereal Chemistry 70 (1993) 351 (excerpt read)."""

COLDEST_C = -60.0
"""No freezer of a bakery is colder; a probe that has come off may say so."""


class Law(Enum):
    """How the rate of fermentation goes with temperature; the value is said to the baker."""

    SQUARE = "square of the degrees above 4"
    DOUBLING = "doubles in 10 degrees"
    TENTH = "a tenth more for each degree"


_GROWTH = {Law.DOUBLING: math.log(2.0) / 10.0, Law.TENTH: math.log(1.1)}


def rate(temp_c: float, *, reference_c: float, law: Law = Law.SQUARE) -> float:
    """Return how fast dough ferments, compared with another temperature.

    Parameters
    ----------
    temp_c : float, degrees Celsius
        Of the dough, at most 38.
    reference_c : float, degrees Celsius
        Where the rate is 1; above 4 and at most 38.
    law : Law

    Returns
    -------
    float
        0 at and below 4 degrees.

    Raises
    ------
    SpecificationError
        If a temperature is outside what the laws hold for.

    Notes
    -----
    SQUARE: ((T - 4) / (Tref - 4))^2, the square-root law of growth, Ratkowsky et al., Journal of
    Bacteriology 149 (1982) 1 (abstract read: it holds for yeast too), with 4 C as its foot.
    DOUBLING: 2^((T - Tref) / 10), a rule of the trade; a school of bread has 17 F for a doubling,
    which is 2.08 in 10 C. TENTH: 1.1^(T - Tref), trade article (excerpt read). Below 13 C, where
    none was measured, the last two go down to 0 at 4 C as the square does: house figure.

    Examples
    --------
    >>> round(rate(20, reference_c=26), 3), rate(3, reference_c=26)
    (0.529, 0.0)
    """
    return mean_rate(temp_c, temp_c, reference_c=reference_c, law=law)


def mean_rate(from_c: float, to_c: float, *, reference_c: float, law: Law = Law.SQUARE) -> float:
    """Return the mean rate while the temperature goes evenly from one value to another.

    Parameters
    ----------
    from_c, to_c : float, degrees Celsius
        Of the dough, at most 38.
    reference_c : float, degrees Celsius
        Where the rate is 1; above 4 and at most 38.
    law : Law

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If a temperature is outside what the laws hold for.

    Notes
    -----
    The integral is exact: (a^2 + ab + b^2) / 3 for a square between a and b, the mean of an
    exponential in closed form, each between the temperatures at which the law changes.

    Examples
    --------
    >>> round(mean_rate(26, 4, reference_c=26), 6)
    0.333333
    """
    low, high = sorted((checked_temperature(from_c), checked_temperature(to_c)))
    reference = checked_reference(reference_c)
    return _mean(low, high, law) / _mean(reference, reference, law)


def slowed(temp_c: float, *, times: float) -> float:
    """Return the temperature at which everything takes so many times as long, by the square law.

    Parameters
    ----------
    temp_c : float, degrees Celsius
        Of the dough now; above 4 and at most 38.
    times : float
        1 or more.

    Returns
    -------
    float, degrees Celsius

    Raises
    ------
    SpecificationError
        If the temperature is outside what the law holds for, or nothing is to be slower.

    Notes
    -----
    4 + (T - 4) / root(times): the square law turned round.

    Examples
    --------
    >>> slowed(24, times=4)
    14.0
    """
    if not (is_number(times) and times >= 1):
        raise SpecificationError(
            f"Slower is 1 times as long or more, not {in_words(times)}.",
            hint="Give how often as long.",
        )
    return STILL_C + (checked_reference(temp_c) - STILL_C) / math.sqrt(times)


def checked_temperature(temp_c: float) -> float:
    """Return a temperature that the laws hold for.

    Parameters
    ----------
    temp_c : float, degrees Celsius

    Returns
    -------
    float, degrees Celsius

    Raises
    ------
    SpecificationError
        If it is not finite, below -60 or above 38.
    """
    if not (is_number(temp_c) and COLDEST_C <= temp_c <= MOST_C):
        raise SpecificationError(
            f"The laws of fermentation hold from {COLDEST_C:.0f} to {MOST_C:.0f} C,"
            f" not for {in_words(temp_c)} C.",
            hint="Give the temperature of the dough itself, in degrees Celsius.",
        )
    return float(temp_c)


def checked_reference(reference_c: float) -> float:
    """Return a temperature that rates can be compared with.

    Parameters
    ----------
    reference_c : float, degrees Celsius

    Returns
    -------
    float, degrees Celsius

    Raises
    ------
    SpecificationError
        If it is not above 4 and at most 38.
    """
    if not (is_number(reference_c) and STILL_C < reference_c <= MOST_C):
        raise SpecificationError(
            f"Rates are compared with a temperature above {STILL_C:.0f} and up to {MOST_C:.0f} C,"
            f" not {in_words(reference_c)} C.",
            hint="Give the temperature that the proof time was found at, in degrees Celsius.",
        )
    return float(reference_c)


def _mean(low: float, high: float, law: Law) -> float:
    """Return the mean of the unscaled law between two temperatures."""
    if low == high:
        return _piece(low, high, law)
    changes = [edge for edge in (STILL_C, COLDEST_MEASURED_C) if low < edge < high]
    parts = pairwise([low, *changes, high])
    return math.fsum((q - p) / (high - low) * _piece(p, q, law) for p, q in parts)


def _piece(low: float, high: float, law: Law) -> float:
    """Return the mean between two temperatures with no change of the law between them."""
    middle = (low + high) / 2
    if middle <= STILL_C:
        return 0.0
    if law is Law.SQUARE or middle <= COLDEST_MEASURED_C:
        a, b = low - STILL_C, high - STILL_C
        scale = COLDEST_MEASURED_C - STILL_C
        return (a * a + a * b + b * b) / (3 * scale * scale)
    k = _GROWTH[law]
    half = k * (high - low) / 2
    bulge = math.sinh(half) / half if half > 0 else 1.0
    return math.exp(k * (middle - COLDEST_MEASURED_C)) * bulge

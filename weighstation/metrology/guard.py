"""Guard band: limits drawn in by what the weighing does not know."""

from __future__ import annotations

from dataclasses import dataclass

from weighstation.errors import SpecificationError
from weighstation.metrology.accuracy import checked_number
from weighstation.metrology.uncertainty import COVERAGE
from weighstation.monitor.distributions import normal_cdf


@dataclass(frozen=True, slots=True)
class Acceptance:
    """Between which indications a piece is accepted.

    Parameters
    ----------
    lower_g, upper_g : float or None, grams
        None where there is no limit.
    guard_g : float, grams
        How far each limit was drawn in.
    """

    lower_g: float | None
    upper_g: float | None
    guard_g: float


def guard_band(standard_g: float, *, ratio: float = 1.0) -> float:
    """Return how wide a guard band is: ``w = r U`` with ``U = 2 u``.

    Parameters
    ----------
    standard_g : float, grams
        Standard uncertainty u of one weight, not negative.
    ratio : float
        r; 0 switches it off.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number is negative or not finite.

    Notes
    -----
    JCGM 106:2012, 8.3, and ILAC-G8:09/2019 (from memory).
    """
    checked_number(standard_g, "An uncertainty in grams", least=0)
    checked_number(ratio, "The ratio of a guard band", least=0)
    return ratio * COVERAGE * standard_g


def acceptance(
    guard_g: float, *, lower_g: float | None = None, upper_g: float | None = None
) -> Acceptance:
    """Return limits drawn in by a guard band.

    Parameters
    ----------
    guard_g : float, grams
        Its width w, not negative; see `guard_band`.
    lower_g, upper_g : float or None, grams
        Limits of what is allowed; None where there is none.

    Returns
    -------
    Acceptance

    Raises
    ------
    SpecificationError
        If a number means nothing, or nothing is left between the limits.

    Notes
    -----
    ``A_L = T_L + w`` and ``A_U = T_U - w``: JCGM 106:2012, 8.3 (from memory).

    Examples
    --------
    >>> acceptance(guard_band(0.5), lower_g=388).lower_g
    389.0
    """
    checked_number(guard_g, "A guard band in grams", least=0)
    check_limits(lower_g, upper_g)
    low = None if lower_g is None else lower_g + guard_g
    high = None if upper_g is None else upper_g - guard_g
    if low is not None and high is not None and low > high:
        raise SpecificationError(
            f"A guard band of {guard_g:.3g} g on either side leaves nothing between {lower_g:g} and"
            f" {upper_g:g} g: weigh on a finer scale, or choose a smaller ratio."
        )
    return Acceptance(low, high, guard_g)


def worst_false_accept(ratio: float) -> float:
    """Return the chance that a piece read just on the acceptance limit is out after all.

    Parameters
    ----------
    ratio : float
        r of the guard band, not negative.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If the ratio is negative or not finite.

    Notes
    -----
    ``Phi(-2 r)``: JCGM 106:2012, 8.3 (from memory, recomputed).

    Examples
    --------
    >>> round(worst_false_accept(1.0), 6)
    0.02275
    """
    return normal_cdf(-guard_band(1.0, ratio=ratio))


def chance_within(
    indicated_g: float,
    *,
    standard_g: float,
    lower_g: float | None = None,
    upper_g: float | None = None,
) -> float:
    """Return the chance that a weight is within its limits, given what was read.

    Parameters
    ----------
    indicated_g : float, grams
    standard_g : float, grams
        Standard uncertainty u of the reading, positive.
    lower_g, upper_g : float or None, grams
        None where there is no limit.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If a number means nothing.

    Notes
    -----
    ``Phi((T_U - y) / u) - Phi((T_L - y) / u)``: JCGM 106:2012, 7 (from memory, recomputed), for a
    normal error and nothing known of the piece beforehand.

    Examples
    --------
    >>> round(chance_within(388.5, standard_g=0.5, lower_g=388), 6)
    0.841345
    """
    check_limits(lower_g, upper_g)
    checked_number(indicated_g, "An indication in grams")
    if checked_number(standard_g, "An uncertainty in grams", least=0) == 0:
        raise SpecificationError("An uncertainty is more than 0 g.")
    below = 0.0 if lower_g is None else normal_cdf((lower_g - indicated_g) / standard_g)
    above = 0.0 if upper_g is None else normal_cdf((indicated_g - upper_g) / standard_g)
    return 1.0 - below - above


def check_limits(lower_g: float | None, upper_g: float | None) -> None:
    """Refuse limits that are none.

    Parameters
    ----------
    lower_g, upper_g : float or None, grams

    Raises
    ------
    SpecificationError
        If both are missing, one is not finite, or they are the wrong way round.
    """
    given = [
        checked_number(limit, "A limit in grams")
        for limit in (lower_g, upper_g)
        if limit is not None
    ]
    if not given:
        raise SpecificationError("Give at least one limit.")
    if len(given) == 2 and given[0] > given[1]:
        raise SpecificationError(
            f"The lower limit of {given[0]:g} g is above the upper one of {given[1]:g} g."
        )

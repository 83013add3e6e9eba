"""What a hand can do at its best: how fine a cut is, and how many pieces can lie on some marks."""

from __future__ import annotations

import math

from weighstation.errors import SpecificationError

FINEST_HAND = 0.0015
"""Standard deviation of the finest corrections, in parts of the scaling weight; house figure.

1.1 g at 740 g: less than the pinch of dough that is added or taken off.
"""

LEAST_CUT = 0.005
"""Least standard deviation of first cuts, in parts of the scaling weight; house figure.

Skilled hands cut with 2 to 4 %, the best machines are claimed to reach 0.5 % (common practice, no
source for either).
"""


def finest_hand_mg(target_mg: int) -> float:
    """Return the least standard deviation that corrected pieces can have.

    Parameters
    ----------
    target_mg : int, milligrams
        The scaling weight.

    Returns
    -------
    float, milligrams
    """
    return FINEST_HAND * target_mg


def least_cut_mg(target_mg: int) -> float:
    """Return the least standard deviation that first cuts can have.

    Parameters
    ----------
    target_mg : int, milligrams
        The scaling weight.

    Returns
    -------
    float, milligrams
    """
    return LEAST_CUT * target_mg


def most_on_marks(every: int, *, sd_divisions: float) -> float:
    """Return the largest share of normal weights that can show one of every so many marks.

    Parameters
    ----------
    every : int
        5 for each fifth mark; at least 2.
    sd_divisions : float, divisions
        Standard deviation of the weights before they are rounded.

    Returns
    -------
    float
        The share where the mean lies on such a mark; anywhere else it is less, and so it is for
        any mixture of weights that each spread as much or more.

    Raises
    ------
    SpecificationError
        If ``every`` is below 2 or the spread negative.

    Notes
    -----
    The sum of the masses of the normal law between half a division below and above each such
    mark. Poisson's sum formula gives the same as ``(1 + 2 sum over m of exp(-2 pi^2 m^2 s^2 /
    every^2) sinc(m / every)) / every``: from three divisions of spread on, every fifth mark has a
    fifth to within a thousandth, which is the "uniform last digit".

    Examples
    --------
    >>> [round(most_on_marks(5, sd_divisions=s), 3) for s in (1.0, 1.5, 3.0)]
    [0.383, 0.263, 0.2]
    """
    if every < 2 or not sd_divisions >= 0:
        raise SpecificationError("Give every second mark or more, and a spread not below 0.")
    if sd_divisions == 0:
        return 1.0
    share = math.erf(0.5 / (sd_divisions * math.sqrt(2)))
    reach = math.ceil(10 * sd_divisions / every)
    for turn in range(1, reach + 1):
        share += 2 * _between(turn * every, sd_divisions)
    return min(1.0, share)


def most_on_one(*, sd_divisions: float) -> float:
    """Return the largest share of normal weights that can show one and the same mark.

    Parameters
    ----------
    sd_divisions : float, divisions

    Returns
    -------
    float
    """
    return math.erf(0.5 / (sd_divisions * math.sqrt(2))) if sd_divisions > 0 else 1.0


def _between(mark: int, sd: float) -> float:
    root = sd * math.sqrt(2)
    return (math.erfc((mark - 0.5) / root) - math.erfc((mark + 0.5) / root)) / 2

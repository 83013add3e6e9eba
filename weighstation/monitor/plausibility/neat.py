"""Do weights end on round numbers more often than an honest hand can place them there."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import binomial_sf
from weighstation.monitor.plausibility.flag import (
    ALPHA,
    FEWEST,
    Flag,
    FlagKind,
    grams,
    marks_of,
    rarely,
)
from weighstation.monitor.plausibility.hands import finest_hand_mg, most_on_marks

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.specification.limits import Limits


def round_steps(division_mg: int) -> tuple[int, int]:
    """Return which marks of a scale are round numbers to a person: every so many.

    Parameters
    ----------
    division_mg : int, milligrams
        The scale interval d, positive.

    Returns
    -------
    (2,) tuple of int
        Marks from one round number to the next, the finer step first: fives and tens where d is
        1 of a unit, tens and fifties where it is 2 or 5 of it; of any other d each fifth and
        tenth mark.

    Examples
    --------
    >>> round_steps(1000), round_steps(2000), round_steps(500)
    ((5, 10), (5, 25), (2, 10))
    """
    leading = str(division_mg).rstrip("0")
    return {"2": (5, 25), "5": (2, 10)}.get(leading, (5, 10))


def too_neat(
    weights_mg: Sequence[int],
    *,
    division_mg: int,
    limits: Limits | None = None,
    alpha: float = ALPHA,
) -> Flag | None:
    """Return a flag if too many weights are round numbers.

    Parameters
    ----------
    weights_mg : (n,) sequence of int, milligrams
        Of one person at one product, in the order they came, in whole divisions; kept or typed
        weights with their ``limits``, or first cuts without.
    division_mg : int, milligrams
        The scale interval d.
    limits : Limits or None
        The band by which they were sorted; None where nothing sorted them.
    alpha : float
        For both steps of round numbers together.

    Returns
    -------
    Flag or None
        None also below thirty weights, and where the division is too coarse for the question.

    Raises
    ------
    SpecificationError
        If the division is not above 0.

    Notes
    -----
    Exact binomial test (Clopper and Pearson, Biometrika 26 (1934) 404: the tail sums; from memory)
    against the largest share that an honest bench can have. Without limits that is the normal law
    with the spread between neighbours, half their mean square successive difference (J. von
    Neumann et al., Annals of Mathematical Statistics 12 (1941) 153; from memory), at the place of
    its mean where it has the most round numbers.
    With limits it is the larger of two: the same for the finest correcting hand, 0.15 % of the
    scaling weight, and the share of round marks among those of the band, which is that of cuts
    that fill the band evenly. Neighbours that hang together, and doughs that differ, make a
    mixture of laws that each have less.

    Benford's law of first digits says nothing here: it wants values over several orders of
    magnitude, and all pieces of a product lie within some percent of one weight, so that their
    first digits are its own.

    Not seen: round numbers in a sixth of the kept weights or less, where the finest hand could
    have placed them (a third is seen); a person who takes care to type others.

    Examples
    --------
    >>> too_neat([740_000, 745_000, 735_000, 740_000] * 10, division_mg=1000).count
    40
    """
    marks = marks_of(weights_mg, division_mg)
    if len(marks) < FEWEST:
        return None
    steps = round_steps(division_mg)
    found = [_flag(marks, step, division_mg, limits, alpha / len(steps)) for step in steps]
    return min((flag for flag in found if flag), key=lambda flag: flag.p or 0.0, default=None)


def _flag(
    marks: list[int], step: int, division_mg: int, limits: Limits | None, alpha: float
) -> Flag | None:
    n, round_ones = len(marks), sum(mark % step == 0 for mark in marks)
    most = _most_sorted(step, division_mg, limits) if limits else _most_cut(marks, step)
    p = binomial_sf(round_ones - 1, n=n, p=most)
    if p >= alpha:
        return None
    text = (
        f"{round_ones} of {n} weights are multiples of {grams(step * division_mg)}, where at most"
        f" {most * n:.0f} would be expected ({rarely(p)} by chance): were they weighed,"
        " or typed, or is the scale's division coarser than it is said to be?"
    )
    figures = {"step_mg": step * division_mg, "expected_most": most * n, "share": round_ones / n}
    return Flag(FlagKind.NEAT, text, n, figures, p, round_ones, alpha)


def _most_cut(marks: list[int], step: int) -> float:
    """Return the share for weights that nothing sorted, by the spread between neighbours.

    A shift of the scale or between doughs is not in it; what the division adds is taken off.
    """
    squares = sum((two - one) ** 2 for one, two in pairwise(marks))
    variance = squares / (2 * (len(marks) - 1))
    return most_on_marks(step, sd_divisions=math.sqrt(max(0.0, variance - 1 / 12)))


def _most_sorted(step: int, division_mg: int, limits: Limits) -> float:
    first = math.ceil((limits.target_mg - limits.under_mg) / division_mg)
    last = math.floor((limits.target_mg + limits.over_mg) / division_mg)
    in_band = max(1, last - first + 1)
    evenly = (last // step - (first - 1) // step) / in_band
    finest = finest_hand_mg(limits.target_mg) / division_mg
    return max(evenly, most_on_marks(step, sd_divisions=finest))

"""Do first cuts pile up just inside a limit that nobody knew when they were cut."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import binomial_sf, normal_cdf
from weighstation.monitor.plausibility.flag import (
    ALPHA,
    FEWEST,
    Flag,
    FlagKind,
    grams,
    marks_of,
    rarely,
)
from weighstation.monitor.sample import Sample, checked

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.specification.limits import Limits

WINDOW_SD = 0.25
"""How far on either side of a limit weights are counted, in spreads; house figure."""

STEEPER = 1.2
"""The limit is taken to lie so much further out, where the law falls more steeply; house figure."""


def just_inside(
    first_mg: Sequence[int], *, division_mg: int, limits: Limits, alpha: float = ALPHA
) -> Flag | None:
    """Return a flag if far more first cuts lie just inside a limit than just outside it.

    Parameters
    ----------
    first_mg : (n,) sequence of int, milligrams
        First cuts of one person at one product, those that were corrected afterwards too.
    division_mg : int, milligrams
        The scale interval d.
    limits : Limits
        The band; both limits belong to it.
    alpha : float
        For both limits together.

    Returns
    -------
    Flag or None
        None also below thirty weights.

    Raises
    ------
    SpecificationError
        If the division is not above 0.

    Notes
    -----
    A density test at a cutoff after J. McCrary, Journal of Econometrics 142 (2008) 698 (from
    memory): whoever cuts does not see the scale, so the law of first cuts is smooth across a
    limit, whatever happens to the pieces later. Counted are equal windows on either side, a
    quarter of the spread wide, and held by the exact binomial test against the share inside that
    the fitted normal law has, its limit taken a fifth further out.

    Flagged: pieces that were pressed, held or typed from just outside to just inside. Not flagged:
    kept pieces that lie near a limit. Trimming leaves them there honestly, a lazy trim most of
    all, so that kept pieces alone (a tally that was brought in) say nothing and are not asked.
    A piece that is corrected before the pan first comes to rest looks like one that was pressed.
    """
    marks = marks_of(first_mg, division_mg)
    if len(marks) < FEWEST:
        return None
    sample = checked(map(float, marks), what="A question for a limit")
    if not sample.sd_g:
        return None
    low = math.ceil((limits.target_mg - limits.under_mg) / division_mg)
    high = math.floor((limits.target_mg + limits.over_mg) / division_mg)
    mirrored = Sample(tuple(-mark for mark in sample.points), -sample.mean_g, sample.sd_g)
    sides = ((sample, low, "lower"), (mirrored, -high, "upper"))
    found = [_flag(one, edge, name, division_mg, alpha / 2) for one, edge, name in sides]
    return min((flag for flag in found if flag), key=lambda flag: flag.p or 0.0, default=None)


def _flag(sample: Sample, edge: int, name: str, division_mg: int, alpha: float) -> Flag | None:
    """Return the flag for a limit that lies below; ``edge`` is the first mark inside."""
    width = max(1, round(WINDOW_SD * sample.sd_g))
    inside = sum(edge <= mark < edge + width for mark in sample.points)
    outside = sum(edge - width <= mark < edge for mark in sample.points)
    expected = _share_inside(sample, edge, width)
    p = binomial_sf(inside - 1, n=inside + outside, p=expected)
    if p >= alpha:
        return None
    text = (
        f"{inside} first cuts lie within {grams(width * division_mg)} inside the {name} limit and"
        f" {outside} as near outside it ({rarely(p)} by chance): were pieces held or pressed, or"
        " corrected before the pan came to rest?"
    )
    figures = {
        "window_mg": width * division_mg,
        "outside": outside,
        "expected_most": expected * (inside + outside),
    }
    return Flag(FlagKind.INSIDE, text, sample.n, figures, p, inside, alpha)


def _share_inside(sample: Sample, edge: int, width: int) -> float:
    """Return which share of both windows the law has inside; at least a half."""
    away = max(0.0, STEEPER * (sample.mean_g - (edge - 0.5)) / sample.sd_g)
    step = width / sample.sd_g
    at, within, beyond = (normal_cdf(-away + turn * step) for turn in (0, 1, -1))
    if at <= beyond:
        return 1.0
    return max(0.5, (within - at) / (within - beyond))

"""Is the spread smaller than this bench has shown before, or than a hand can cut."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import chi_square_cdf, t_cdf
from weighstation.monitor.plausibility.flag import (
    ALPHA,
    FEWEST,
    Flag,
    FlagKind,
    grams,
    marks_of,
    rarely,
)
from weighstation.monitor.plausibility.hands import least_cut_mg
from weighstation.monitor.resolution import LEAST_SD_IN_DIVISIONS
from weighstation.monitor.sample import checked

if TYPE_CHECKING:
    from collections.abc import Sequence

FEWEST_FORMER = 8
"""Weeks of its own history that a bench needs before it is held against them; house figure."""

MOST_OF_FORMER = 0.5
"""A spread is too even from this part of the former on; house figure, because practice helps."""


def even_beside_former(
    weights_mg: Sequence[int], *, former_sd_mg: Sequence[float], alpha: float = ALPHA
) -> Flag | None:
    """Return a flag if the spread is far below what the same bench had before.

    Parameters
    ----------
    weights_mg : (n,) sequence of int, milligrams
        First cuts, or kept pieces, of one person at one product in a week.
    former_sd_mg : (m,) sequence of float, milligrams
        Standard deviations of the same in earlier weeks of about as many pieces.
    alpha : float

    Returns
    -------
    Flag or None
        None also below thirty weights or eight earlier weeks, and while the spread is more than
        half of the former.

    Notes
    -----
    The logarithm of a sample variance is nearly normal whatever the variance (M. S. Bartlett and
    D. G. Kendall, Supplement to the Journal of the Royal Statistical Society 8 (1946) 128; from
    memory), so the next one lies in Student's prediction interval of the former ones: ``t = (y -
    mean) / (s sqrt(1 + 1 / m))``. So dough, season and neighbours that hang together are in the
    measure, since they are in the former weeks too. The scatter is taken no smaller than that of
    normal weights, ``sqrt(2 / (n - 1))``.
    """
    former = [math.log(sd_mg**2) for sd_mg in former_sd_mg if sd_mg > 0]
    n, m = len(weights_mg), len(former)
    if n < FEWEST or m < FEWEST_FORMER:
        return None
    sd_mg = checked(weights_mg, what="A question for the spread").sd_g
    history = checked(former, what="A question for the spread")
    usual_mg = math.exp(history.mean_g / 2)
    if sd_mg > MOST_OF_FORMER * usual_mg:
        return None
    scatter = max(history.sd_g, math.sqrt(2 / (n - 1))) * math.sqrt(1 + 1 / m)
    t = (math.log(sd_mg**2) - history.mean_g) / scatter if sd_mg else -math.inf
    p = t_cdf(t, df=m - 1)
    if p >= alpha:
        return None
    text = (
        f"These {n} weights spread by {sd_mg / 1000:.2g} g, and this bench had"
        f" {usual_mg / 1000:.2g} g in its {m} weeks before ({rarely(p)} by chance)."
    )
    figures = {"sd_mg": sd_mg, "former_sd_mg": usual_mg, "former_weeks": m}
    return Flag(FlagKind.EVEN, text, n, figures, p, n, alpha)


def even_below_hand(
    first_mg: Sequence[int], *, division_mg: int, target_mg: int, alpha: float = ALPHA
) -> Flag | None:
    """Return a flag if first cuts spread less than any hand or divider can cut.

    Parameters
    ----------
    first_mg : (n,) sequence of int, milligrams
        First cuts; never kept pieces, which a patient hand can make as even as it likes.
    division_mg : int, milligrams
        The scale interval d.
    target_mg : int, milligrams
        The scaling weight.
    alpha : float

    Returns
    -------
    Flag or None
        None also below thirty weights, and where the division hides so small a spread.

    Raises
    ------
    SpecificationError
        If the division is not above 0.

    Notes
    -----
    Chi-square test of a standard deviation, ``(n - 1) s^2 / stated^2`` in its lower tail:
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 1.3.5.8. Stated
    is half a percent of the scaling weight, with what the division adds, d^2 / 12.
    """
    marks = marks_of(first_mg, division_mg)
    n, least_mg = len(marks), least_cut_mg(target_mg)
    if n < FEWEST or least_mg < LEAST_SD_IN_DIVISIONS * division_mg:
        return None
    sd_mg = checked(first_mg, what="A question for the spread").sd_g
    stated_mg2 = least_mg**2 + division_mg**2 / 12
    p = chi_square_cdf((n - 1) * sd_mg**2 / stated_mg2, df=n - 1)
    if p >= alpha:
        return None
    text = (
        f"{n} first cuts spread by {sd_mg / 1000:.2g} g, and no hand or divider is known to cut"
        f" with less than {grams(round(least_mg, -1))} ({rarely(p)} by chance)."
    )
    figures = {"sd_mg": sd_mg, "least_sd_mg": least_mg}
    return Flag(FlagKind.EVEN, text, n, figures, p, n, alpha)

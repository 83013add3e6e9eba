"""Are weights equal to one another more often than chance and the finest hand make them."""

from __future__ import annotations

import math
from collections import Counter
from itertools import groupby, pairwise
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
from weighstation.monitor.plausibility.hands import finest_hand_mg, most_on_one

if TYPE_CHECKING:
    from collections.abc import Sequence

AGREEMENT = 1.5
"""By what the chance of an equal neighbour may exceed that of any two weights; house figure.

Neighbours with a lag-1 autocorrelation r are equal ``1 / sqrt(1 - r)`` times as often, where the
spread is some divisions: this bears r = 0.55, or doughs that differ as much as their pieces do.
"""


def equal_neighbours(
    runs_mg: Sequence[Sequence[int]], *, division_mg: int, alpha: float = ALPHA
) -> Flag | None:
    """Return a flag if too many weights are equal to the one before.

    Parameters
    ----------
    runs_mg : sequence of (n,) sequences of int, milligrams
        Weights in the order they came, run by run.
    division_mg : int, milligrams
        The scale interval d.
    alpha : float

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
    Moving ranges of zero, held against the binomial law with the chance that two of these weights
    are equal, times 1.5. For weights in random order that chance is exact on average, whatever
    their law. Weights of which most are alike anyhow are for `one_mark`.
    """
    runs = [marks_of(run_mg, division_mg) for run_mg in runs_mg]
    shares = _shares(runs)
    pairs = sum(max(0, len(run) - 1) for run in runs)
    if not shares or pairs < FEWEST:
        return None
    chance = min(1.0, AGREEMENT * sum(share * share for share in shares.values()))
    equal = sum(one == two for run in runs for one, two in pairwise(run))
    p = binomial_sf(equal - 1, n=pairs, p=chance)
    if p >= alpha:
        return None
    text = (
        f"{equal} of {pairs} weights are equal to the one before, where at most"
        f" {chance * pairs:.0f} would be expected ({rarely(p)} by chance)."
    )
    figures = {"expected_most": chance * pairs, "share": equal / pairs}
    return Flag(FlagKind.EVEN, text, pairs, figures, p, equal, alpha)


def equal_in_a_row(
    runs_mg: Sequence[Sequence[int]], *, division_mg: int, alpha: float = ALPHA
) -> Flag | None:
    """Return a flag if one weight comes too many times in a row.

    Parameters
    ----------
    runs_mg : sequence of (n,) sequences of int, milligrams
        Weights in the order they came, run by run.
    division_mg : int, milligrams
        The scale interval d.
    alpha : float

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
    A row can begin at any weight and is made of any mark, so its chance is at most n times the
    sum over the marks of ``share (1.5 share)^(length - 1)``. A row that is itself a good part of
    the weights raises its own share and so is judged mildly.
    """
    runs = [marks_of(run_mg, division_mg) for run_mg in runs_mg]
    shares = _shares(runs)
    n = sum(map(len, runs))
    if n < FEWEST:
        return None
    length, mark = max((len(list(row)), mark) for run in runs for mark, row in groupby(run))
    again = (share * min(1.0, AGREEMENT * share) ** (length - 1) for share in shares.values())
    p = min(1.0, n * math.fsum(again))
    if p >= alpha:
        return None
    text = f"{length} weights in a row are {grams(mark * division_mg)} ({rarely(p)} by chance)."
    figures = {"weight_mg": mark * division_mg, "share": shares[mark]}
    return Flag(FlagKind.EVEN, text, n, figures, p, length, alpha)


def one_mark(
    weights_mg: Sequence[int], *, division_mg: int, target_mg: int, alpha: float = ALPHA
) -> Flag | None:
    """Return a flag if one weight comes more often than the finest hand can hit it.

    Parameters
    ----------
    weights_mg : (n,) sequence of int, milligrams
    division_mg : int, milligrams
        The scale interval d.
    target_mg : int, milligrams
        The scaling weight.
    alpha : float

    Returns
    -------
    Flag or None
        None also below thirty weights, and where the division is so coarse that a fine hand shows
        one mark again and again.

    Raises
    ------
    SpecificationError
        If the division is not above 0.

    Notes
    -----
    Exact binomial test, times the number of marks that were seen, against the share of the middle
    mark where the finest hand (0.15 % of the scaling weight) aims at it with every piece.
    """
    marks = marks_of(weights_mg, division_mg)
    n = len(marks)
    if n < FEWEST:
        return None
    seen = Counter(marks)
    mark, count = seen.most_common(1)[0]
    most = most_on_one(sd_divisions=finest_hand_mg(target_mg) / division_mg)
    p = min(1.0, len(seen) * binomial_sf(count - 1, n=n, p=most))
    if p >= alpha:
        return None
    text = (
        f"{count} of {n} weights are {grams(mark * division_mg)}, where the finest hand would show"
        f" it at most {most * n:.0f} times ({rarely(p)} by chance)."
    )
    figures = {"weight_mg": mark * division_mg, "expected_most": most * n, "share": count / n}
    return Flag(FlagKind.EVEN, text, n, figures, p, count, alpha)


def _shares(runs: list[list[int]]) -> dict[int, float]:
    seen = Counter(mark for run in runs for mark in run)
    n = seen.total()
    return {mark: count / n for mark, count in seen.items()}

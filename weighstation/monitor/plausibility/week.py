"""All that is asked of a week of one person at one product, so that each kind keeps its alpha."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING

from weighstation.monitor.plausibility.equal import equal_in_a_row, equal_neighbours, one_mark
from weighstation.monitor.plausibility.even import even_below_hand, even_beside_former
from weighstation.monitor.plausibility.flag import ALPHA, Flag
from weighstation.monitor.plausibility.inside import just_inside
from weighstation.monitor.plausibility.neat import too_neat
from weighstation.monitor.plausibility.repeats import repeated

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.specification.limits import Limits

NEAT_TESTS, EVEN_TESTS = 2, 6
"""Questions of a kind that share its alpha."""


@dataclass(frozen=True, slots=True)
class PiecesOfAWeek:
    """What one person divided of one product in a week, with one band on scales of one division.

    Parameters
    ----------
    limits : Limits
    division_mg : int, milligrams
    kept_mg : sequence of (n,) sequences of int, milligrams
        Kept pieces in band, or typed weights, in the order they came, run by run.
    first_mg : sequence of (n,) sequences of int, milligrams
        First cuts of all pieces that were weighed, run by run; empty where all was typed.
    """

    limits: Limits
    division_mg: int
    kept_mg: Sequence[Sequence[int]]
    first_mg: Sequence[Sequence[int]] = ()


@dataclass(frozen=True, slots=True)
class FormerWeeks:
    """What the same bench did before.

    Parameters
    ----------
    kept_sd_mg, first_sd_mg : (m,) sequence of float, milligrams
        Standard deviations, week by week; empty where they are not known.
    kept_mg : sequence of (n,) sequences of int, milligrams
        Runs that a copy would be looked for in.
    """

    kept_sd_mg: Sequence[float] = ()
    first_sd_mg: Sequence[float] = ()
    kept_mg: Sequence[Sequence[int]] = ()


def flags_of_week(
    week: PiecesOfAWeek, former: FormerWeeks | None = None, *, alpha: float = ALPHA
) -> tuple[Flag, ...]:
    """Return the flags of a week's weights; those of times are asked run by run.

    Parameters
    ----------
    week : PiecesOfAWeek
        Ask for typed weights and for weighed pieces apart: together each hides in the other.
    former : FormerWeeks or None
    alpha : float
        For each kind.

    Returns
    -------
    tuple of Flag
        At most one of each question.

    Raises
    ------
    SpecificationError
        If the division is not above 0.
    """
    before = former or FormerWeeks()
    found = [
        *_neat(week, alpha / NEAT_TESTS),
        *_even(week, before, alpha / EVEN_TESTS),
        repeated(week.kept_mg, former_mg=before.kept_mg, alpha=alpha),
        just_inside(
            _all(week.first_mg), division_mg=week.division_mg, limits=week.limits, alpha=alpha
        ),
    ]
    return tuple(flag for flag in found if flag)


def _neat(week: PiecesOfAWeek, alpha: float) -> tuple[Flag | None, ...]:
    d = week.division_mg
    return (
        too_neat(_all(week.kept_mg), division_mg=d, limits=week.limits, alpha=alpha),
        too_neat(_all(week.first_mg), division_mg=d, alpha=alpha),
    )


def _even(week: PiecesOfAWeek, before: FormerWeeks, alpha: float) -> tuple[Flag | None, ...]:
    d, target_mg = week.division_mg, week.limits.target_mg
    kept_mg, first_mg = _all(week.kept_mg), _all(week.first_mg)
    return (
        even_beside_former(kept_mg, former_sd_mg=before.kept_sd_mg, alpha=alpha),
        even_beside_former(first_mg, former_sd_mg=before.first_sd_mg, alpha=alpha),
        even_below_hand(first_mg, division_mg=d, target_mg=target_mg, alpha=alpha),
        one_mark(kept_mg, division_mg=d, target_mg=target_mg, alpha=alpha),
        equal_neighbours(week.kept_mg, division_mg=d, alpha=alpha),
        equal_in_a_row(week.kept_mg, division_mg=d, alpha=alpha),
    )


def _all(runs_mg: Sequence[Sequence[int]]) -> tuple[int, ...]:
    return tuple(chain.from_iterable(runs_mg))

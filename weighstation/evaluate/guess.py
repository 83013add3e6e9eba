"""Whether the load on the pan is the piece that was lifted out of band, or a new first cut.

Two explanations of one load are weighed against each other. *Corrected*: its weight lies near the
scaling weight, the nearer the smaller the correction asked, and it came as soon as corrected
pieces do. *First cut*: weight and gap are like this person's first cuts of this batch. Each
decision, as far as it is believed, moves the odds for the next; what a person says counts in full.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.evaluate.habits import Belief, Normal, log_gap
from weighstation.events import Verdict

if TYPE_CHECKING:
    from weighstation.evaluate.habits import Habits
    from weighstation.events import Piece
    from weighstation.specification import Limits


@dataclass(frozen=True, slots=True)
class House:
    """House figures of the guess: settings with defaults, none of them from a source.

    Parameters
    ----------
    return_s : float, seconds
        A corrected piece is back on the pan within this time.
    slight_back_odds, gross_back_odds : float
        How many pieces lifted out of band come back for each one boarded as it is, before the
        batch has shown its own odds: slightly out of band (by no more than the limit again), and
        further out.
    other_share : float
        How much of what was learned of the one kind counts for the other.
    cut_spread : float
        First-cut spread before the batch has shown its own, as a share of the scaling weight.
    correction_spread : float
        Spread of a correction made by hand, as a share of the grams asked.
    fetch_s : float, seconds
        Usual gap from a kept piece to the next before the batch has shown its own.
    return_sooner : float
        A corrected piece comes back in this share of the usual gap, before the batch has shown
        its own.
    prior_weight : float
        For how many pieces the figures of spread and time count.
    turn_pieces : int
        Once so many other pieces have been counted after a decision it stands: a key pressed by
        chance must not add or take away a piece that nobody thinks of any more.
    """

    return_s: float = 45.0
    slight_back_odds: float = 2.0
    gross_back_odds: float = 5.0
    other_share: float = 0.3
    cut_spread: float = 0.025
    correction_spread: float = 0.25
    fetch_s: float = 5.0
    return_sooner: float = 0.75
    prior_weight: float = 4.0
    turn_pieces: int = 3


FETCH_SPREAD = 0.6  # of the logarithm of a gap, as are the next two
RETURN_SPREAD = 0.7
LEAST_SPREAD = 0.2
MOST_FROM_TIME = 1.5  # a gap alone never outweighs odds of 4.5 to 1


@dataclass(frozen=True, slots=True)
class Question:
    """All that a guess looks at.

    Parameters
    ----------
    lifted : Piece
    net_mg : int, milligrams
        The new load as it first came to rest.
    gap_s : float, seconds
        From the lifting to the new load.
    division_mg : int, milligrams
    """

    lifted: Piece
    net_mg: int
    gap_s: float
    division_mg: int


def guess(question: Question, limits: Limits, habits: Habits, house: House) -> Belief:
    """Return how sure it is that the new load is the lifted piece.

    Parameters
    ----------
    question : Question
    limits : Limits
    habits : Habits
    house : House

    Returns
    -------
    Belief
        A share of exactly 0 if it cannot be.
    """
    slight = is_slight(question.lifted.final_mg, limits)
    if not can_be_the_same(question, house):
        return Belief(0.0, question.gap_s, slight)
    log_odds = (
        _from_odds(habits, house, slight=slight)
        + _from_weight(question, limits, habits, house)
        + _from_time(question, habits, house)
    )
    return Belief(1.0 / (1.0 + math.exp(-max(log_odds, -700.0))), question.gap_s, slight)


def is_slight(lifted_mg: int, limits: Limits) -> bool:
    """Say whether a piece is out of band by no more than the limit again.

    Parameters
    ----------
    lifted_mg : int, milligrams
    limits : Limits

    Returns
    -------
    bool
        Pieces slightly out of band are boarded more readily than others.
    """
    error_mg = lifted_mg - limits.target_mg
    return -2 * limits.under_mg <= error_mg <= 2 * limits.over_mg


def can_be_the_same(question: Question, house: House) -> bool:
    """Say whether the load can be the lifted piece: changed as asked, and soon enough.

    Parameters
    ----------
    question : Question
    house : House

    Returns
    -------
    bool
        Lighter after trim, heavier after add, by a division or more, within ``return_s``.
    """
    change_mg = question.net_mg - question.lifted.final_mg
    asked = 1 if question.lifted.verdict is Verdict.ADD else -1
    return asked * change_mg >= question.division_mg and question.gap_s <= house.return_s


def _from_odds(habits: Habits, house: House, *, slight: bool) -> float:
    """Return the log odds before looking at the load; the house figure counts for one piece."""
    same, other = (habits.slight, habits.gross) if slight else (habits.gross, habits.slight)
    odds = house.slight_back_odds if slight else house.gross_back_odds
    boarded = 1.0 / (1.0 + odds) + same.boarded + house.other_share * other.boarded
    came_back = odds / (1.0 + odds) + same.came_back + house.other_share * other.came_back
    return math.log(came_back / boarded)


def _from_weight(question: Question, limits: Limits, habits: Habits, house: House) -> float:
    """Return the log ratio of the densities of the weight; nobody corrects worse than he cuts."""
    prior = Normal(0.0, house.cut_spread * limits.target_mg)
    cut = habits.cuts_mg.blend(prior, house.prior_weight)
    cut = Normal(cut.mean, max(cut.sd, 2.0 * question.division_mg))
    asked_mg = abs(question.lifted.final_mg - limits.target_mg)
    spread_mg = min(house.correction_spread * asked_mg, cut.sd)
    corrected = Normal(0.0, math.hypot(spread_mg, question.division_mg))
    error_mg = question.net_mg - limits.target_mg
    return corrected.log_density(error_mg) - cut.log_density(error_mg)


def _from_time(question: Question, habits: Habits, house: House) -> float:
    """Return the log ratio of the densities of the gap, held within bounds."""
    prior = Normal(math.log(house.fetch_s), FETCH_SPREAD)
    fetch = habits.fetches.blend(prior, house.prior_weight)
    sooner = Normal(fetch.mean + math.log(house.return_sooner), RETURN_SPREAD)
    back = habits.returns.blend(sooner, house.prior_weight)
    gap = log_gap(question.gap_s)
    ratio = _wide(back).log_density(gap) - _wide(fetch).log_density(gap)
    return max(-MOST_FROM_TIME, min(MOST_FROM_TIME, ratio))


def _wide(normal: Normal) -> Normal:
    return Normal(normal.mean, max(normal.sd, LEAST_SPREAD))

"""Whether the load on the pan is the piece that was lifted out of band, or a new first cut.

Two explanations of one weight are weighed against each other. *Corrected*: the weight lies near the
scaling weight, the nearer the smaller the correction asked. *First cut*: it comes from this
person's first cuts of this batch. How far out of band the piece was lifted and how soon the load
came are weighed in too, and every decision moves the odds for the next one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from weighstation.events import TookFor, Verdict

if TYPE_CHECKING:
    from weighstation.events import Piece
    from weighstation.specification import Limits


@dataclass(frozen=True, slots=True)
class House:
    """House figures of the guess: settings with defaults, none of them from a source.

    Parameters
    ----------
    return_s : float, seconds
        A corrected piece is back on the pan within this time.
    back_odds : float
        How many pieces lifted just out of band come back for each one boarded as it is.
    cut_spread : float
        First-cut spread before the batch has shown its own, as a share of the scaling weight.
    correction_spread : float
        Spread of a correction made by hand, as a share of the grams asked.
    """

    return_s: float = 45.0
    back_odds: float = 3.0
    cut_spread: float = 0.025
    correction_spread: float = 0.25


@dataclass(frozen=True, slots=True)
class Tally:
    """Count, sum and sum of squares of whole numbers: what can be added can be taken away."""

    n: int = 0
    total: int = 0
    squares: int = 0

    def plus(self, number: int, times: int = 1) -> Tally:
        """Return the tally with a number counted in, or out again with ``times`` -1."""
        return Tally(
            self.n + times, self.total + times * number, self.squares + times * number * number
        )

    def blend(self, mean: float, sd: float, weight: float) -> tuple[float, float]:
        """Return mean and spread, a prior mean and spread counting for ``weight`` numbers."""
        n = self.n + weight
        blended = (self.total + weight * mean) / n
        squares = self.squares + weight * (mean * mean + sd * sd)
        return blended, math.sqrt(max(squares / n - blended * blended, 0.0))


@dataclass(frozen=True, slots=True)
class Habits:
    """What a batch has shown of the person's ways.

    Parameters
    ----------
    errors_mg : Tally
        First cuts, net minus scaling weight.
    came_back, boarded : float
        Decisions so far, each by how sure it was; a turn counts in full.
    """

    errors_mg: Tally = field(default_factory=Tally)
    came_back: float = 0.0
    boarded: float = 0.0

    def cut(self, error_mg: int, times: int = 1) -> Habits:
        """Return the habits with a first cut more, or one less with ``times`` -1."""
        return replace(self, errors_mg=self.errors_mg.plus(error_mg, times))

    def turned(self, took_for: TookFor) -> Habits:
        """Return the habits after a person said what a lifted piece was."""
        if took_for is TookFor.CAME_BACK:
            return replace(self, came_back=self.came_back + 1, boarded=max(self.boarded - 1, 0))
        return replace(self, boarded=self.boarded + 1, came_back=max(self.came_back - 1, 0))


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


def guess(question: Question, limits: Limits, habits: Habits, house: House) -> TookFor:
    """Return what a lifted piece is taken for in view of the load that came next.

    Parameters
    ----------
    question : Question
    limits : Limits
    habits : Habits
    house : House

    Returns
    -------
    TookFor
    """
    if not can_be_the_same(question, house):
        return TookFor.BOARDED
    logit = log_odds_back(question, limits, habits, house)
    return TookFor.CAME_BACK if logit > 0 else TookFor.BOARDED


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


def log_odds_back(question: Question, limits: Limits, habits: Habits, house: House) -> float:
    """Return the natural logarithm of the odds that the lifted piece came back.

    Parameters
    ----------
    question : Question
    limits : Limits
    habits : Habits
    house : House

    Returns
    -------
    float
    """
    error_mg = question.net_mg - limits.target_mg
    asked_mg = abs(question.lifted.final_mg - limits.target_mg)
    corrected_sd = max(house.correction_spread * asked_mg, 2.0 * question.division_mg)
    cut_mean, cut_sd = habits.errors_mg.blend(0.0, house.cut_spread * limits.target_mg, 4.0)
    cut_sd = max(cut_sd, 2.0 * question.division_mg)
    odds = (habits.came_back + house.back_odds) / (habits.boarded + 1.0)
    return (
        math.log(odds)
        + _log_normal(error_mg, 0.0, corrected_sd)
        - _log_normal(error_mg, cut_mean, cut_sd)
    )


def _log_normal(x: float, mean: float, sd: float) -> float:
    """Return the logarithm of the normal density, without its constant."""
    return -0.5 * ((x - mean) / sd) ** 2 - math.log(sd)

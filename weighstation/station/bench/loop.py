"""The pure stages joined: bytes and their times in, what the bench says and counts out.

No thread, no clock, no file: a replay, a demo in virtual time and a live bench run this one class.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.acquire import OPEN, Recipe
from weighstation.detect import Detector
from weighstation.errors import SpecificationError
from weighstation.evaluate import Evaluator
from weighstation.evaluate.states import State
from weighstation.events import DivisionLearned
from weighstation.quantities import grams
from weighstation.specification import LiftedPolicy, Limits, Way
from weighstation.station.bench.dough_pile import DoughPile
from weighstation.station.bench.sensing import Sensing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.evaluate import LiftedDecision
    from weighstation.events import Command, Detected, Outcome, Piece

SMALLEST_LOAD_SHARE = 4
"""A load below a quarter of the scaling weight is flour or a scrap, no piece."""
SMALLEST_LUMP_SHARE = 20
SMALLEST_LUMP_DIVISIONS = 10
"""Of dough that is left, smaller rests count: a lump, however small, is dough (house figures)."""


@dataclass(frozen=True, slots=True)
class BenchPlan:
    """What is settled before the first byte.

    Parameters
    ----------
    limits : Limits
    way : Way
    lifted : LiftedPolicy
    division_mg : int, milligrams, or None
        The scale interval; None to learn it from the lines.
    next_number : int
        Number of the next piece; more than 1 when a batch goes on.
    recipe : Recipe
        What was learned of the scale's lines before.
    descriptor : bytes or None
        What the scale's reports mean, where it sends reports and not lines.
    """

    limits: Limits
    way: Way = Way.SINGLE
    lifted: LiftedPolicy = LiftedPolicy.GUESS
    division_mg: int | None = None
    next_number: int = 1
    recipe: Recipe = OPEN
    descriptor: bytes | None = None


def refuse_too_coarse(limits: Limits, division_mg: int) -> None:
    """Refuse a scale on which no piece could be kept.

    Parameters
    ----------
    limits : Limits
    division_mg : int, milligrams

    Raises
    ------
    SpecificationError
        If the target is below the division, or no indication lies in the band.
    """
    low_mg, high_mg = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    division = f"{grams(division_mg):g} g"
    if limits.target_mg < division_mg:
        raise SpecificationError(
            f"The target of {grams(limits.target_mg):g} g is below the scale's division"
            f" of {division}.",
            hint="Use a finer scale.",
        )
    if high_mg // division_mg * division_mg < low_mg:
        raise SpecificationError(
            f"The scale shows steps of {division}, and none lies between"
            f" {grams(low_mg):g} and {grams(high_mg):g} g.",
            hint="Widen the band or use a finer scale.",
        )


class Bench:
    """What is seen of a scale, and an evaluator behind it.

    Parameters
    ----------
    plan : BenchPlan

    Attributes
    ----------
    sensing : Sensing
        What is seen of the scale.

    Raises
    ------
    SpecificationError
        If the scale's division is too coarse for the band, here or as soon as it is learned.
    """

    def __init__(self, plan: BenchPlan) -> None:
        self._least_mg = plan.limits.target_mg // SMALLEST_LOAD_SHARE
        detector = Detector(
            way=plan.way, smallest_load_mg=self._least_mg, usual_load_mg=plan.limits.target_mg
        )
        self.plan = plan
        self.sensing = Sensing(plan, detector)
        if self.sensing.division_mg is not None:
            refuse_too_coarse(plan.limits, self.sensing.division_mg)
        self._evaluator = Evaluator(
            plan.limits,
            lifted=plan.lifted,
            next_number=plan.next_number,
            division_mg=self.sensing.division_mg,
        )

    @property
    def numbered(self) -> int:
        """The number of the last piece that has one; 0 before the first."""
        return self._evaluator.numbered

    @property
    def open_lifted(self) -> Piece | None:
        """The piece lifted out of band of which it is still open what became of it."""
        return self._evaluator.open_lifted

    @property
    def last_decision(self) -> LiftedDecision | None:
        """What the last lifted piece was taken for, while that can be turned round."""
        return self._evaluator.last_decision

    @property
    def last_counted(self) -> Piece | None:
        """The counted piece that would be struck out now."""
        return self._evaluator.last_counted

    @property
    def is_loaded(self) -> bool:
        """Whether a load is being weighed that has not left."""
        return self._evaluator.state in (State.DOUBTFUL, State.ON_PAN)

    @property
    def lain_mg(self) -> int | None:
        """What is indicated of something that lay on the pan before anything was weighed.

        None once a load was seen, and where pieces are not weighed on an empty pan.
        """
        return self.sensing.lain_mg(self._least_mg) if self.plan.way is Way.SINGLE else None

    def feed(self, data: bytes, t_s: float) -> list[Outcome]:
        """Take in bytes as they arrived.

        Parameters
        ----------
        data : bytes
        t_s : float, seconds
            When the last of them came; never less than before.

        Returns
        -------
        list of Outcome
        """
        return self._judge(self.sensing.feed(data, t_s))

    def command(self, command: Command) -> list[Outcome]:
        """Do what a person asked for by a key.

        Parameters
        ----------
        command : Command

        Returns
        -------
        list of Outcome
        """
        return list(self._evaluator.feed(command))

    def weigh_dough(self) -> None:
        """Weigh what comes onto the pan as dough that is left, no piece, until told to go on."""
        sensing = self.sensing
        smallest_mg = self.plan.limits.target_mg // SMALLEST_LUMP_SHARE
        least_mg = max(smallest_mg, SMALLEST_LUMP_DIVISIONS * sensing.step_mg)
        sensing.pile = DoughPile(least_mg, sensing.division_mg)

    def go_on(self) -> None:
        """Weigh again after a pause or a lost link, whatever lies on the pan as a new load.

        What was learned of the scale stays; what lies on the pan is weighed anew, never guessed.
        """
        self._evaluator.forget_load(self.sensing.last_t_s)  # nobody saw it leave
        self.sensing.go_on()

    def finish(self, t_s: float) -> list[Outcome]:
        """Close what is open at the end of the batch.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        list of Outcome
        """
        outcomes = self._judge(self.sensing.finish())
        outcomes += self._judge(self.sensing.lift_off(t_s))
        outcomes += self._evaluator.finish(self.sensing.last_t_s)
        return outcomes

    def _judge(self, sensed: Iterable[Detected | DivisionLearned]) -> list[Outcome]:
        outcomes: list[Outcome] = []
        for item in sensed:
            if isinstance(item, DivisionLearned):
                refuse_too_coarse(self.plan.limits, item.division_mg)
            outcomes += self._evaluator.feed(item)
        return outcomes

"""The pure stages joined: bytes and their times in, what the bench says and counts out.

No thread, no clock, no file: a replay, a demo in virtual time and a live bench run this one class.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.acquire import OPEN, Recipe
from weighstation.detect import Detector, Pan
from weighstation.errors import SpecificationError
from weighstation.evaluate import Evaluator
from weighstation.evaluate.states import State
from weighstation.events import DivisionLearned
from weighstation.quantities import MG_PER_G, grams
from weighstation.specification import LiftedPolicy, Limits, Way
from weighstation.station.bench.decoding import decoder_for
from weighstation.station.bench.dough_pile import DoughPile

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.acquire import Counts
    from weighstation.evaluate import LiftedDecision
    from weighstation.events import Command, Detected, Outcome, Piece, Reading

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

    @property
    def known_division_mg(self) -> int | None:
        """The scale interval as given, else as learned before, milligrams."""
        return self.division_mg or self.recipe.division_mg


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
    """Decoder, detector and evaluator in a row.

    Parameters
    ----------
    plan : BenchPlan

    Attributes
    ----------
    division_mg : int, milligrams, or None
    last_t_s : float, seconds
        When the last bytes came.
    indicated_mg : int, milligrams, or None
        What the last line indicated; None where it was no weight.
    pile : DoughPile or None
        The dough that is being weighed back, while it is; what lies on the pan is then no piece.

    Raises
    ------
    SpecificationError
        If the scale's division is too coarse for the band, here or as soon as it is learned.
    """

    def __init__(self, plan: BenchPlan) -> None:
        division_mg = plan.known_division_mg
        if division_mg is not None:
            refuse_too_coarse(plan.limits, division_mg)
        self.plan = plan
        self.division_mg = division_mg
        self.last_t_s = 0.0
        self.indicated_mg: int | None = None
        self._decoder = decoder_for(plan)
        self._detector = self._new_detector()
        self._evaluator = Evaluator(
            plan.limits,
            lifted=plan.lifted,
            next_number=plan.next_number,
            division_mg=division_mg,
        )
        self._paused = False
        self._has_weighed = False
        self.pile: DoughPile | None = None

    @property
    def pan(self) -> Pan:
        """What the detector makes of the pan."""
        return self._detector.pan

    @property
    def empty_mg(self) -> int:
        """What the display showed of the pan when it was last seen empty, milligrams."""
        return round(self._detector.base_mg)

    @property
    def numbered(self) -> int:
        """The number of the last piece that has one; 0 before the first."""
        return self._evaluator.numbered

    @property
    def counts(self) -> Counts:
        """Frames read and frames that could not be."""
        return self._decoder.counts

    @property
    def refusal(self) -> str:
        """Why no weight can be taken from what comes now, in one plain sentence; or empty."""
        return self._decoder.refusal

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
        if self._has_weighed or self.plan.way is not Way.SINGLE or self.pan is not Pan.EMPTY:
            return None
        least_mg = self.plan.limits.target_mg // SMALLEST_LOAD_SHARE
        shown_mg = self.indicated_mg
        return shown_mg if shown_mg is not None and shown_mg >= least_mg else None

    @property
    def paused(self) -> bool:
        """Whether readings are passed over."""
        return self._paused

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
        self.last_t_s = t_s
        return self._take(self._decoder.feed(data, t_s))

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

    def pause(self) -> None:
        """Pass readings over until told to go on: the scale is used for something else."""
        self._paused = True

    def weigh_dough(self) -> None:
        """Weigh what comes onto the pan as dough that is left, no piece, until told to go on."""
        smallest_mg = self.plan.limits.target_mg // SMALLEST_LUMP_SHARE
        least_mg = SMALLEST_LUMP_DIVISIONS * (self.division_mg or MG_PER_G)
        self.pile = DoughPile(max(smallest_mg, least_mg), self.division_mg)

    def go_on(self) -> None:
        """Weigh again after a pause or a lost link, whatever lies on the pan as a new load.

        What was learned of the scale stays; what lies on the pan is weighed anew, never guessed.
        """
        self._paused, self.pile = False, None
        self._decoder.break_off(self.last_t_s)
        self._evaluator.forget_load(self.last_t_s)  # nobody saw it leave
        self._detector.lose_sight(self.last_t_s)

    def finish(self, t_s: float) -> list[Outcome]:
        """Close what is open at the end of the batch.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        list of Outcome
        """
        self.last_t_s = max(self.last_t_s, t_s)
        outcomes = self._take(self._decoder.finish())
        outcomes += self._judge(self._detector.finish(self.last_t_s))
        outcomes += self._evaluator.finish(self.last_t_s)
        return outcomes

    def _take(self, items: Iterable[Reading | DivisionLearned]) -> list[Outcome]:
        outcomes: list[Outcome] = []
        for item in items:
            if isinstance(item, DivisionLearned):
                outcomes += self._learned(item)
            elif not self._paused:
                self.indicated_mg = item.gross_mg
                if self.pile is not None:
                    self.pile.feed(item)
                    continue
                detected = self._detector.feed(item)
                if detected:
                    self._has_weighed = True
                    outcomes += self._judge(detected)
        return outcomes

    def _learned(self, item: DivisionLearned) -> tuple[Outcome, ...]:
        refuse_too_coarse(self.plan.limits, item.division_mg)
        self.division_mg = item.division_mg
        self._detector.feed(item)
        return self._evaluator.feed(item)

    def _judge(self, detected: Iterable[Detected]) -> list[Outcome]:
        outcomes: list[Outcome] = []
        for found in detected:
            outcomes += self._evaluator.feed(found)
        return outcomes

    def _new_detector(self) -> Detector:
        detector = Detector(
            way=self.plan.way,
            smallest_load_mg=self.plan.limits.target_mg // SMALLEST_LOAD_SHARE,
            usual_load_mg=self.plan.limits.target_mg,
        )
        if self.division_mg is not None:
            detector.feed(DivisionLearned(self.last_t_s, self.division_mg))
        return detector

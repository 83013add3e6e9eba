"""Bytes of a scale -> baked loaves that count: the same detection, another mode.

No thread, no clock, no file: a recording and a live scale run this one class.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.acquire import OPEN, Recipe
from weighstation.detect import Detector, Pan
from weighstation.events import DivisionLearned
from weighstation.station.bench.sensing import Sensing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.evaluate import LoafCounter
    from weighstation.events import Detected, LoafOutcome

SMALLEST_LOAF_SHARE = 8
"""A load below an eighth of the piece of dough is crumbs; half a third is asked about still."""


@dataclass(frozen=True, slots=True)
class LoafPlan:
    """What is settled before the first byte.

    Parameters
    ----------
    raw_mg : int, milligrams
        About what a piece weighs as dough.
    usual_mg : int, milligrams
        About what a loaf weighs.
    division_mg : int, milligrams, or None
        The scale interval; None to learn it from the lines.
    recipe : Recipe
        What was learned of the scale's lines before.
    descriptor : bytes or None
        What the scale's reports mean, where it sends reports and not lines.
    """

    raw_mg: int
    usual_mg: int
    division_mg: int | None = None
    recipe: Recipe = OPEN
    descriptor: bytes | None = None


class LoafBench:
    """What is seen of a scale, and a counter of loaves behind it.

    Parameters
    ----------
    plan : LoafPlan
    counter : LoafCounter

    Attributes
    ----------
    sensing : Sensing
        What is seen of the scale.
    """

    def __init__(self, plan: LoafPlan, counter: LoafCounter) -> None:
        self.counter = counter
        self._least_mg = max(1, plan.raw_mg // SMALLEST_LOAF_SHARE)
        detector = Detector(smallest_load_mg=self._least_mg, usual_load_mg=plan.usual_mg)
        self.sensing = Sensing(plan, detector)

    @property
    def is_loaded(self) -> bool:
        """Whether something lies on the pan, or is being put there."""
        return self.sensing.pan in (Pan.LOADED, Pan.MOVING)

    @property
    def lain_mg(self) -> int | None:
        """What is indicated of something that lay on the pan before any loaf; None of nothing."""
        return self.sensing.lain_mg(self._least_mg)

    def feed(self, data: bytes, t_s: float) -> list[LoafOutcome]:
        """Take in bytes as they arrived.

        Parameters
        ----------
        data : bytes
        t_s : float, seconds
            When the last of them came; never less than before.

        Returns
        -------
        list of LoafOutcome
        """
        return self._counted(self.sensing.feed(data, t_s))

    def finish(self) -> list[LoafOutcome]:
        """Take in what the decoder still held; what lies on the pan stays there uncounted.

        Returns
        -------
        list of LoafOutcome
        """
        return self._counted(self.sensing.finish())

    def _counted(self, sensed: Iterable[Detected | DivisionLearned]) -> list[LoafOutcome]:
        outcomes: list[LoafOutcome] = []
        for item in sensed:
            if not isinstance(item, DivisionLearned):
                outcomes += self.counter.feed(item, division_mg=self.sensing.step_mg)
        return outcomes

    def go_on(self) -> None:
        """Weigh again after a lost link: what lies on the pan is weighed anew, never guessed."""
        self.counter.forget_load()
        self.sensing.go_on()

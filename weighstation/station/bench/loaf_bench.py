"""Bytes of a scale -> baked loaves that count: the same detection, another mode.

No thread, no clock, no file: a recording and a live scale run this one class.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.acquire import OPEN, Recipe
from weighstation.detect import Detector, Pan
from weighstation.events import DivisionLearned
from weighstation.quantities import MG_PER_G
from weighstation.station.bench.decoding import decoder_for

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.acquire import Counts
    from weighstation.evaluate import LoafCounter
    from weighstation.events import LoafOutcome, Reading

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
    """Decoder, detector and counter in a row.

    Parameters
    ----------
    plan : LoafPlan
    counter : LoafCounter

    Attributes
    ----------
    division_mg : int, milligrams, or None
    last_t_s : float, seconds
        When the last bytes came.
    """

    def __init__(self, plan: LoafPlan, counter: LoafCounter) -> None:
        self.counter = counter
        self.division_mg = plan.division_mg or plan.recipe.division_mg
        self.last_t_s = 0.0
        self._smallest_mg = max(1, plan.raw_mg // SMALLEST_LOAF_SHARE)
        self._decoder = decoder_for(plan)
        self._detector = Detector(smallest_load_mg=self._smallest_mg, usual_load_mg=plan.usual_mg)
        self._indicated_mg: int | None = None
        self._has_weighed = False
        if self.division_mg is not None:
            self._detector.feed(DivisionLearned(0.0, self.division_mg))

    @property
    def pan(self) -> Pan:
        """What the detector makes of the pan."""
        return self._detector.pan

    @property
    def is_loaded(self) -> bool:
        """Whether something lies on the pan, or is being put there."""
        return self.pan in (Pan.LOADED, Pan.MOVING)

    @property
    def counts(self) -> Counts:
        """Frames read and frames that could not be."""
        return self._decoder.counts

    @property
    def refusal(self) -> str:
        """Why no weight can be taken from what comes now, in one plain sentence; or empty."""
        return self._decoder.refusal

    @property
    def lain_mg(self) -> int | None:
        """What is indicated of something that lay on the pan before any loaf; None of nothing."""
        shown_mg = self._indicated_mg
        is_laden = shown_mg is not None and shown_mg >= self._smallest_mg
        is_first = not self._has_weighed and self.pan is Pan.EMPTY
        return shown_mg if is_laden and is_first else None

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
        self.last_t_s = t_s
        return self._take(self._decoder.feed(data, t_s))

    def finish(self) -> list[LoafOutcome]:
        """Take in what the decoder still held; what lies on the pan stays there uncounted.

        Returns
        -------
        list of LoafOutcome
        """
        return self._take(self._decoder.finish())

    def _take(self, items: Iterable[Reading | DivisionLearned]) -> list[LoafOutcome]:
        outcomes: list[LoafOutcome] = []
        for item in items:
            if isinstance(item, DivisionLearned):
                self.division_mg = item.division_mg
            else:
                self._indicated_mg = item.gross_mg
            for seen in self._detector.feed(item):
                self._has_weighed = True
                outcomes += self.counter.feed(seen, division_mg=self.division_mg or MG_PER_G)
        return outcomes

    def go_on(self) -> None:
        """Weigh again after a lost link: what lies on the pan is weighed anew, never guessed."""
        self._decoder.break_off(self.last_t_s)
        self.counter.forget_load()
        self._detector.lose_sight(self.last_t_s)

"""Bytes of a scale -> what lies on its pan: decoder and detector in a row, whatever is weighed.

No thread, no clock, no file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.detect import Pan
from weighstation.events import DivisionLearned
from weighstation.quantities import MG_PER_G
from weighstation.station.bench.decoding import decoder_for

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.acquire import Counts
    from weighstation.detect import Detector
    from weighstation.events import Detected, Reading
    from weighstation.station.bench.decoding import Spoken
    from weighstation.station.bench.dough_pile import DoughPile

    Sensed = Detected | DivisionLearned


class Sensing:
    """What is seen of a scale.

    Parameters
    ----------
    plan : Spoken
        What is known of its lines.
    detector : Detector
        New.

    Attributes
    ----------
    division_mg : int, milligrams, or None
        As given, as learned before, or as learned of the lines.
    last_t_s : float, seconds
        When the last bytes came.
    indicated_mg : int, milligrams, or None
        What the last line indicated; None where it was no weight.
    is_paused : bool
        Whether readings are passed over: the scale is used for something else.
    pile : DoughPile or None
        The dough that is being weighed back, while it is; what lies on the pan is then no load.
    """

    def __init__(self, plan: Spoken, detector: Detector) -> None:
        self.division_mg = plan.division_mg or plan.recipe.division_mg
        self.last_t_s = 0.0
        self.indicated_mg: int | None = None
        self.is_paused = False
        self.pile: DoughPile | None = None
        self._decoder = decoder_for(plan)
        self._detector = detector
        self._has_weighed = False
        if self.division_mg is not None:
            detector.feed(DivisionLearned(self.last_t_s, self.division_mg))

    @property
    def pan(self) -> Pan:
        """What the detector makes of the pan."""
        return self._detector.pan

    @property
    def empty_mg(self) -> int:
        """What the display showed of the pan when it was last seen empty, milligrams."""
        return round(self._detector.base_mg)

    @property
    def counts(self) -> Counts:
        """Frames read and frames that could not be."""
        return self._decoder.counts

    @property
    def refusal(self) -> str:
        """Why no weight can be taken from what comes now, in one plain sentence; or empty."""
        return self._decoder.refusal

    @property
    def step_mg(self) -> int:
        """The division in milligrams, for digits; whole grams while it is not known."""
        return self.division_mg or MG_PER_G

    def lain_mg(self, least_mg: int) -> int | None:
        """Return what is indicated of something that lay on the pan before anything was weighed.

        Parameters
        ----------
        least_mg : int, milligrams
            Less is nothing.

        Returns
        -------
        int, milligrams, or None
            None once a load was seen.
        """
        if self._has_weighed or self.pan is not Pan.EMPTY:
            return None
        shown_mg = self.indicated_mg
        return shown_mg if shown_mg is not None and shown_mg >= least_mg else None

    def feed(self, data: bytes, t_s: float) -> list[Sensed]:
        """Take in bytes as they arrived.

        Parameters
        ----------
        data : bytes
        t_s : float, seconds
            When the last of them came; never less than before.

        Returns
        -------
        list of Weighing, PanLeft or DivisionLearned
        """
        self.last_t_s = t_s
        return self._take(self._decoder.feed(data, t_s))

    def finish(self) -> list[Sensed]:
        """Take in what the decoder still held; what lies on the pan lies there.

        Returns
        -------
        list of Weighing, PanLeft or DivisionLearned
        """
        return self._take(self._decoder.finish())

    def lift_off(self, t_s: float) -> Iterable[Detected]:
        """Take what lies on the pan for weighed, at the end.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        iterable of Weighing or PanLeft
        """
        self.last_t_s = max(self.last_t_s, t_s)
        return self._detector.finish(self.last_t_s)

    def go_on(self) -> None:
        """Weigh again after a pause or a lost link, whatever lies on the pan as a new load.

        What was learned of the scale stays; what lies on the pan is weighed anew, never guessed.
        """
        self.is_paused, self.pile = False, None
        self._decoder.break_off(self.last_t_s)
        self._detector.lose_sight(self.last_t_s)

    def _take(self, items: Iterable[Reading | DivisionLearned]) -> list[Sensed]:
        sensed: list[Sensed] = []
        for item in items:
            if isinstance(item, DivisionLearned):
                self.division_mg = item.division_mg
                self._detector.feed(item)
                sensed.append(item)
            elif not self.is_paused:
                self.indicated_mg = item.gross_mg
                if self.pile is not None:
                    self.pile.feed(item)
                    continue
                detected = self._detector.feed(item)
                if detected:
                    self._has_weighed = True
                    sensed += detected
        return sensed

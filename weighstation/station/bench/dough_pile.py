"""Readings -> how much dough is left: lumps that are put on the pan one after another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.detect import Detector, Pan
from weighstation.events import DivisionLearned, PanLeft

if TYPE_CHECKING:
    from weighstation.events import Reading


class DoughPile:
    """The dough that is weighed back, in as many lumps as the scale bears.

    Parameters
    ----------
    smallest_mg : int, milligrams
        A load below it is flour or a scrap.
    division_mg : int, milligrams, or None
        Of the scale, as far as it is known.

    Attributes
    ----------
    left_mg : int, milligrams
        Of the lumps that were on the pan and are off it, as they lay firmly at rest.
    lumps : int
        How many there were.
    was_hasty : bool
        Whether the last one left before it lay still; it is not in the sum.
    """

    def __init__(self, smallest_mg: int, division_mg: int | None) -> None:
        self.left_mg = self.lumps = 0
        self.was_hasty = False
        self._firm_mg: int | None = None
        self._detector = Detector(smallest_load_mg=smallest_mg)
        if division_mg is not None:
            self._detector.feed(DivisionLearned(0.0, division_mg))

    @property
    def is_clear(self) -> bool:
        """Whether nothing lies on the pan that has yet to be counted."""
        return self._detector.pan in (Pan.EMPTY, Pan.NO_READING)

    @property
    def lying_mg(self) -> int | None:
        """What lies on the pan, firmly at rest, milligrams; None where nothing does."""
        return self._firm_mg

    def feed(self, item: Reading) -> None:
        """Take in one reading.

        Parameters
        ----------
        item : Reading
        """
        for found in self._detector.feed(item):
            if not isinstance(found, PanLeft):
                self._firm_mg = found.net_mg if found.firm else None
                continue
            self.was_hasty = self._firm_mg is None
            if self._firm_mg is not None:
                self.left_mg += self._firm_mg
                self.lumps += 1
            self._firm_mg = None

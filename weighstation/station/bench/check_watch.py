"""Bytes of a scale and a list of loads -> what it indicated with each, once it was at rest.

The scale itself tells when the next thing was done, so that no key is needed. No thread, no clock,
no screen: a recording and a live scale run this one class.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.acquire import OPEN, Recipe
from weighstation.detect import Detector, Pan
from weighstation.events import DivisionLearned
from weighstation.quantities import MG_PER_G
from weighstation.station.bench.decoding import decoder_for

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.events import Reading

HOLD_S = 1.0
LEAST_READINGS = 3
"""An indication is taken once it has stood within a division for so long, and so many readings."""
UNMARKED_S = 3.0
"""If the scale's own mark says that it moves, its indication must stand for longer."""
PATIENT_S = 4.0
"""Where there are no keys, a pan that is said to be empty and is off is taken after so long."""
NEAR_SHARE = 10
NEAR_DIVISIONS = 5
"""A load within a tenth, or five divisions, of what was asked for is that load.

By as much an empty pan may have changed and is empty still.
"""


@dataclass(frozen=True, slots=True)
class Placement:
    """A load that is asked for.

    Parameters
    ----------
    weight : str
        Which weight.
    load_mg : int, milligrams
    where : str
        Which corner; empty for the middle.
    """

    weight: str
    load_mg: int
    where: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """An indication at rest.

    Parameters
    ----------
    placement : Placement or None
        None of an empty pan.
    indicated_mg : int, milligrams
    """

    placement: Placement | None
    indicated_mg: int


class Trouble(Enum):
    """Why an indication at rest was not taken."""

    NONE = "none"
    NOT_EMPTY = "not empty"
    NOT_ZERO = "not zero"
    ANOTHER_LOAD = "another load"
    LEFT_OVER = "left over"


@dataclass(frozen=True, slots=True)
class WatchPlan:
    """What a check is to see.

    Parameters
    ----------
    placements : tuple of Placement
        Each from an empty pan; at least one.
    zero_mg : int, milligrams
        How far off zero the empty pan may be at the start.
    division_mg : int, milligrams, or None
    recipe : Recipe
    descriptor : bytes or None
        What the scale's reports mean, where it sends reports.
    has_keys : bool
        Whether somebody can say that what is shown is to be taken.
    """

    placements: tuple[Placement, ...]
    zero_mg: int = 0
    division_mg: int | None = None
    recipe: Recipe = OPEN
    descriptor: bytes | None = None
    has_keys: bool = True


class CheckWatch:
    """Waits for an empty pan, a load, an empty pan, the next load, and so on.

    Parameters
    ----------
    plan : WatchPlan

    Attributes
    ----------
    taken : list of Taken
    trouble : Trouble
    shown_mg : int, milligrams, or None
        What the last reading indicated.
    division_mg : int, milligrams, or None
        As given, or as learned from the lines.
    """

    def __init__(self, plan: WatchPlan) -> None:
        self.taken: list[Taken] = []
        self.trouble = Trouble.NONE
        self.shown_mg: int | None = None
        self.division_mg = plan.division_mg or plan.recipe.division_mg
        self._plan = plan
        self._lightest_mg = min(placement.load_mg for placement in plan.placements)
        self._window: deque[Reading] = deque()
        self._resting_since_s: float | None = None
        self._decoder = decoder_for(plan)
        self._detector = Detector(
            smallest_load_mg=max(1, self._lightest_mg // 4),
            usual_load_mg=max(placement.load_mg for placement in plan.placements),
        )
        if self.division_mg is not None:
            self._detector.feed(DivisionLearned(0.0, self.division_mg))

    @property
    def is_done(self) -> bool:
        """Whether all was seen, the pan emptied at the end included."""
        return len(self.taken) == 2 * len(self._plan.placements) + 1

    @property
    def count(self) -> int:
        """How many loads there are."""
        return len(self._plan.placements)

    @property
    def wanted(self) -> Placement | None:
        """What is asked for now; None for an empty pan."""
        place = len(self.taken)
        return self._plan.placements[place // 2] if place % 2 else None

    @property
    def refusal(self) -> str:
        """Why no weight can be taken from what comes, in one plain sentence; or empty."""
        return self._decoder.refusal

    def feed(self, data: bytes, t_s: float) -> None:
        """Take in bytes as they arrived.

        Parameters
        ----------
        data : bytes
        t_s : float, seconds
        """
        for item in self._decoder.feed(data, t_s):
            if isinstance(item, DivisionLearned):
                self.division_mg = item.division_mg
                self._detector.feed(item)
            elif not self.is_done:
                self._detector.feed(item)
                self._read(item)

    def accept(self) -> bool:
        """Take what is shown at rest, though it is not what was asked for.

        Returns
        -------
        bool
            Whether there was something at rest.
        """
        shown_mg = self._at_rest_mg()
        if self.trouble in (Trouble.NONE, Trouble.NOT_EMPTY) or shown_mg is None:
            return False
        self._take(shown_mg)
        return True

    def _read(self, reading: Reading) -> None:
        self.shown_mg = reading.gross_mg
        if reading.gross_mg is None:
            self._window.clear()
        else:
            self._window.append(reading)
            self._forget_old(reading.t_s)
        shown_mg = self._at_rest_mg()
        if shown_mg is None:
            self._resting_since_s, self.trouble = None, Trouble.NONE
            return
        if self._resting_since_s is None:
            self._resting_since_s = reading.t_s
        self._judge(shown_mg, reading.t_s)

    def _forget_old(self, now_s: float) -> None:
        """Keep what lies within the longest hold, one reading before it, and never too few."""
        window = self._window
        while len(window) > LEAST_READINGS and now_s - window[1].t_s >= UNMARKED_S:
            window.popleft()

    def _at_rest_mg(self) -> int | None:
        """Return what is indicated at rest, a value that was shown; None while it moves."""
        if self._detector.pan not in (Pan.EMPTY, Pan.LOADED):
            return None
        marked = self._stood(HOLD_S)
        if marked is not None and all(reading.stable is not False for reading in marked):
            return _middle_mg(marked)
        unmarked = self._stood(UNMARKED_S)
        return None if unmarked is None else _middle_mg(unmarked)

    def _stood(self, seconds: float) -> list[Reading] | None:
        """Return the readings of the last while, if they stood within a division."""
        window = list(self._window)
        if len(window) < LEAST_READINGS or window[-1].t_s - window[0].t_s < seconds - _TINY_S:
            return None
        from_s = window[-1].t_s - seconds + _TINY_S
        first = max(place for place, reading in enumerate(window) if reading.t_s <= from_s)
        tail = window[min(first, len(window) - LEAST_READINGS) :]
        values = [reading.gross_mg for reading in tail if reading.gross_mg is not None]
        spread_mg = max(values) - min(values)
        return tail if spread_mg <= (self.division_mg or MG_PER_G) else None

    def _judge(self, shown_mg: int, t_s: float) -> None:
        if self._is_as_before(shown_mg):
            self.trouble = Trouble.NONE
            return
        self.trouble = self._fault(shown_mg)
        waited_s = t_s - (self._resting_since_s or t_s)
        has_waited = not self._plan.has_keys and waited_s >= PATIENT_S
        is_empty_so = self.trouble in (Trouble.NOT_ZERO, Trouble.LEFT_OVER)
        if self.trouble is Trouble.NONE or (is_empty_so and has_waited):
            self._take(shown_mg)

    def _is_as_before(self, shown_mg: int) -> bool:
        """Tell whether nothing was done yet: the pan is empty still, or the load lies there."""
        if not self.taken:
            return False
        on_pan_mg = abs(shown_mg - self._empty_mg)
        if self.wanted is not None:
            return on_pan_mg <= self._near_mg(self.wanted.load_mg)
        return on_pan_mg >= self._last_load_mg // 2

    def _fault(self, shown_mg: int) -> Trouble:
        wanted, on_pan_mg = self.wanted, shown_mg - self._empty_mg
        if wanted is not None:
            is_it = abs(on_pan_mg - wanted.load_mg) <= self._near_mg(wanted.load_mg)
            return Trouble.NONE if is_it else Trouble.ANOTHER_LOAD
        if self.taken:
            is_empty = abs(on_pan_mg) <= self._near_mg(self._last_load_mg)
            return Trouble.NONE if is_empty else Trouble.LEFT_OVER
        if shown_mg >= self._lightest_mg // 2:
            return Trouble.NOT_EMPTY
        return Trouble.NOT_ZERO if abs(shown_mg) > self._plan.zero_mg else Trouble.NONE

    def _near_mg(self, load_mg: int) -> int:
        return max(load_mg // NEAR_SHARE, NEAR_DIVISIONS * (self.division_mg or MG_PER_G))

    @property
    def _last_load_mg(self) -> int:
        """What the load that was taken last was shown as, in milligrams."""
        return abs(self.taken[-1].indicated_mg - self._empty_mg)

    @property
    def _empty_mg(self) -> int:
        return next((t.indicated_mg for t in reversed(self.taken) if t.placement is None), 0)

    def _take(self, shown_mg: int) -> None:
        self.taken.append(Taken(self.wanted, shown_mg))
        self.trouble = Trouble.NONE
        self._window.clear()
        self._resting_since_s = None


_TINY_S = 1e-6


def _middle_mg(readings: Sequence[Reading]) -> int:
    values = sorted(reading.gross_mg for reading in readings if reading.gross_mg is not None)
    return values[len(values) // 2]

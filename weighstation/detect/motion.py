"""The readings since the display was last calm, and what their shape says."""

from __future__ import annotations

import statistics
from bisect import bisect_left
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.detect.grain import Grain

_MOST = 400  # readings remembered of one motion
_KEPT = 200
_HAND_MOST_MG = 160_000.0  # a hand that lies still on a piece presses no harder
_WORK_LEAST_S = 0.45  # no bit is added or taken off in less
_WORK_LEAST_MG = 20_000.0
_DWELL_LEAST_S = 0.35  # a load that never slowed down stood near its highest for so long
_DWELL_SHARE = 0.88
_LAIN_LEAST = 5
_LAIN_LEAST_S = 1.5  # or it swung about its weight for so long
_NEAR_SHARE = 0.015
_STRETCH_MOST_S = 2.5
_HISS_LEAST = 12  # readings
_HISS_S = 1.0
_HISS_RATIO = 0.6
_HISS_MOST_MG = 15_000.0
_EMPTIED_SHARE = 0.12  # of what lay there: less than this is left on an empty pan
_LEAST_TURNS = 3  # a ring goes to and fro; a press comes once


class Motion:
    """Readings of a moving display, the calm level before them first.

    Parameters
    ----------
    grain : Grain
    t_s : float, seconds
        Time of the last calm reading.
    level_mg : float, milligrams
        The level that was left.
    """

    __slots__ = ("grain", "t_s", "y_mg")

    def __init__(self, grain: Grain, t_s: float, level_mg: float) -> None:
        self.grain = grain
        self.t_s = [t_s]
        self.y_mg = [level_mg]

    def add(self, t_s: float, y_mg: float) -> None:
        """Take in a reading; a motion that never ends forgets its middle."""
        if len(self.t_s) > _MOST:
            del self.t_s[1:_KEPT], self.y_mg[1:_KEPT]
        self.t_s.append(t_s)
        self.y_mg.append(y_mg)

    def shift(self, shift_mg: float) -> None:
        """Move every reading: the scale was tared or set to zero."""
        self.y_mg = [y + shift_mg for y in self.y_mg]

    @property
    def interval_s(self) -> float:
        """Between the last two readings, seconds."""
        return self.t_s[-1] - self.t_s[-2]

    @property
    def rise_mg(self) -> float:
        """From the level that was left to the last reading, sign kept, milligrams."""
        return self.y_mg[-1] - self.y_mg[0]

    def has_emptied(self) -> bool:
        """Say whether nearly all that lay there is gone."""
        return self.rise_mg < 0 and abs(self.y_mg[-1]) < _EMPTIED_SHARE * -self.rise_mg

    @property
    def onset_s(self) -> float:
        """When the motion was first seen, seconds."""
        return self.t_s[min(1, len(self.t_s) - 1)]

    def above_mg(self) -> float:
        """Return how far the motion has risen above the level it left, milligrams."""
        return max(self.y_mg) - self.y_mg[0]

    def below_mg(self) -> float:
        """Return how far the motion has fallen below the level it left, milligrams."""
        return self.y_mg[0] - min(self.y_mg)

    def is_near_start(self) -> bool:
        """Say whether the motion has hardly left the level it began at."""
        return abs(self.rise_mg) < 0.05 * abs(self.y_mg[0])

    def run(self) -> int:
        """Return how many of the last readings stand at one level.

        A quiet display must show one number; two neighbours count from four readings on, when it
        has gone from one to the other and back.
        """
        y = self.y_mg
        most_mg = self.grain.flat_mg
        last = low = high = y[-1]
        wide = equal = 1
        back = False
        for i in range(len(y) - 2, 0, -1):
            value = y[i]
            low = min(low, value)
            high = max(high, value)
            if high - low > most_mg:
                break
            wide += 1
            if value == last:
                back = back or equal < wide - 1
                if equal == wide - 1:
                    equal = wide
        if not self.grain.is_quiet:
            return wide
        return wide if back and wide >= 4 else equal

    def dwelt_before(self, run: int) -> int:
        """Return how many readings the display stayed one division short of where it is now.

        Parameters
        ----------
        run : int
            The last readings, which stand at one level.

        Returns
        -------
        int
            0 where it came in a larger step, or did not come straight.
        """
        y = self.y_mg
        i = end = len(y) - run - 1
        step = y[-1] - y[end]
        if abs(step) > 1.5 * self.grain.division_mg:
            return 0
        while i > 1 and y[i] == y[end]:
            i -= 1
        return end - i if (y[end] - y[i]) * step > 0 else 0

    def flat_s(self) -> float:
        """Return for how long the display has stood at one level, seconds."""
        return self.t_s[-1] - self.t_s[-self.run()]

    def slows_down(self) -> bool:
        """Say whether the last three readings lie near each other, flat or not."""
        last = self.y_mg[-3:]
        near_mg = max(3 * self.grain.division_mg, _NEAR_SHARE * abs(self.rise_mg))
        return len(self.y_mg) > 3 and max(last) - min(last) <= near_mg

    def was_worked_on(self) -> bool:
        """Say whether the motion is long and large enough for an add or a trim."""
        strayed_mg = max(self.above_mg(), self.below_mg())
        least_mg = max(15 * self.grain.division_mg, _WORK_LEAST_MG)
        return self.t_s[-1] - self.t_s[0] > _WORK_LEAST_S and strayed_mg > least_mg

    def moved_by_itself_to(self, level_mg: float) -> bool:
        """Say whether this was no touch: a hand came off, or the display crept on.

        A touch shows as a press or a pull beyond the change it leaves; this does not.
        """
        fall = self.y_mg[0] - level_mg
        slack = max(2 * self.grain.division_mg, 3 * self.grain.noise_mg)
        return (
            -4 * slack < fall < _HAND_MOST_MG
            and self.above_mg() <= slack + max(-fall, 0.0)
            and self.below_mg() <= slack + max(fall, 0.0)
        )

    def last_at_s(self, level_mg: float) -> float:
        """Return when the display last stood at a level or above, seconds."""
        for t_s, y_mg in zip(reversed(self.t_s), reversed(self.y_mg), strict=True):
            if y_mg >= level_mg:
                return t_s
        return self.t_s[0]

    def rise_began_s(self) -> float:
        """Return when the present rise was first seen, seconds."""
        y = self.y_mg
        i = len(y) - 1
        while i > 1 and y[i - 1] < y[i] and y[i - 1] - y[0] > self.grain.tolerance_mg:
            i -= 1
        return self.t_s[i]

    def dwelt_at_mg(self, floor_mg: float) -> float | None:
        """Return about where the display dwelt before it fell, if it dwelt anywhere.

        Parameters
        ----------
        floor_mg : float, milligrams
            What counts as fallen.

        Returns
        -------
        float, milligrams; None when it stood near its highest for too short a time for a load.
        """
        t, y = self.t_s, self.y_mg
        end = len(y)
        while end > 1 and y[end - 1] < floor_mg:
            end -= 1
        start = end
        while start > 1 and y[start - 1] >= floor_mg:
            start -= 1
        if start == end:
            return None
        high = floor_mg + _DWELL_SHARE * (max(y[start:end]) - floor_mg)
        held = [i for i in range(start, end) if y[i] >= high]
        if t[held[-1]] - t[held[0]] >= _DWELL_LEAST_S:
            return statistics.median(y[i] for i in held)
        if end - start > _LAIN_LEAST and t[end - 1] - t[start] >= _LAIN_LEAST_S:
            return statistics.fmean(y[start + 1 : end - 1])
        return None

    def fall(self) -> tuple[list[float], list[float]] | None:
        """Return the unbroken fall that ended with the reading before the last, if it was one.

        Returns
        -------
        tuple of two lists, seconds and milligrams
        """
        y = self.y_mg
        end = len(y) - 1
        start = end - 1
        while start > 0 and y[start - 1] > y[start]:
            start -= 1
        if end - start <= 4 or y[start] - y[end - 1] <= 100 * self.grain.noise_mg:
            return None
        return self.t_s[start:end], y[start:end]

    def hiss(self) -> tuple[float, float] | None:
        """Return level and noise of a display that stands still but for its noise.

        Returns
        -------
        tuple of float, milligrams
            Mean and standard deviation of the last readings; None where they move, or where
            there are too few of them.

        Notes
        -----
        The mean square successive difference is twice the variance of white noise, and far less
        of a motion (von Neumann 1941); the two halves must also have one mean.
        """
        n = max(_HISS_LEAST, len(self.t_s) - 1 - bisect_left(self.t_s, self.t_s[-1] - _HISS_S))
        if len(self.y_mg) - 1 < n or self.t_s[-1] - self.t_s[-n] > _STRETCH_MOST_S:
            return None
        recent = self.y_mg[-n:]
        mean, sd = statistics.fmean(recent), statistics.stdev(recent)
        steps = statistics.fmean((after - before) ** 2 for before, after in pairwise(recent))
        halves = statistics.fmean(recent[: n // 2]) - statistics.fmean(recent[n // 2 :])
        if sd > _HISS_MOST_MG or abs(halves) > 4 * sd / n**0.5 or steps < _HISS_RATIO * sd**2:
            return None
        return mean, sd

    def restless(self, least: int, stretch_s: float) -> tuple[list[float], list[float]] | None:
        """Return the last readings if they swing without end around some level.

        Parameters
        ----------
        least : int
            Fewest readings worth studying.
        stretch_s : float, seconds
            How far to look back.

        Returns
        -------
        tuple of two lists, seconds and milligrams
        """
        if len(self.y_mg) < least + 2:
            return None
        n = max(least, len(self.y_mg) - 1 - bisect_left(self.t_s, self.t_s[-1] - stretch_s))
        if self.t_s[-1] - self.t_s[-n] > _STRETCH_MOST_S:
            return None  # a silence lies in it
        recent = self.y_mg[-n:]
        swing = max(recent) - min(recent)
        fewest_mg = max(8 * self.grain.noise_mg, 4 * self.grain.division_mg)
        if not fewest_mg <= swing <= 0.15 * max(abs(recent[-1]), abs(self.rise_mg)):
            return None
        steps = [after - before for before, after in pairwise(recent)]
        turns = sum(a * b < 0 for a, b in pairwise(steps))
        return (self.t_s[-n:], recent) if turns >= _LEAST_TURNS else None

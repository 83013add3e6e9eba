"""When a display is calm, and what at: readings in, rests out, the instrument's filter known."""

from __future__ import annotations

import math
import statistics
from bisect import bisect_left
from dataclasses import dataclass

from weighstation.detect.patience import Patience
from weighstation.detect.response import QUANTISED_SIGMA, Response
from weighstation.detect.tails import find_mode, fit_tail

_CALM_CAP = 24
_HAND_MOST_MG = 80_000.0
_DWELL_LEAST_S = 0.35  # a load that never slowed down stood near its highest for so long
_DWELL_SHARE = 0.88
_WORK_LEAST_S = 0.45  # no bit is added or taken off in less
_WORK_LEAST_MG = 20_000.0
_BUFFER_CAP = 400
_BUFFER_KEEP = 200
_QUIET = 0.31  # noise in divisions below which a calm display shows one number, or two
_RESTLESS = 9  # readings without a rest after which the tail is studied
_STRETCH_S = 0.7
_TAIL_MOST = 12
_POLES_REACH = 8  # divisions: farther off, a pole's own error would show


@dataclass(frozen=True, slots=True)
class Rest:
    """A level that the display has come to.

    Parameters
    ----------
    t_s : float, seconds
    level_mg : float, milligrams
    firm : bool
    """

    t_s: float
    level_mg: float
    firm: bool


class Settler:
    """Follow the display and say when it rests.

    A calm display takes the short way (:meth:`hold`); only a moving one is studied.
    """

    HAND_MOST_S = 1.6  # a hand that lies still on a piece comes off within this time

    def __init__(self) -> None:
        self.response = Response()
        self.patience = Patience()
        self.calm = False
        self.level_mg = self.said_mg = 0.0
        self.tolerance_mg = 0.0
        self.division_mg = 1000.0
        self.noise_mg = 0.0
        self.last_s = 0.0
        self._flat_mg = 0.0
        self._count = 0
        self._squares = 0.0
        self._t: list[float] = []
        self._y: list[float] = []
        self._c: list[float] = []
        self._studied = 0
        self._swing_mg = 0.0
        self._fade = 0.0
        self._foreseen = False
        self._falling = False
        self._way_here: tuple[list[float], list[float]] | None = None
        self._set_tolerances()

    def learn_division(self, division_mg: int) -> None:
        """Take the scale interval d, milligrams."""
        self.division_mg = float(division_mg)
        self._set_tolerances()

    @property
    def onset_s(self) -> float:
        """When the present motion was first seen, seconds."""
        return self._t[1] if len(self._t) > 1 else self._t[0]

    def above_mg(self) -> float:
        """Return how far the present motion has risen above the level before it, milligrams."""
        return max(self._y) - self._y[0]

    def below_mg(self) -> float:
        """Return how far the present motion has fallen below the level before it, milligrams."""
        return self._y[0] - min(self._y)

    def flat_s(self) -> float:
        """Return for how long the display has stood at one level, seconds."""
        return self._t[-1] - self._t[-self._run()]

    def last_at_mg(self, level_mg: float) -> float:
        """Return when the display last stood above a level, seconds."""
        for t_s, y_mg in zip(reversed(self._t), reversed(self._y), strict=True):
            if y_mg >= level_mg:
                return t_s
        return self._t[0]

    def rise_began_s(self) -> float:
        """Return when the present rise was first seen, seconds."""
        y = self._y
        i = len(y) - 1
        while i > 1 and y[i - 1] < y[i] and y[i - 1] - y[0] > self.tolerance_mg:
            i -= 1
        return self._t[i]

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
        t, y = self._t, self._y
        end = len(y)
        while end > 1 and y[end - 1] < floor_mg:
            end -= 1
        start = end
        while start > 1 and y[start - 1] >= floor_mg:
            start -= 1
        if end - start < 3:  # noqa: PLR2004
            return None
        high = floor_mg + _DWELL_SHARE * (max(y[start:end]) - floor_mg)
        held = [i for i in range(start, end) if y[i] > high]
        if t[held[-1]] - t[held[0]] < _DWELL_LEAST_S:
            return None
        return statistics.median(y[i] for i in held)

    def was_worked_on(self) -> bool:
        """Say whether the present motion is long and large enough for an add or a trim."""
        strayed_mg = max(self.above_mg(), self.below_mg())
        return self._t[-1] - self._t[0] > _WORK_LEAST_S and strayed_mg > max(
            15 * self.division_mg, _WORK_LEAST_MG
        )

    def slows_down(self) -> bool:
        """Say whether the last three readings lie near each other, flat or not."""
        last = self._y[-3:]
        near_mg = max(3 * self.division_mg, 0.015 * abs(last[-1] - self._y[0]))
        return len(self._y) > 3 and max(last) - min(last) <= near_mg

    def _set_tolerances(self) -> None:
        d = self.division_mg
        self.noise_mg = max(self.response.noise_mg, QUANTISED_SIGMA * d)
        self.tolerance_mg = max(1.05 * d, 4.0 * self.noise_mg)
        self._flat_mg = max(1.05 * d, 3.5 * self.noise_mg)
        self._quiet = self.noise_mg < _QUIET * d

    def start(self, t_s: float, y_mg: float) -> None:
        """Begin at a level nobody has seen the way to."""
        self.calm = False
        self._t, self._y, self._c = [t_s], [y_mg], [0.0]

    @property
    def last_mg(self) -> float:
        """The last reading, or the calm level, milligrams."""
        return self.level_mg if self.calm else self._y[-1]

    def is_near_start(self) -> bool:
        """Say whether the motion has hardly left the level it began at."""
        return abs(self._y[-1] - self._y[0]) < 0.05 * abs(self._y[0])

    def is_faster_than_filter(self, t_s: float) -> bool:
        """Say whether so much could not have happened since the last reading by a load."""
        settle_s = self.response.settle_s
        return settle_s is not None and settle_s > 4 * (t_s - self.last_s)

    def moved_by_itself(self) -> bool:
        """Say whether the last motion was no touch: a hand came off, or the display crept on.

        A touch shows as a press or a pull beyond the change it leaves; this does not.
        """
        fall = self._y[0] - self.level_mg
        slack = max(2 * self.division_mg, 3 * self.noise_mg)
        return (
            -4 * slack < fall < _HAND_MOST_MG
            and self.above_mg() <= slack + max(-fall, 0.0)
            and self.below_mg() <= slack + max(fall, 0.0)
        )

    def follow_creep(self) -> None:
        """Take the level for what is said of it from now on."""
        self.said_mg = self.level_mg
        self.see_wrong()

    def see_wrong(self) -> None:
        """The last firm level did not hold, and nobody touched the load."""
        self.patience.see(held=False)
        if self._foreseen:
            self.response.distrust()

    def shift(self, t_s: float, shift_mg: float) -> None:
        """Move everything seen without a motion: the scale was tared or set to zero."""
        self.last_s = t_s
        self.level_mg += shift_mg
        self.said_mg += shift_mg
        self._y = [y_mg + shift_mg for y_mg in self._y]

    def hold(self, t_s: float, y_mg: float) -> bool:
        """Take in a reading of the calm level; say whether the level is no longer what it was."""
        if self._swing_mg:
            self._swing_on(t_s)
            return False
        self.last_s = t_s
        shift = y_mg - self.level_mg
        if self._count < _CALM_CAP:
            self._count += 1
            self.level_mg += shift / self._count
            self._squares += shift * (y_mg - self.level_mg)
        else:
            self.level_mg += shift / _CALM_CAP
        return self._count > 5 and abs(self.level_mg - self.said_mg) > 0.7 * self.division_mg

    def _swing_on(self, t_s: float) -> None:
        """Let the allowance for a ring die down with it."""
        self._swing_mg *= math.exp(-self._fade * (t_s - self.last_s))
        self.last_s = t_s
        self._count = 1
        self._squares = 0.0
        self._set_tolerances()
        if self._swing_mg < self.noise_mg:
            self._swing_mg = 0.0
        self.tolerance_mg += 1.5 * self._swing_mg

    def stir(self, t_s: float, y_mg: float) -> Rest | None:
        """Begin a motion with the first reading that left the level."""
        if self._count > 2:  # noqa: PLR2004
            self.response.see_calm(self._count - 1, self._squares)
            if self._way_here is not None:
                self.response.see_lift_off(*self._way_here, self.level_mg, self.noise_mg)
        self._way_here = None
        self._swing_mg = 0.0
        self._set_tolerances()
        self.calm = False
        self._t, self._y, self._c = [self.last_s], [self.level_mg], [0.0]
        self._studied = 0
        return self.follow(t_s, y_mg)

    def follow(self, t_s: float, y_mg: float) -> Rest | None:
        """Take in a reading of a moving display; return where it rests, if it seems to."""
        t, y = self._t, self._y
        self.last_s = t_s
        if len(t) > _BUFFER_CAP:
            del t[1:_BUFFER_KEEP], y[1:_BUFFER_KEEP], self._c[1:_BUFFER_KEEP]
        step = abs(y_mg - y[-1])
        t.append(t_s)
        y.append(y_mg)
        self._c.append(self._input_until(t_s, y_mg))
        if self._falling and y_mg > y[-2] - self.noise_mg:
            self._study_fall()
        self._falling = y_mg < y[-2] - self.noise_mg
        if step <= self._flat_mg:
            run = self._run()
            if run >= 2 and self._is_firm(run):  # noqa: PLR2004
                return self._settle(t_s, run)
        tail = self._tail_rest(t_s) or self._pole_rest(t_s)
        if tail is not None:
            return tail
        if step <= max(2 * self.division_mg, 0.02 * abs(y_mg - y[0]), 3 * self.noise_mg):
            return Rest(t_s, y_mg, firm=False)
        return None

    def _input_until(self, t_s: float, y_mg: float) -> float:
        """Return the time integral of the load's departure from the old level.

        A moving average of length L obeys ``L*y(t) = C(t) - C(t-L)`` with C the integral of the
        load; C is known to be zero up to the onset, and so follows reading by reading.
        """
        window_s = self.response.window_s
        if window_s is None:
            return 0.0
        own = window_s * (y_mg - self._y[0])
        then = t_s - window_s
        t, c = self._t, self._c
        if then <= t[0] or not c:
            return own
        i = min(bisect_left(t, then), len(c) - 1)
        if i < 1:
            return own
        before, after = t[i - 1], t[i]
        part = (then - before) / (after - before) if after > before else 1.0
        return own + c[i - 1] + min(part, 1.0) * (c[i] - c[i - 1])

    def _run(self) -> int:
        """Return how many of the last readings stand at one level.

        A quiet display must show one number; two neighbours count from four readings on, when it
        has gone from one to the other and back.
        """
        y = self._y
        last = low = high = y[-1]
        wide = equal = 1
        back = False
        for i in range(len(y) - 2, 0, -1):
            value = y[i]
            low = min(low, value)
            high = max(high, value)
            if high - low > self._flat_mg:
                break
            wide += 1
            if value == last:
                back = back or equal < wide - 1
                if equal == wide - 1:
                    equal = wide
        if not self._quiet:
            return wide
        return wide if back and wide >= 4 else equal  # noqa: PLR2004

    def _is_firm(self, run: int) -> bool:
        t = self._t
        flat_s = t[-1] - t[-run]
        if not self._quiet and self.noise_mg > 0.2 * self.division_mg * run**0.5:
            return False
        response = self.response
        extra = self.patience.extra + self._arrival_extra()
        if flat_s < 0.8 * response.creep_s:
            return False
        window_s = response.window_s
        if response.mode is not None and self._swing_hides(run):
            return False
        if window_s is None:
            short = response.settle_s is not None and response.settle_s < 2.5 * (t[-1] - t[-2])
            return run >= (3 if short else 4) + extra and flat_s > 0.12
        if flat_s >= window_s:
            return run >= 3
        if run < 2 + extra or flat_s < 0.07:
            return False
        still = self._load_is_still(window_s)
        if still is None:
            return run >= (2 if flat_s >= max(0.3 * window_s, 0.15) else 3) + extra
        return still

    def _arrival_extra(self) -> int:
        """Return how many readings more an arrival is given: a hand lies still most often then."""
        arrives = self._y[-1] - self._y[0] > 0.5 * abs(self._y[-1])
        return 1 if arrives and self._t[-1] - self._t[-2] < 0.15 else 0

    def _swing_hides(self, run: int) -> bool:
        """Say whether a known ring could make so short a run by chance."""
        return run < 4

    def _load_is_still(self, window_s: float) -> bool | None:
        """Say whether the load has not moved for one window; None where that cannot be told."""
        t, c = self._t, self._c
        level = self._y[-1] - self._y[0]
        since = t[-1] - window_s
        if since < t[0]:
            return False
        slack = 4.0 * self.noise_mg * 1.41 * window_s
        blind = False
        last = len(t) - 1
        for i in range(last, 0, -1):
            if t[i] <= since:
                break
            dt = t[i] - t[i - 1]
            if dt <= 0:
                continue
            load = (c[i] - c[i - 1]) / dt
            blur = self._blur(i, window_s)
            if abs(load - level) > slack / dt + 0.04 * abs(level) + blur:
                return False
            if i == last and blur > slack / dt or slack / dt > max(15_000.0, 0.02 * abs(level)):
                blind = True
        return None if blind else True

    def _blur(self, i: int, window_s: float) -> float:
        """Return how uncertain the load in interval i is because C was read between readings."""
        t, c = self._t, self._c
        worst = 0.0
        for then in (t[i] - window_s, t[i - 1] - window_s):
            if then <= t[0]:
                continue
            j = bisect_left(t, then)
            if j < 1 or j + 1 >= len(t):
                continue
            left = (c[j] - c[j - 1]) / max(t[j] - t[j - 1], 1e-6)
            right = (c[j + 1] - c[j]) / max(t[j + 1] - t[j], 1e-6)
            before = (c[j - 1] - c[j - 2]) / max(t[j - 1] - t[j - 2], 1e-6) if j > 1 else 0.0
            worst = max(worst, abs(right - left), abs(left - before))
        return 0.3 * worst

    def _tail_rest(self, t_s: float) -> Rest | None:
        """Return where a display is heading that has not come to rest by itself."""
        t, y = self._t, self._y
        if self.response.mode is None:
            self._study()
        mode = self.response.mode
        if mode is None:
            return None
        best = None
        for n in (4 if mode.omega == 0 else 5, 6, 7, 8, 10, _TAIL_MOST):
            if len(t) - 1 < n:
                break
            tail = fit_tail(t[-n:], y[-n:], mode, self.noise_mg)
            if tail.misfit > 2.0 or tail.swing_mg > 0.08 * max(abs(y[-1] - y[0]), abs(y[-1])):
                break
            best = tail
        if best is None or best.error_mg > 0.4 * self.division_mg:
            return None
        return self._foresee(t_s, best.level_mg, best.swing_mg, mode.decay)

    def _foresee(self, t_s: float, level_mg: float, swing_mg: float, fade: float) -> Rest:
        """Call a level calm that the display has not reached yet, and let it come."""
        self.calm = True
        self.level_mg = self.said_mg = level_mg
        self.last_s = t_s
        self._count = 1
        self._squares = 0.0
        self._way_here = None
        self._foreseen = True
        self._swing_mg = swing_mg
        self._fade = fade
        self.tolerance_mg += 1.5 * swing_mg
        return Rest(t_s, level_mg, firm=True)

    def _pole_rest(self, t_s: float) -> Rest | None:
        """Return where a filter with poles is heading, once the load behind it is still."""
        poles = self.response.poles
        if poles is None:
            return None
        t, y = self._t, self._y
        low = high = total = 0.0
        noise = self.noise_mg * poles.gain
        n = 0
        for i in range(len(t) - 1, 2, -1):
            if abs(t[i] - t[i - 2] - 2 * poles.dt_s) > 0.5 * poles.dt_s:
                break
            if abs(y[i - 1] - y[-1]) > _POLES_REACH * self.division_mg:
                break
            load = (y[i] - poles.one * y[i - 1] - poles.two * y[i - 2]) / poles.rest
            low, high = (min(low, load), max(high, load)) if n else (load, load)
            if high - low > 3.5 * noise:
                break
            total += load
            n += 1
            if n >= _TAIL_MOST:
                break
        if n < 3 + self.patience.extra or noise > 0.45 * self.division_mg * n**0.5:
            return None
        level = total / n
        return self._foresee(t_s, level, abs(y[-1] - level) + self.division_mg, poles.decay)

    def _study(self) -> None:
        """Look, now and then, whether a display that will not rest is dying down."""
        y = self._y
        self._studied += 1
        least = _RESTLESS if self._t[-1] - self._t[-2] < 0.15 else _RESTLESS - 2
        if len(y) < least + 2 or self._studied % 3:
            return
        n = max(least, len(y) - 1 - bisect_left(self._t, self._t[-1] - _STRETCH_S))
        recent = y[-n:]
        swing = max(recent) - min(recent)
        if swing < max(8 * self.noise_mg, 4 * self.division_mg) or swing > 0.15 * max(
            abs(y[-1]), abs(y[-1] - y[0])
        ):
            return
        mode = find_mode(self._t[-n:], recent, self.noise_mg)
        if mode is not None:
            self.response.see_mode(mode)

    def _study_fall(self) -> None:
        """Learn from an unbroken fall, which is a load that left."""
        t, y = self._t, self._y
        end = len(y) - 1
        start = end - 1
        while start > 0 and y[start - 1] > y[start]:
            start -= 1
        if end - start > 4 and y[start] - y[end - 1] > 100 * self.noise_mg:
            self.response.see_fall(t[start:end], y[start:end], self.noise_mg)

    def _settle(self, t_s: float, run: int) -> Rest:
        """Make the run the calm level."""
        y = self._y
        self._way_here = (self._t, y) if y[0] > y[-1] else None
        self.calm = True
        self._foreseen = False
        kept = y[-run:]
        self.level_mg = self.said_mg = sum(kept) / run
        self._count = run
        self._squares = sum((value - self.level_mg) ** 2 for value in kept)
        self.last_s = t_s
        return Rest(t_s, self.level_mg, firm=True)

"""When a display is calm, and what at: readings in, rests out, the instrument's filter known."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from weighstation.detect.response import QUANTISED_SIGMA, Response

_CALM_CAP = 24
_BUFFER_CAP = 600


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

    def __init__(self) -> None:
        self.response = Response()
        self.calm = False
        self.level_mg = 0.0
        self.tolerance_mg = 0.0
        self.last_s = 0.0
        self._count = 0
        self._squares = 0.0
        self._t: list[float] = []
        self._y: list[float] = []
        self._c: list[float] = []
        self._d = 1000.0
        self._set_tolerances()

    def learn_division(self, division_mg: int) -> None:
        """Take the scale interval d, milligrams."""
        self._d = float(division_mg)
        self._set_tolerances()

    @property
    def division_mg(self) -> float:
        """The scale interval d, milligrams."""
        return self._d

    @property
    def noise_mg(self) -> float:
        """Standard deviation of one reading of a calm pan, milligrams."""
        return max(self.response.noise_mg, QUANTISED_SIGMA * self._d)

    @property
    def onset_s(self) -> float:
        """When the present motion was first seen, seconds."""
        return self._t[1] if len(self._t) > 1 else self._t[0]

    def excursion_mg(self) -> float:
        """Return how far the present motion has strayed from the level before it, milligrams."""
        return max(max(self._y) - self._y[0], self._y[0] - min(self._y))

    def _set_tolerances(self) -> None:
        noise = self.noise_mg
        self.tolerance_mg = max(1.05 * self._d, 4.0 * noise)
        self._flat_mg = max(1.05 * self._d, 3.5 * noise)

    def hold(self, t_s: float, y_mg: float) -> None:
        """Take in a reading of the calm level."""
        self.last_s = t_s
        shift = y_mg - self.level_mg
        if self._count < _CALM_CAP:
            self._count += 1
            self.level_mg += shift / self._count
            self._squares += shift * (y_mg - self.level_mg)
        else:
            self.level_mg += shift / _CALM_CAP

    def stir(self, t_s: float, y_mg: float) -> None:
        """Begin a motion with the first reading that left the level."""
        if self._count > 2:  # noqa: PLR2004
            self.response.see_calm(self._count - 1, self._squares)
            self._set_tolerances()
        self.calm = False
        self._t = [self.last_s]
        self._y = [self.level_mg]
        self._c = [0.0]
        self.follow(t_s, y_mg)

    def start(self, t_s: float, y_mg: float) -> None:
        """Begin at a level nobody has seen the way to."""
        self.calm = False
        self._t, self._y, self._c = [t_s], [y_mg], [0.0]

    def follow(self, t_s: float, y_mg: float) -> Rest | None:
        """Take in a reading of a moving display; return where it rests, if it seems to."""
        if len(self._t) > _BUFFER_CAP:
            del self._t[1:200], self._y[1:200], self._c[1:200]
        self._t.append(t_s)
        self._y.append(y_mg)
        self._c.append(self._input_until(t_s, y_mg))
        n = self._flat_run()
        if n >= 2 and self._is_firm(n):  # noqa: PLR2004
            self._settle(n)
            return Rest(t_s, self.level_mg, firm=True)
        step = abs(y_mg - self._y[-2])
        if step <= max(2 * self._d, 0.02 * abs(y_mg - self._y[0]), 3 * self.noise_mg):
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
        if then <= self._t[0]:
            return own
        i = bisect_left(self._t, then)
        if i >= len(self._c):
            i = len(self._c) - 1
        before, after = self._t[i - 1], self._t[i]
        part = (then - before) / (after - before) if after > before else 1.0
        return own + self._c[i - 1] + part * (self._c[i] - self._c[i - 1])

    def _flat_run(self) -> int:
        """Return how many of the last readings lie within the flat tolerance of each other."""
        y = self._y
        low = high = y[-1]
        n = 1
        for i in range(len(y) - 2, 0, -1):
            value = y[i]
            low = min(low, value)
            high = max(high, value)
            if high - low > self._flat_mg:
                break
            n += 1
        return n

    def _is_firm(self, n: int) -> bool:
        t = self._t
        flat_s = t[-1] - t[-n]
        window_s = self.response.window_s
        if window_s is None:
            settle_s = self.response.settle_s
            if settle_s is not None and settle_s < 3 * (t[-1] - t[-2]):
                return n >= 3
            return n >= 4 and flat_s >= 0.15
        if flat_s >= window_s:
            return True
        if n < 2 or flat_s < 0.07:
            return False
        return self._load_is_still(n, window_s)

    def _load_is_still(self, n: int, window_s: float) -> bool:
        """Say whether the load itself has not moved for one window of the moving average."""
        t, c = self._t, self._c
        level = sum(self._y[-n:]) / n - self._y[0]
        since = t[-1] - window_s
        if since < t[0]:
            return False
        step = abs(level)
        slack = 4.0 * self.noise_mg * 1.41 * window_s
        i = len(t) - 1
        while i > 0 and t[i] > since:
            dt = t[i] - t[i - 1]
            if dt > 0:
                x = (c[i] - c[i - 1]) / dt
                if abs(x - level) > slack / dt + 0.04 * step + self._blur(i, window_s):
                    return False
            i -= 1
        return True

    def _blur(self, i: int, window_s: float) -> float:
        """Return how uncertain the load in interval i is because C was read between readings."""
        t, c = self._t, self._c
        worst = 0.0
        dt = t[i] - t[i - 1]
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
        return 0.3 * worst * (window_s / window_s if dt > 0 else 1.0)

    def _settle(self, n: int) -> None:
        """Make the flat run the calm level."""
        y = self._y
        if y[0] - y[-1] > 0:
            self.response.see_lift_off(self._t, y, self.noise_mg)
        self.calm = True
        run = y[-n:]
        self.level_mg = sum(run) / n
        self._count = n
        self._squares = sum((value - self.level_mg) ** 2 for value in run)
        self.last_s = self._t[-1]

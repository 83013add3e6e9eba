"""Looking behind a moving average: what the load did, from what the display shows.

A display y that averages the load x over a window of length L obeys ``L*y(t) = C(t) - C(t-L)``
with C the time integral of x. C is known up to the onset of a motion, so it follows reading by
reading, and with it the mean load in each interval between two readings.
"""

from __future__ import annotations

from bisect import bisect_left
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.detect.motion import Motion

_SIGMAS = 4.0
_SLOPE_SHARE = 0.04  # of the load: what a window learned a little wrong makes of it
_BLUR_SHARE = 0.3  # of the change between neighbouring intervals
_POOR_SHARE = 0.02  # of the load: a slack wider than this, or 15 g, sees no hand
_POOR_MG = 15_000.0


class LoadBehind:
    """The load behind a moving average, as a departure from the level that was left.

    Parameters
    ----------
    motion : Motion
    window_s : float, seconds
    """

    __slots__ = ("_c", "_motion", "window_s")

    def __init__(self, motion: Motion, window_s: float) -> None:
        self._motion = motion
        self.window_s = window_s
        self._c = [0.0]

    def follow(self) -> None:
        """Take in the reading that the motion has just got."""
        t, y = self._motion.t_s, self._motion.y_mg
        if len(t) <= len(self._c):  # the motion has forgotten its middle
            del self._c[1 : 2 + len(self._c) - len(t)]
        self._c.append(self.window_s * (y[-1] - y[0]) + self._before(t[-1] - self.window_s))

    def _before(self, then_s: float) -> float:
        """Return C at a time between two readings."""
        t, c = self._motion.t_s, self._c
        i = min(bisect_left(t, then_s), len(c) - 1)
        if then_s <= t[0] or i < 1:
            return 0.0
        span_s = t[i] - t[i - 1]
        part = min((then_s - t[i - 1]) / span_s, 1.0) if span_s > 0 else 1.0
        return c[i - 1] + part * (c[i] - c[i - 1])

    def is_still(self) -> bool | None:
        """Say whether the load has not moved for one window; None where that cannot be told."""
        motion = self._motion
        t = motion.t_s
        since_s = t[-1] - self.window_s
        if since_s < t[0]:
            return False
        rise = motion.rise_mg
        level = abs(rise)
        slack_mg_s = _SIGMAS * motion.grain.noise_mg * 2**0.5 * self.window_s
        poor_mg = max(_POOR_MG, _POOR_SHARE * level)
        told = True
        last = len(t) - 1
        for i in range(last, 0, -1):
            if t[i] <= since_s:
                break
            dt_s = t[i] - t[i - 1]
            if dt_s <= 0:
                continue
            slack = slack_mg_s / dt_s
            off = abs((self._c[i] - self._c[i - 1]) / dt_s - rise)
            beyond = off - slack - _SLOPE_SHARE * level
            if beyond > 0 and beyond > self._blur(i):
                return False
            if slack > poor_mg or (i == last and self._blur(i) > slack):
                told = False
        return True if told else None

    def _blur(self, i: int) -> float:
        """Return how uncertain the load in interval i is because C was read between readings."""
        t = self._motion.t_s
        worst = 0.0
        for then_s in (t[i] - self.window_s, t[i - 1] - self.window_s):
            j = bisect_left(t, then_s)
            if then_s <= t[0] or j < 1 or j + 1 >= len(t):
                continue
            here = self._load(j)
            before = self._load(j - 1) if j > 1 else 0.0
            worst = max(worst, abs(self._load(j + 1) - here), abs(here - before))
        return _BLUR_SHARE * worst

    def _load(self, i: int) -> float:
        t, c = self._motion.t_s, self._c
        return (c[i] - c[i - 1]) / max(t[i] - t[i - 1], 1e-6)

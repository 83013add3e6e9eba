"""How this instrument follows a load, learned from clean lift-offs; and how it rings and hisses."""

from __future__ import annotations

import math
import statistics
from collections import deque
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from weighstation.detect.poles import Poles, Row, fit_poles
from weighstation.detect.ringing import Mode

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.detect.motion import Motion

_UNIFORM = 0.25  # mid-ramp rates of a moving average agree within this share
_REMEMBERED = 9
_HISS_COUNT = 24
_SAME_OMEGA = 1.2  # radians per second


@dataclass(slots=True)
class Response:
    """The instrument's filter and noise as far as they have been seen.

    Parameters
    ----------
    window_s : float, seconds, or None
        Length of the moving average that a clean lift-off shows; None until one was seen.
    settle_s : float, seconds, or None
        Shortest time a lift-off took from the last loaded reading to the first empty one.
    noise_mg : float, milligrams
        Standard deviation of readings of a calm pan; 0 until some were seen.
    """

    window_s: float | None = None
    settle_s: float | None = None
    noise_mg: float = 0.0
    creep_s: float = 0.0
    mode: Mode | None = None
    poles: Poles | None = None
    _windows: deque[float] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))
    _settles: deque[float] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))
    _creeps: deque[float] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))
    _tails: deque[list[Row]] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))
    _modes: deque[Mode] = field(default_factory=lambda: deque(maxlen=6))
    _squares: float = 0.0
    _count: int = 0

    def see_calm(self, n: int, squares_mg2: float) -> None:
        """Take in the scatter of one calm stretch.

        Parameters
        ----------
        n : int
            Readings less one.
        squares_mg2 : float, square milligrams
            Sum of squared deviations from the stretch's mean.
        """
        self._count += n
        self._squares += squares_mg2
        if self._count > 400:  # forget slowly, so that a warming scale is followed
            self._count //= 2
            self._squares /= 2
        if self._count >= 8:
            self.noise_mg = (self._squares / self._count) ** 0.5

    @property
    def knows_noise(self) -> bool:
        """Whether a calm pan was seen: what moves from then on is more than noise."""
        return self._count > 0

    def see_hiss(self, sd_mg: float) -> None:
        """Take in the noise of a display that never shows one number for long.

        Parameters
        ----------
        sd_mg : float, milligrams
        """
        self.noise_mg = max(self.noise_mg, sd_mg)
        self._count, self._squares = _HISS_COUNT, _HISS_COUNT * self.noise_mg**2

    def see_lift_off(self, motion: Motion, empty_mg: float) -> None:
        """Take in a lift-off, from the last calm loaded reading to the first calm empty one.

        Parameters
        ----------
        motion : Motion
        empty_mg : float, milligrams
            Where the display came to in the end.
        """
        t_s, y_mg, noise_mg = motion.t_s, motion.y_mg, motion.grain.noise_mg
        drop = y_mg[0] - empty_mg
        if drop < 40 * noise_mg:
            return
        above = [y - empty_mg for y in y_mg]
        if min(above) < -0.05 * drop or max(above) > 1.05 * drop:
            return  # somebody leaned on it: not a clean one
        first = next((i for i, z in enumerate(above) if z < 0.98 * drop), 0)
        if first == 0:
            return
        near = max(0.01 * drop, 3 * noise_mg)
        last = next((i for i, z in enumerate(above) if z < near), len(above) - 1)
        self._settles.append(t_s[last] - t_s[first - 1])
        if len(self._settles) > 2:
            self.settle_s = min(self._settles)
        self._see_creep(t_s, above, noise_mg)
        self._see_ramp(t_s[first:last], above[first:last], drop)

    def _see_creep(self, t_s: Sequence[float], above: Sequence[float], noise_mg: float) -> None:
        """Learn how slowly the last few noises of a fall are crept: a time constant."""
        far = next((i for i, z in enumerate(above) if z < 40 * noise_mg), None)
        near = next((i for i, z in enumerate(above) if z < 5 * noise_mg), None)
        if far is None or near is None:
            return
        share = max(above[far], 5 * noise_mg) / max(above[near], 2 * noise_mg)
        self._creeps.append((t_s[near] - t_s[far]) / math.log(share) if share > 1 else 0.0)
        self.creep_s = statistics.median(self._creeps)

    def _see_ramp(self, t_s: Sequence[float], above: Sequence[float], drop: float) -> None:
        """Learn the length of a moving average: its display falls in a straight line."""
        rates = [
            (above[i - 1] - above[i]) / (t_s[i] - t_s[i - 1])
            for i in range(1, len(above))
            if t_s[i] > t_s[i - 1]
        ]
        if len(rates) < 2:  # the filter is too short to show its shape
            return
        mean = statistics.fmean(rates)
        if mean <= 0:
            return
        if max(abs(rate - mean) for rate in rates) > _UNIFORM * mean:
            return
        self._windows.append(drop * (t_s[-1] - t_s[0]) / (above[0] - above[-1]))
        self.window_s = statistics.median(self._windows)

    def see_fall(self, t_s: Sequence[float], y_mg: Sequence[float], noise_mg: float) -> None:
        """Take in an unbroken fall of the display, and learn a filter with poles from it.

        Each step is then a fixed mix of the two before, wherever the fall is going.

        Parameters
        ----------
        t_s : (n,) float, seconds
        y_mg : (n,) float, milligrams
        noise_mg : float, milligrams
        """
        half = y_mg[0] - 0.6 * (y_mg[0] - y_mg[-1])
        steps = [y_mg[i - 1] - y_mg[i] for i in range(1, len(y_mg))]
        rows = [
            (steps[i], steps[i - 1], steps[i - 2], t_s[i + 1] - t_s[i])
            for i in range(2, len(steps))
            if y_mg[i - 2] < half and steps[i - 1] > 4 * noise_mg
        ]
        if len(rows) < 3:
            return
        self._tails.append(rows)
        if len(self._tails) >= 2 and len(self._tails) > len(self._windows):
            self.poles = fit_poles([row for rows in self._tails for row in rows], 1.4 * noise_mg)

    def see_mode(self, mode: Mode) -> None:
        """Take in how a display seemed to die down; believe it once three stretches agree.

        Parameters
        ----------
        mode : Mode
        """
        self._modes.append(mode)
        alike = [other for other in self._modes if abs(mode.omega - other.omega) < _SAME_OMEGA]
        if len(alike) >= 3:
            self.mode = Mode(
                decay=statistics.median(other.decay for other in alike),
                omega=statistics.median(other.omega for other in alike),
            )

    def distrust(self) -> None:
        """Forget ring and poles, and learn them anew: a level foreseen from them was wrong."""
        self.mode = None
        self.poles = None
        self._modes.clear()
        self._tails.clear()

"""How this instrument follows a load, learned from clean lift-offs; and how it rings and hisses."""

from __future__ import annotations

import math
import statistics
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field

from weighstation.detect.tails import Mode

QUANTISED_SIGMA = 0.29  # standard deviation of rounding, in divisions: 1/sqrt(12)
_UNIFORM = 0.25  # mid-ramp rates of a moving average agree within this share
_REMEMBERED = 9
_SAME_OMEGA = 1.5  # radians per second


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
        Standard deviation of readings of a calm pan, rounding included.
    """

    window_s: float | None = None
    settle_s: float | None = None
    noise_mg: float = 0.0
    mode: Mode | None = None
    _windows: deque[float] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))
    _settles: deque[float] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))
    _low_passes: deque[float] = field(default_factory=lambda: deque(maxlen=_REMEMBERED))
    _modes: deque[Mode] = field(default_factory=lambda: deque(maxlen=4))
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
        if self._count > 400:  # noqa: PLR2004 - forget slowly, so that a warming scale is followed
            self._count //= 2
            self._squares /= 2
        if self._count >= 8:  # noqa: PLR2004
            self.noise_mg = (self._squares / self._count) ** 0.5

    def see_lift_off(self, t_s: Sequence[float], y_mg: Sequence[float], noise_mg: float) -> None:
        """Take in a lift-off, from the last calm loaded reading to the first calm empty one.

        Parameters
        ----------
        t_s : (n,) float, seconds
        y_mg : (n,) float, milligrams
        noise_mg : float, milligrams
        """
        drop = y_mg[0] - y_mg[-1]
        if drop < 40 * noise_mg:
            return
        first = next(i for i, y in enumerate(y_mg) if y_mg[0] - y > 0.02 * drop)
        last = next(i for i, y in enumerate(y_mg) if y - y_mg[-1] < max(0.01 * drop, 3 * noise_mg))
        if min(y_mg[: last + 1]) < y_mg[-1] - 0.05 * drop or max(y_mg) > y_mg[0] + 0.05 * drop:
            return  # somebody leaned on it: not a clean one
        self._settles.append(t_s[last] - t_s[first - 1])
        self.settle_s = min(self._settles)
        rates = [
            (y_mg[i - 1] - y_mg[i]) / (t_s[i] - t_s[i - 1])
            for i in range(first + 1, last)
            if t_s[i] > t_s[i - 1]
        ]
        if len(rates) < 2:  # noqa: PLR2004 - the filter is too short to show its shape
            return
        if self._see_low_pass([y - y_mg[-1] for y in y_mg], t_s, drop):
            return
        mean = statistics.fmean(rates)
        if max(abs(rate - mean) for rate in rates) < _UNIFORM * mean:
            run_s = t_s[last - 1] - t_s[first]
            self._windows.append(drop * run_s / (y_mg[first] - y_mg[last - 1]))
            self.window_s = statistics.median(self._windows)

    def _see_low_pass(self, above: list[float], t_s: Sequence[float], drop: float) -> bool:
        """Say whether a lift-off dies away exponentially, and learn its decay if so."""
        decays = [
            math.log(above[i - 1] / above[i]) / (t_s[i] - t_s[i - 1])
            for i in range(2, len(above))
            if 0.02 * drop < above[i] < above[i - 1] < 0.7 * drop and t_s[i] > t_s[i - 1]
        ]
        if len(decays) < 3 or max(decays) > 1.25 * min(decays):
            return False
        self._low_passes.append(statistics.median(decays))
        self.mode = Mode(decay=statistics.median(self._low_passes), omega=0.0)
        return True

    def see_mode(self, mode: Mode) -> None:
        """Take in how a display seemed to die down; believe it once two stretches agree.

        Parameters
        ----------
        mode : Mode
        """
        for other in self._modes:
            if abs(mode.omega - other.omega) < _SAME_OMEGA and (
                0.4 < (mode.decay + 0.5) / (other.decay + 0.5) < 2.5
            ):
                self.mode = Mode(
                    decay=(mode.decay + other.decay) / 2, omega=(mode.omega + other.omega) / 2
                )
                return
        self._modes.append(mode)

"""A filter with poles: a low-pass or a cascade that creeps in on its level.

What such a display has left to go is a fixed mix of what it had left before; the mix is learned
from the steps of a fall, and then tells where a creeping display is heading.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.detect.grain import Grain

_LEAST_REST = 0.04
_REACH = 8  # divisions: farther off, an error of the poles would show
_MOST = 12

Row = tuple[float, float, float, float]  # a step, the one before, the one before that; seconds


@dataclass(frozen=True, slots=True)
class Poles:
    """A filter of second order: what is left is ``one`` times the last and ``two`` times before.

    Parameters
    ----------
    one, two : float
    dt_s : float, seconds
        The spacing of readings that they belong to.
    """

    one: float
    two: float
    dt_s: float

    @property
    def rest(self) -> float:
        """What the two leave over: the share of the load in each new reading."""
        return 1.0 - self.one - self.two

    @property
    def gain(self) -> float:
        """Noise of one estimate of the load, in noises of a reading."""
        return math.sqrt(1.0 + self.one**2 + self.two**2) / self.rest

    @property
    def decay(self) -> float:
        """How fast the slower pole dies, per second."""
        root = self.one**2 / 4 + self.two
        radius = self.one / 2 + math.sqrt(root) if root > 0 else math.sqrt(max(-self.two, 1e-9))
        return -math.log(min(max(radius, 1e-3), 0.999)) / self.dt_s


def fit_poles(rows: Sequence[Row], noise_mg: float) -> Poles | None:
    """Return the poles that explain how displays died away after lift-offs, if any do.

    Parameters
    ----------
    rows : sequence of Row
    noise_mg : float, milligrams

    Returns
    -------
    Poles or None
        None where a second-order filter does not explain the rows, as for a moving average.
    """
    s11 = s12 = s22 = s1 = s2 = 0.0
    for z, one, two, _ in rows:
        s11 += one * one
        s12 += one * two
        s22 += two * two
        s1 += z * one
        s2 += z * two
    dt_s = sorted(dt for *_, dt in rows)[len(rows) // 2]
    allowed = (1.5 * noise_mg) ** 2 + 1.6e-5 * s22 / len(rows)
    det = s11 * s22 - s12 * s12
    tried = [Poles(s1 / s11, 0.0, dt_s)]
    if det > 1e-6 * s11 * s22:
        tried.append(Poles((s1 * s22 - s2 * s12) / det, (s2 * s11 - s1 * s12) / det, dt_s))
    for poles in tried:
        left = sum((z - poles.one * one - poles.two * two) ** 2 for z, one, two, _ in rows)
        if poles.rest > _LEAST_REST and left <= allowed * len(rows):
            return poles
    return None


def foresee_creep(
    t_s: Sequence[float], y_mg: Sequence[float], poles: Poles, grain: Grain, *, least: int
) -> float | None:
    """Return the level that a creeping display is coming to, once the load behind it is still.

    Parameters
    ----------
    t_s, y_mg : (n,) float, seconds and milligrams
        Readings since the display was last calm.
    poles : Poles
    grain : Grain
    least : int
        How many readings must agree.

    Returns
    -------
    float, milligrams; None while they do not agree.
    """
    noise_mg = grain.noise_mg * poles.gain
    loads: list[float] = []
    for i in range(len(t_s) - 1, 2, -1):
        if abs(t_s[i] - t_s[i - 2] - 2 * poles.dt_s) > 0.5 * poles.dt_s:
            break
        if abs(y_mg[i - 1] - y_mg[-1]) > _REACH * grain.division_mg:
            break
        load = (y_mg[i] - poles.one * y_mg[i - 1] - poles.two * y_mg[i - 2]) / poles.rest
        if max(loads, default=load) - min(loads, default=load) > 3.5 * noise_mg:
            break
        loads.append(load)
        if len(loads) >= _MOST:
            break
    if loads and max(loads) - min(loads) > 3.5 * noise_mg:
        loads.pop()
    n = len(loads)
    if n < least or noise_mg > 0.45 * grain.division_mg * n**0.5:
        return None
    return sum(loads) / n

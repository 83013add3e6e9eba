"""How a display still swings when the load does not: a pan that rings on its spring.

The display is then ``W + exp(-decay*u) * (a*cos(omega*u) + b*sin(omega*u))`` with W what it will
come to. Decay and omega belong to the loaded pan and are learned from what is seen; W is then a
linear least squares estimate from a few readings, with a standard error.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.detect.grain import Grain

_STRETCHES = (5, 6, 7, 8, 10, 12)  # readings, fewest first: the longest that fits is used
_SPAN_MOST_S = 4.0  # a silence lies in a longer stretch
_SWING_MOST = 0.08  # of the load or of its change: a larger swing is a hand
_MISFIT_FOLLOWED = 2.0
_MISFIT_LEARNED = 1.6
_AMPLITUDE_PRIOR = 60.0  # standard deviation of a and b before any reading, in noises
_HIGHEST_OMEGA = 2 * math.pi * 12  # a loaded bench pan rings slower than 12 Hz
_LEAST_BEAT = 0.12  # cycles a reading: slower, a ring cannot be told from a creep
_GRAIN = 0.7  # radians over the whole stretch between two tried frequencies
_DECAYS = (0.6, 0.9, 1.3, 1.8, 2.4)
_LOWEST_OMEGA = 2 * math.pi * 2.5


@dataclass(frozen=True, slots=True)
class Mode:
    """One way in which a display dies down.

    Parameters
    ----------
    decay : float, per second
    omega : float, radians per second
    """

    decay: float
    omega: float


@dataclass(frozen=True, slots=True)
class Tail:
    """What a display will come to.

    Parameters
    ----------
    level_mg : float, milligrams
    error_mg : float, milligrams
        Standard error of the level.
    misfit : float
        Mean squared residual over the noise's square, per degree of freedom.
    swing_mg : float, milligrams
        Amplitude of what is still dying down, at the last reading.
    """

    level_mg: float
    error_mg: float
    misfit: float
    swing_mg: float


def fit_tail(t_s: Sequence[float], y_mg: Sequence[float], mode: Mode, noise_mg: float) -> Tail:
    """Return what the readings are coming to, given how they die down.

    Parameters
    ----------
    t_s, y_mg : (n,) float, seconds and milligrams
        Readings of an unmoved load, oldest first; ``n >= 3``.
    mode : Mode
    noise_mg : float, milligrams
        Standard deviation of one reading.

    Returns
    -------
    Tail

    Notes
    -----
    Linear least squares with a weak normal prior on the amplitudes, which keeps the estimate finite
    where the readings cannot tell the sine from the cosine (a ring sampled at its own rate).
    """
    start = t_s[-1]
    origin = y_mg[-1]
    ridge = 1.0 / _AMPLITUDE_PRIOR**2
    n = len(t_s)
    s1 = s2 = s11 = s12 = s22 = y0 = y1 = y2 = yy = 0.0
    s11 = s22 = ridge
    for t, value in zip(t_s, y_mg, strict=True):
        u = t - start
        fade = math.exp(-mode.decay * u)
        c = fade * math.cos(mode.omega * u)
        s = fade * math.sin(mode.omega * u)
        y = (value - origin) / noise_mg
        s1 += c
        s2 += s
        s11 += c * c
        s12 += c * s
        s22 += s * s
        y0 += y
        y1 += c * y
        y2 += s * y
        yy += y * y
    # inverse of the symmetric 3 x 3 normal matrix [[n, s1, s2], [s1, s11, s12], [s2, s12, s22]]
    k00 = s11 * s22 - s12 * s12
    k01 = s2 * s12 - s1 * s22
    k02 = s1 * s12 - s2 * s11
    det = n * k00 + s1 * k01 + s2 * k02
    k11 = n * s22 - s2 * s2
    k12 = s1 * s2 - n * s12
    k22 = n * s11 - s1 * s1
    w = (k00 * y0 + k01 * y1 + k02 * y2) / det
    a = (k01 * y0 + k11 * y1 + k12 * y2) / det
    b = (k02 * y0 + k12 * y1 + k22 * y2) / det
    left = yy - w * y0 - a * y1 - b * y2
    free = max(1, n - 3)
    return Tail(
        level_mg=origin + w * noise_mg,
        error_mg=math.sqrt(max(k00 / det, 0.0)) * noise_mg,
        misfit=max(left, 0.0) / free,
        swing_mg=math.hypot(a, b) * noise_mg,
    )


def find_mode(t_s: Sequence[float], y_mg: Sequence[float], noise_mg: float) -> Mode | None:
    """Return the way in which a stretch of readings dies down, if one explains it.

    Parameters
    ----------
    t_s, y_mg : (n,) float, seconds and milligrams
        Readings that should have come to rest and have not; ``n >= 8``.
    noise_mg : float, milligrams

    Returns
    -------
    Mode or None
        None where nothing fits, or where the readings hardly swing.
    """
    span_s = t_s[-1] - t_s[0]
    if span_s <= 0:
        return None

    def misfit(mode: Mode) -> float:
        return fit_tail(t_s, y_mg, mode, noise_mg).misfit

    dt_s = span_s / (len(t_s) - 1)
    tried = [mode for mode in _modes(_GRAIN / span_s) if not _looks_like_creep(mode, dt_s)]
    if not tried:
        return None
    best = min(tried, key=misfit)
    best = min(_near(best, _GRAIN / span_s), key=misfit)
    tail = fit_tail(t_s, y_mg, best, noise_mg)
    swing_at_start = tail.swing_mg * math.exp(best.decay * span_s)
    if tail.misfit > _MISFIT_LEARNED or swing_at_start < 5 * noise_mg:
        return None
    return best


def _looks_like_creep(mode: Mode, dt_s: float) -> bool:
    """Say whether the readings come so near the ring's own rate that it shows as a creep."""
    cycles = mode.omega * dt_s / (2 * math.pi)
    return abs(cycles - round(cycles)) < _LEAST_BEAT


def _modes(grain: float) -> Iterator[Mode]:
    for step in range(int(_LOWEST_OMEGA / grain) + 1, int(_HIGHEST_OMEGA / grain) + 1):
        for decay in _DECAYS:
            yield Mode(decay, grain * step)


def _near(mode: Mode, grain: float) -> Iterator[Mode]:
    for factor in (0.75, 0.87, 1.0, 1.15, 1.3):
        for shift in (-0.5, -0.33, -0.17, 0.0, 0.17, 0.33, 0.5):
            yield Mode(mode.decay * factor, mode.omega + shift * grain)


def foresee_ring(
    t_s: Sequence[float], y_mg: Sequence[float], mode: Mode, grain: Grain
) -> Tail | None:
    """Return what a ringing display is coming to, once a few readings agree on it.

    Parameters
    ----------
    t_s, y_mg : (n,) float, seconds and milligrams
        Readings since the display was last calm, the calm level first.
    mode : Mode
    grain : Grain

    Returns
    -------
    Tail or None
        None while the readings do not yet follow the ring, or leave the level too unsure.
    """
    most_mg = _SWING_MOST * max(abs(y_mg[-1] - y_mg[0]), abs(y_mg[-1]))
    best = None
    for n in _STRETCHES:
        if len(t_s) - 1 < n or t_s[-1] - t_s[-n] > _SPAN_MOST_S:
            break
        tail = fit_tail(t_s[-n:], y_mg[-n:], mode, grain.noise_mg)
        if tail.misfit > _MISFIT_FOLLOWED or tail.swing_mg > most_mg:
            break
        best = tail
    if best is None or best.error_mg > 0.4 * grain.division_mg:
        return None
    return best

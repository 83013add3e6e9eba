"""What the load cell feels -> what the instrument shows, and whether its stable mark is up."""

from __future__ import annotations

import math
from bisect import bisect_left, insort
from collections import deque
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Protocol

from other_hand_pan import STEP_S

if TYPE_CHECKING:
    import random
    from collections.abc import Callable

    from other_hand_pan import Felt


class Smoother(Protocol):
    """A filter of an instrument."""

    def step(self, x: float) -> float:
        """Take one converted value and return the smoothed one."""


class _Average:
    """Mean of the last n values, by a running sum."""

    def __init__(self, n: int) -> None:
        self._kept: deque[float] = deque(maxlen=n)
        self._sum = 0.0

    def step(self, x: float) -> float:
        if len(self._kept) == self._kept.maxlen:
            self._sum -= self._kept[0]
        self._kept.append(x)
        self._sum += x
        return self._sum / len(self._kept)


class _Stages:
    """One or more first-order stages in a row."""

    def __init__(self, keep: float, stages: int) -> None:
        self._take = 1 - keep
        self._at: list[float] = []
        self._stages = stages

    def step(self, x: float) -> float:
        if not self._at:
            self._at = [x] * self._stages
        for i in range(self._stages):
            self._at[i] += (x - self._at[i]) * self._take
            x = self._at[i]
        return x


class _Adaptive:
    """First order, quick while the input runs away from the output, ever slower when calm."""

    def __init__(self, quick: float, slow: float, wake_g: float) -> None:
        self._quick, self._slow, self._wake = quick, slow, wake_g
        self._take = quick
        self._at: float | None = None
        self._apart = 0.0

    def step(self, x: float) -> float:
        if self._at is None:
            self._at = x
        self._apart += (x - self._at - self._apart) * 0.4
        if abs(self._apart) > self._wake:
            self._take = self._quick
        else:
            self._take += (self._slow - self._take) * 0.06
        self._at += (x - self._at) * self._take
        return self._at


class _Restarting:
    """A mean that grows while calm and starts anew when the input leaves it twice running."""

    def __init__(self, wake_g: float, longest: int) -> None:
        self._wake, self._longest = wake_g, longest
        self._mean, self._n, self._strays = 0.0, 0, 0

    def step(self, x: float) -> float:
        strays = self._n > 0 and abs(x - self._mean) > self._wake
        self._strays = self._strays + 1 if strays else 0
        if self._strays >= 2:
            self._n, self._strays = 0, 0
        self._n = min(self._n + 1, self._longest)
        self._mean += (x - self._mean) / self._n
        return self._mean


class _Median:
    """Middle of the last n values, then one light first-order stage."""

    def __init__(self, n: int, keep: float) -> None:
        self._n = n
        self._kept: deque[float] = deque()
        self._sorted: list[float] = []
        self._after = _Stages(keep, 1)

    def step(self, x: float) -> float:
        self._kept.append(x)
        insort(self._sorted, x)
        if len(self._kept) > self._n:
            gone = self._kept.popleft()
            del self._sorted[bisect_left(self._sorted, gone)]
        return self._after.step(self._sorted[len(self._sorted) // 2])


class _TwoAverages:
    """Two means in a row: a triangle in time."""

    def __init__(self, n: int) -> None:
        self._first, self._second = _Average(n), _Average(n)

    def step(self, x: float) -> float:
        return self._second.step(self._first.step(x))


def _keep(tau_s: float, hz: float) -> float:
    return math.exp(-1 / (tau_s * hz))


def average(over_s: float) -> Callable[[float], Smoother]:
    """Moving average over a time."""
    return lambda hz: _Average(max(1, round(over_s * hz)))


def triangle(over_s: float) -> Callable[[float], Smoother]:
    """Two moving averages in a row, each over half of a time."""
    return lambda hz: _TwoAverages(max(1, round(over_s * hz / 2)))


def low_pass(tau_s: float, stages: int = 1) -> Callable[[float], Smoother]:
    """First-order low-pass, or a cascade of equal ones."""
    return lambda hz: _Stages(_keep(tau_s, hz), stages)


def adaptive(quick_s: float, slow_s: float, wake_g: float) -> Callable[[float], Smoother]:
    """First order, between two time constants."""
    return lambda hz: _Adaptive(1 - _keep(quick_s, hz), 1 - _keep(slow_s, hz), wake_g)


def restarting(wake_g: float, longest_s: float) -> Callable[[float], Smoother]:
    """Growing mean that starts anew at a jump."""
    return lambda hz: _Restarting(wake_g, round(longest_s * hz))


def median(over_s: float, tau_s: float) -> Callable[[float], Smoother]:
    """Moving median and a light low-pass."""
    return lambda hz: _Median(max(3, round(over_s * hz) | 1), _keep(tau_s, hz))


@dataclass(frozen=True, slots=True)
class MarkRule:
    """When the stable mark is up: values within ``width_d`` divisions for ``over_s``.

    ``inner`` looks at the smoothed values at the converter's pace, not at those shown.
    """

    over_s: float = 0.5
    width_d: float = 1.0
    inner: bool = False


@dataclass(frozen=True, slots=True)
class Scale:
    """An instrument: its converter, filter, division, pace, mark and zero."""

    smoother: Callable[[float], Smoother]
    division_g: float = 1.0
    rate_hz: float = 10.0
    capacity_g: float = 6000.0
    mark: MarkRule = MarkRule()
    every_steps: int = 2
    tracks_d_per_s: float = 0.0
    sticks_d: float = 0.5
    start_tare_g: float = 0.0

    @property
    def converter_hz(self) -> float:
        """Conversions a second."""
        return 1 / (STEP_S * self.every_steps)


class Shows(Enum):
    """What kind of thing is on the display."""

    WEIGHT = "weight"
    OVER = "over"
    UNDER = "under"


@dataclass(frozen=True, slots=True)
class Key:
    """The tare key pressed; it acts once the mark is up, or after ``patience_s``."""

    at_s: float
    patience_s: float = 2.0


@dataclass(frozen=True, slots=True)
class Shown:
    """One output of the instrument.

    ``off_d`` is how far it is from the load at rest, in divisions; ``minus`` says whether the
    value was below zero before it was rounded, as some instruments show a zero with a minus.
    """

    t_s: float
    divisions: int
    shows: Shows
    mark: bool
    off_d: float
    minus: bool = False


@dataclass(slots=True)
class _Display:
    """The part of an instrument that remembers: zero, tare, what is shown, what was."""

    scale: Scale
    zero_g: float = 0.0
    tare_g: float = 0.0
    divisions: int = 0
    past: deque[tuple[float, float]] = field(default_factory=deque)

    def remember(self, t_s: float, value_d: float) -> None:
        self.past.append((t_s, value_d))
        while self.past[0][0] < t_s - self.scale.mark.over_s - 1e-6:
            self.past.popleft()

    def calm(self) -> bool:
        span = self.past[-1][0] - self.past[0][0]
        pace = 1 / (self.scale.converter_hz if self.scale.mark.inner else self.scale.rate_hz)
        values = [value for _, value in self.past]
        long_enough = len(values) > 1 and span > self.scale.mark.over_s - 1.5 * pace
        return long_enough and max(values) - min(values) <= self.scale.mark.width_d + 1e-9

    def track(self, smoothed_g: float) -> None:
        limit = self.scale.tracks_d_per_s * self.scale.division_g / self.scale.rate_hz
        apart = smoothed_g - self.zero_g
        if limit and self.tare_g == 0 and abs(apart) <= 2 * self.scale.division_g:
            self.zero_g += max(-limit, min(limit, apart))

    def show(self, net_g: float) -> None:
        exact = net_g / self.scale.division_g
        if abs(exact - self.divisions) > self.scale.sticks_d:
            self.divisions = round(exact)

    def kind(self, smoothed_g: float) -> Shows:
        gross = smoothed_g - self.zero_g
        if gross > self.scale.capacity_g + 9 * self.scale.division_g:
            return Shows.OVER
        return Shows.UNDER if gross < -0.3 * self.scale.capacity_g else Shows.WEIGHT

    def take_tare(self, smoothed_g: float) -> None:
        d = self.scale.division_g
        self.tare_g = round((smoothed_g - self.zero_g) / d) * d


def _due(keys: list[Key], t_s: float, mark: bool) -> bool:
    return bool(keys) and keys[0].at_s <= t_s and (mark or t_s > keys[0].at_s + keys[0].patience_s)


def _output(display: _Display, t_s: float, smoothed_g: float, steady_g: float) -> Shown:
    display.show(smoothed_g - display.zero_g - display.tare_g)
    if not display.scale.mark.inner:
        display.remember(t_s, display.divisions)
    kind = display.kind(smoothed_g)
    mark = kind is Shows.WEIGHT and display.calm()
    exact = (steady_g - display.zero_g - display.tare_g) / display.scale.division_g
    below = smoothed_g < display.zero_g + display.tare_g
    off_d = abs(display.divisions - exact)
    return Shown(t_s, display.divisions, kind, mark, off_d, minus=below)


def outputs(scale: Scale, felt: Felt, keys: list[Key], rng: random.Random) -> list[Shown]:
    """Return all that an instrument puts out over a recording, in order of time."""
    display = _Display(scale, tare_g=scale.start_tare_g)
    smoother, waiting, shown = scale.smoother(scale.converter_hz), list(keys), []
    pace_s = (1 + rng.uniform(-0.004, 0.004)) / scale.rate_hz
    next_s, ceiling = rng.uniform(0, pace_s), 1.3 * scale.capacity_g
    for i in range(0, len(felt.felt_g), scale.every_steps):
        t_s = i * STEP_S
        smoothed = smoother.step(min(felt.felt_g[i], ceiling))
        if scale.mark.inner:
            display.remember(t_s, smoothed / scale.division_g)
        if t_s < next_s:
            continue
        next_s += pace_s
        one = _output(display, t_s, smoothed, felt.steady_g[i])
        shown.append(one)
        if one.mark:
            display.track(smoothed)
        if _due(waiting, t_s, one.mark):
            waiting.pop(0)
            display.take_tare(smoothed)
    return shown

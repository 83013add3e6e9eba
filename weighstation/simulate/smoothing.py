"""The instrument's filters: how a scale smooths what its converter gives."""

from __future__ import annotations

import math
from bisect import bisect_left, insort
from collections import deque
from enum import Enum
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable

COUNTS_PER_DIVISION = 50
_JUMP_D = 8
_STAGES = 3
_QUICKER = 5
_CALM_D = 2


class Filter(Enum):
    """How the instrument smooths what the converter gives."""

    MOVING_AVERAGE = "moving average"
    FIRST_ORDER = "first order"
    ADAPTIVE = "moving average that starts afresh when the load jumps"
    CASCADE = "three first-order stages, one after the other"
    MEDIAN = "median of the window"
    EASING = "first order, quick while the value moves and slow while it is calm"


class Smoother(Protocol):
    """A filter at work."""

    def feed(self, count: int) -> float:
        """Return the smoothed value after one more sample.

        Parameters
        ----------
        count : int, converter counts

        Returns
        -------
        float, converter counts
        """
        ...


def smoother(kind: Filter, samples: int) -> Smoother:
    """Return a filter at rest at zero.

    Parameters
    ----------
    kind : Filter
    samples : int
        Length of its window; three time constants of a filter that has no window.

    Returns
    -------
    Smoother
    """
    return _MADE[kind](samples)


def _gain(time_constants: float, samples: int) -> float:
    """Return the share of the distance that one sample closes: 1 - exp(-dt / tau)."""
    return 1 - math.exp(-time_constants / samples)


class _MovingAverage:
    __slots__ = ("_sum", "_window")

    def __init__(self, samples: int) -> None:
        self._window: deque[int] = deque([0] * samples, maxlen=samples)
        self._sum = 0

    def feed(self, count: int) -> float:
        window = self._window
        if len(window) == window.maxlen:
            self._sum -= window[0]
        window.append(count)
        self._sum += count
        return self._sum / len(window)

    def clear(self) -> None:
        self._window.clear()
        self._sum = 0


class _Adaptive:
    """Two samples in a row far from the average empty the window."""

    __slots__ = ("_apart", "_average", "_value")

    def __init__(self, samples: int) -> None:
        self._average = _MovingAverage(samples)
        self._value = 0.0
        self._apart = 0

    def feed(self, count: int) -> float:
        far = abs(count - self._value) > _JUMP_D * COUNTS_PER_DIVISION
        self._apart = self._apart + 1 if far else 0
        if self._apart >= 2:
            self._average.clear()
            self._apart = 0
        self._value = self._average.feed(count)
        return self._value


class _FirstOrder:
    __slots__ = ("_share", "_value")

    def __init__(self, samples: int) -> None:
        self._value = 0.0
        self._share = _gain(3, samples)

    def feed(self, count: int) -> float:
        self._value += self._share * (count - self._value)
        return self._value


class _Cascade:
    """Equal stages, whose time constants add up to a third of the window."""

    __slots__ = ("_share", "_values")

    def __init__(self, samples: int) -> None:
        self._values = [0.0] * _STAGES
        self._share = _gain(3 * _STAGES, samples)

    def feed(self, count: int) -> float:
        value: float = count
        for stage in range(_STAGES):
            self._values[stage] += self._share * (value - self._values[stage])
            value = self._values[stage]
        return value


class _Median:
    __slots__ = ("_ranked", "_window")

    def __init__(self, samples: int) -> None:
        self._window: deque[int] = deque([0] * samples)
        self._ranked = [0] * samples

    def feed(self, count: int) -> float:
        ranked = self._ranked
        del ranked[bisect_left(ranked, self._window.popleft())]
        self._window.append(count)
        insort(ranked, count)
        middle = len(ranked) // 2
        return (ranked[middle] + ranked[-middle - 1]) / 2


class _Easing:
    """First order, whose time constant is a fifth while the value is far from the samples.

    The distance is itself smoothed, so that noise alone does not hurry it, and counts in full
    from some divisions on: share = calm + (quick - calm) g^2 / (1 + g^2).
    """

    __slots__ = ("_calm", "_gap", "_quick", "_value")

    def __init__(self, samples: int) -> None:
        self._value = 0.0
        self._gap = 0.0
        self._calm = _gain(3, samples)
        self._quick = _gain(3 * _QUICKER, samples)

    def feed(self, count: int) -> float:
        apart = count - self._value
        self._gap += self._quick * (apart - self._gap)
        square = (self._gap / (_CALM_D * COUNTS_PER_DIVISION)) ** 2
        share = self._calm + (self._quick - self._calm) * square / (1 + square)
        self._value += share * apart
        return self._value


_MADE: dict[Filter, Callable[[int], Smoother]] = {
    Filter.MOVING_AVERAGE: _MovingAverage,
    Filter.FIRST_ORDER: _FirstOrder,
    Filter.ADAPTIVE: _Adaptive,
    Filter.CASCADE: _Cascade,
    Filter.MEDIAN: _Median,
    Filter.EASING: _Easing,
}

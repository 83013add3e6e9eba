"""What a display shows of loads that step, in closed form: a linear filter answers each step.

A load is a list of steps ``(t_s, change in grams)``. Textbook responses, so that nothing of the
detector or of the simulator is needed to know what must come out.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from pan_scripts import reading

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from weighstation.events import Reading

Steps = list[tuple[float, float]]


def moving_average(window_s: float) -> Callable[[float], float]:
    """Return the step response of the mean over a window: a straight ramp."""
    return lambda u: min(max(u / window_s, 0.0), 1.0)


def first_order(tau_s: float) -> Callable[[float], float]:
    """Return the step response of a low-pass of first order, 1 - exp(-t/tau)."""
    return lambda u: 1.0 - math.exp(-u / tau_s) if u > 0 else 0.0


def two_stages(tau_s: float) -> Callable[[float], float]:
    """Return the step response of two equal low-pass stages, 1 - (1 + t/tau) exp(-t/tau)."""
    return lambda u: 1.0 - (1.0 + u / tau_s) * math.exp(-u / tau_s) if u > 0 else 0.0


def second_order(zeta: float, omega_n: float) -> Callable[[float], float]:
    """Return the step response of a mass on a damped spring (any control theory textbook)."""
    root = math.sqrt(1.0 - zeta**2)
    omega_d = omega_n * root

    def answer(u: float) -> float:
        if u <= 0:
            return 0.0
        swing = math.cos(omega_d * u) + zeta / root * math.sin(omega_d * u)
        return 1.0 - math.exp(-zeta * omega_n * u) * swing

    return answer


def shown_g(steps: Steps, answer: Callable[[float], float], t_s: float) -> float:
    """Return what the filter shows of a load, not rounded."""
    return sum(change * answer(t_s - at_s) for at_s, change in steps)


def display(
    steps: Steps,
    answer: Callable[[float], float],
    times_s: Sequence[float],
    *,
    division_g: float = 1.0,
) -> list[Reading]:
    """Return the readings of a display at given times, rounded to its division."""
    return [
        reading(t_s, round(shown_g(steps, answer, t_s) / division_g) * division_g)
        for t_s in times_s
    ]


def clock(seconds: float, rate_hz: float, *, start_s: float = 0.0) -> list[float]:
    """Return the times of readings at a fixed rate."""
    return [start_s + place / rate_hz for place in range(round(seconds * rate_hz))]


def morning(loads_g: Sequence[float], *, hold_s: float = 3.0, gap_s: float = 2.0) -> Steps:
    """Return loads that come onto an empty pan one after another and leave it."""
    steps: Steps = []
    t_s = gap_s + 0.033
    for load_g in loads_g:
        steps += [(t_s, load_g), (t_s + hold_s, -load_g)]
        t_s += hold_s + gap_s + 0.017  # at another moment between two readings each time
    return steps

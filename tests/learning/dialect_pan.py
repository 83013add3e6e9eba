"""What lies on the pan and what a scale makes of it: a mass over time, averaged and rounded."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from dialect_shape import Shown, Trouble

if TYPE_CHECKING:
    from random import Random

    from dialect_shape import Dialect

STEP_S = 0.005
PLACING_S = 0.3
LIFTING_S = 0.15
MOST_LINES = 59
LONGEST_S = 14.0
MAX_G = 6000.0
PRESSED_G = 15_000.0  # a hand leaning on the pan


@dataclass(frozen=True, slots=True)
class Visit:
    """One load that comes and stays, and is taken away near the end perhaps.

    Parameters
    ----------
    zero_g, bowl_g, load_g : float, grams
        How far the zero is off, what lay there before, and the load.
    on_s, off_s : float, seconds
        When the load touches the pan, and when it begins to leave it.
    pressed_s : float, seconds
        How long a hand leans on the pan after the placing.
    ring_s, swing_s : float, seconds
        Decay and half period of the overshoot.
    overshoot : float
        As a part of the load.
    """

    zero_g: float
    bowl_g: float
    load_g: float
    on_s: float
    off_s: float
    pressed_s: float
    ring_s: float
    swing_s: float
    overshoot: float

    @property
    def at_rest_g(self) -> float:
        """What the scale would show with the load lying still, in grams."""
        return self.zero_g + self.bowl_g + self.load_g

    def mass_g(self, t_s: float) -> float:
        """Return what presses on the pan at a moment, in grams."""
        placed_s = self.on_s + PLACING_S
        under_g = self.zero_g + self.bowl_g
        if t_s < placed_s:
            return under_g + self.load_g * _smooth((t_s - self.on_s) / PLACING_S)
        left = 1 - _smooth((t_s - self.off_s) / LIFTING_S)
        leaning_g = PRESSED_G if t_s < placed_s + self.pressed_s else 0.0
        after_s = max(t_s - placed_s - self.pressed_s, 0.0)
        ringing = math.exp(-after_s / self.ring_s) * math.sin(math.pi * after_s / self.swing_s)
        return under_g + leaning_g + self.load_g * left * (1 + self.overshoot * ringing)


def visit(dialect: Dialect, random: Random, lasting_s: float) -> Visit:
    """Return an invented visit, long enough before the end to be weighed.

    Parameters
    ----------
    dialect : Dialect
        Its rate, division and troubles matter.
    random : Random
        Where the invention comes from.
    lasting_s : float, seconds
        How long the stream is.

    Returns
    -------
    Visit
    """
    division_g = float(dialect.division_g)
    is_below = Trouble.BELOW_ZERO in dialect.troubles
    is_lifted = random.random() < 0.5
    return Visit(
        zero_g=-division_g * random.uniform(1.2, 2.4) if is_below else 0.0,
        bowl_g=dialect.bowl_g,
        load_g=round(random.uniform(*dialect.load_range_g), 2),
        on_s=lasting_s * random.uniform(0.26, 0.30),
        off_s=lasting_s - 3.5 / dialect.rate_hz if is_lifted else math.inf,
        pressed_s=2.2 / dialect.rate_hz if Trouble.OVERLOAD in dialect.troubles else 0.0,
        ring_s=random.uniform(0.03, 0.06),
        swing_s=random.uniform(0.04, 0.09),
        overshoot=random.uniform(0.03, 0.1),
    )


def line_count(dialect: Dialect) -> int:
    """Return how many lines a stream has."""
    return min(MOST_LINES, round(LONGEST_S * dialect.rate_hz))


def averaged_g(dialect: Dialect, visit: Visit, lasting_s: float) -> list[float]:
    """Return the moving average, every `STEP_S` from the start of the stream, in grams.

    Parameters
    ----------
    dialect : Dialect
        Its average is that long.
    visit : Visit
        What lies on the pan.
    lasting_s : float, seconds
        How long the stream is.

    Returns
    -------
    list of float, grams
    """
    span = max(round(dialect.average_s / STEP_S), 1)
    count = round(lasting_s / STEP_S) + 1
    masses_g = [visit.mass_g((i - span + 1) * STEP_S) for i in range(count + span - 1)]
    sums_g = [0.0, *accumulate(masses_g)]
    return [(sums_g[i + span] - sums_g[i]) / span for i in range(count)]


def readings(dialect: Dialect, visit: Visit, average_g: list[float], random: Random) -> list[Shown]:
    """Return what the scale shows, line by line, rounded and with noise.

    Parameters
    ----------
    dialect : Dialect
        Its rate, division and hold matter.
    visit : Visit
        What lies on the pan.
    average_g : list of float, grams
        As `averaged_g` gives it.
    random : Random
        Where the noise comes from.

    Returns
    -------
    list of Shown
    """
    noise_g = float(dialect.division_g) * random.uniform(0.1, 0.3)
    shown = []
    for number in range(line_count(dialect)):
        at = round((number + 1) / dialect.rate_hz / STEP_S)
        seen_g = average_g[at] + random.gauss(0, noise_g)
        counts = round(seen_g / float(dialect.division_g)) * dialect.step
        is_minus = counts < 0 or (
            counts == 0 and seen_g < 0 and Trouble.NEGATIVE_ZERO in dialect.troubles
        )
        is_over = average_g[at] > MAX_G
        is_still = not is_over and _is_still(dialect, average_g, at)
        is_loaded = average_g[at] - visit.bowl_g > 20 * float(dialect.division_g)
        shown.append(Shown(at * STEP_S, counts, is_minus, is_still, is_over, is_loaded))
    return shown


def settling_s(dialect: Dialect, visit: Visit, average_g: list[float]) -> float:
    """Return how long from the touch until the average stays within a division of its rest.

    Parameters
    ----------
    dialect : Dialect
        Its division matters.
    visit : Visit
        What lies on the pan.
    average_g : list of float, grams
        As `averaged_g` gives it.

    Returns
    -------
    float, seconds; without noise and without rounding.
    """
    end_s = min(visit.off_s, (len(average_g) - 1) * STEP_S)
    last = max(
        i
        for i in range(int(end_s / STEP_S))
        if abs(average_g[i] - visit.at_rest_g) > float(dialect.division_g)
    )
    return (last + 1) * STEP_S - visit.on_s


def _is_still(dialect: Dialect, average_g: list[float], at: int) -> bool:
    """Tell whether the average has been within a division of itself for as long as it takes."""
    first = max(at - round(dialect.hold_s / STEP_S), 0)
    reach_g = float(dialect.division_g)
    return all(abs(g - average_g[at]) <= reach_g for g in average_g[first : at + 1])


def _smooth(part: float) -> float:
    part = min(max(part, 0.0), 1.0)
    return part * part * (3 - 2 * part)

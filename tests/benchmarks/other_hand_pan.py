"""What acts on the pan -> what its load cell feels.

A pan on a load cell is a damped mass on a spring: with the force held over a step the motion has a
closed form, so each step is exact and needs no small step for its own sake. All masses and forces
are in grams (a force by the mass that would weigh as much), all times in seconds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import accumulate
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import random
    from collections.abc import Callable, Iterator

STEP_S = 0.005


def _smooth(x: float) -> float:
    return x * x * (3 - 2 * x)


def _sagging(x: float) -> float:
    return 1 - (1 - x) ** 3


def _two_stage(x: float) -> float:
    first, second = min(x / 0.35, 1.0), max((x - 0.6) / 0.4, 0.0)
    return 0.7 * _smooth(first) + 0.3 * _smooth(second)


def _even(x: float) -> float:
    return x


GAITS: dict[str, Callable[[float], float]] = {
    "smooth": _smooth,
    "sagging": _sagging,
    "two-stage": _two_stage,
    "even": _even,
}


@dataclass(frozen=True, slots=True)
class Transfer:
    """Dough that comes onto the pan (or off it, when negative) and changes what it carries."""

    from_s: float
    to_s: float
    mass_g: float
    gait: str = "smooth"

    def share(self, t_s: float) -> float:
        """How much of it has happened at a time, 0 to 1."""
        if t_s <= self.from_s:
            return 0.0
        if t_s >= self.to_s:
            return 1.0
        return GAITS[self.gait]((t_s - self.from_s) / (self.to_s - self.from_s))


@dataclass(frozen=True, slots=True)
class Push:
    """A hand on the pan for a while; ``held`` is the share of the time at full force."""

    from_s: float
    to_s: float
    force_g: float
    held: float = 0.0
    tremor: float = 0.0
    tremor_hz: tuple[float, float] = (4.1, 9.3)
    phase: float = 0.0

    def force(self, t_s: float) -> float:
        """Force at a time, grams."""
        if not self.from_s < t_s < self.to_s:
            return 0.0
        x = (t_s - self.from_s) / (self.to_s - self.from_s)
        edge = (1 - self.held) / 2
        near = min(x, 1 - x) / edge if edge > 0 else 1.0
        return self.force_g * _smooth(min(near, 1.0)) * (1 + self._shake(t_s, x))

    def _shake(self, t_s: float, x: float) -> float:
        if not self.tremor:
            return 0.0
        low, high = self.tremor_hz
        fast = math.sin(2 * math.pi * high * t_s + self.phase)
        slow = math.sin(2 * math.pi * low * t_s + 2 * self.phase)
        return self.tremor * (0.6 * fast + 0.8 * slow + 1.5 * (0.5 - x))


@dataclass(frozen=True, slots=True)
class Knock:
    """A blow to the bench: a sudden speed of the pan that rings with about ``swing_g``."""

    at_s: float
    swing_g: float


@dataclass(slots=True)
class Acting:
    """All that acts on the pan in one recording."""

    base_g: float = 0.0
    transfers: list[Transfer] = field(default_factory=list)
    pushes: list[Push] = field(default_factory=list)
    knocks: list[Knock] = field(default_factory=list)

    def carried_g(self, t_s: float) -> float:
        """Mass on the pan at a time, hands left out."""
        return self.base_g + sum(each.mass_g * each.share(t_s) for each in self.transfers)

    def touched(self, from_s: float, to_s: float) -> bool:
        """Whether a hand or a transfer acts strictly within a span of time."""
        spans = [(each.from_s, each.to_s) for each in self.transfers]
        spans += [(each.from_s, each.to_s) for each in self.pushes]
        return any(start < to_s and stop > from_s for start, stop in spans)


@dataclass(frozen=True, slots=True)
class Pan:
    """A pan on its load cell.

    ``ring_hz`` and ``damping`` are those of the empty pan of ``own_g``; a load lowers both.
    Creep goes towards ``creep`` of the load with time constant ``creep_s``.
    """

    ring_hz: float = 11.0
    damping: float = 0.12
    own_g: float = 700.0
    creep: float = 0.0
    creep_s: float = 25.0
    drift_g_per_min: float = 0.0
    noise_g: float = 0.02
    hum_g: float = 0.0
    hum_hz: float = 3.7


@dataclass(frozen=True, slots=True)
class Felt:
    """What the load cell feels, one value a step, and what it would feel with nothing moving."""

    felt_g: list[float]
    steady_g: list[float]


def _indices(from_s: float, to_s: float, steps: int) -> range:
    return range(max(0, int(from_s / STEP_S)), min(steps, int(to_s / STEP_S) + 2))


def _carried(acting: Acting, steps: int) -> list[float]:
    changes = [0.0] * steps
    changes[0] = acting.base_g
    for each in acting.transfers:
        before = each.share((_indices(each.from_s, each.to_s, steps).start - 1) * STEP_S)
        for i in _indices(each.from_s, each.to_s, steps):
            now = each.share(i * STEP_S)
            changes[i] += each.mass_g * (now - before)
            before = now
    return list(accumulate(changes))


def _pushed(acting: Acting, carried: list[float]) -> list[float]:
    force = carried.copy()
    for each in acting.pushes:
        for i in _indices(each.from_s, each.to_s, len(force)):
            force[i] += each.force(i * STEP_S)
    return force


def _kicks(acting: Acting) -> dict[int, float]:
    kicks: dict[int, float] = {}
    for each in acting.knocks:
        i = int(each.at_s / STEP_S)
        kicks[i] = kicks.get(i, 0.0) + each.swing_g
    return kicks


def _propagator(pan: Pan, carried_g: float) -> tuple[float, float, float, float, float]:
    """Exact step of u'' + 2 z w u' + w^2 (u - f) = 0, f held; a load adds only mass."""
    slowed = math.sqrt(pan.own_g / (pan.own_g + max(carried_g, 0.0)))
    w = 2 * math.pi * pan.ring_hz * slowed
    z = pan.damping * slowed
    wd = w * math.sqrt(1 - z * z)
    fade = math.exp(-z * w * STEP_S)
    cos, sin = fade * math.cos(wd * STEP_S), fade * math.sin(wd * STEP_S)
    lean = z * w / wd * sin
    return cos + lean, sin / wd, -w * w / wd * sin, cos - lean, w


def _swing(pan: Pan, acting: Acting, carried: list[float], force: list[float]) -> Iterator[float]:
    kicks = _kicks(acting)
    at_g, speed, known = force[0], 0.0, math.nan
    a = b = c = d = w = 0.0
    for i, (mass, f) in enumerate(zip(carried, force, strict=True)):
        if mass != known:
            a, b, c, d, w = _propagator(pan, mass)
            known = mass
        away = at_g - f
        at_g, speed = f + a * away + b * speed, c * away + d * speed
        if i in kicks:
            speed += kicks[i] * w
        yield at_g


def feel(pan: Pan, acting: Acting, length_s: float, rng: random.Random) -> Felt:
    """Return what the load cell of a pan feels over a recording."""
    steps = int(length_s / STEP_S) + 1
    carried = _carried(acting, steps)
    swings = _swing(pan, acting, carried, _pushed(acting, carried))
    felt: list[float] = []
    steady: list[float] = []
    crept, pull = pan.creep * carried[0], STEP_S / pan.creep_s
    hum_step, hum_at = 2 * math.pi * pan.hum_hz * STEP_S, rng.uniform(0, 6.28)
    for i, (swing, mass) in enumerate(zip(swings, carried, strict=True)):
        crept += (pan.creep * swing - crept) * pull
        wander = crept + pan.drift_g_per_min * i * STEP_S / 60
        hum = pan.hum_g * math.sin(hum_step * i + hum_at) if pan.hum_g else 0.0
        felt.append(swing + wander + hum + rng.gauss(0, pan.noise_g))
        steady.append(mass + wander)
    return Felt(felt, steady)

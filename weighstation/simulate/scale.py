"""A scale: pan, converter, filter, zero, tare, stable mark and the lines it sends."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G, MG_PER_UNIT, Unit
from weighstation.simulate.lines import Indication, Range, Speech
from weighstation.simulate.link import LinkSpec
from weighstation.simulate.pan import Pan, PanSpec
from weighstation.simulate.smoothing import COUNTS_PER_DIVISION, Filter, smoother
from weighstation.simulate.strokes import Key, Stroke, force_g, smooth

if TYPE_CHECKING:
    from collections.abc import Iterator
    from random import Random


@dataclass(frozen=True, slots=True)
class ScaleSpec:
    """A scale, its true nature included.

    Parameters
    ----------
    division : str
        Scale interval d in ``unit``, as written.
    unit : Unit
    capacity_g : float, grams
    rate_hz : float, hertz
        Lines a second.
    converter_hz : float, hertz
        Raw samples a second.
    noise_d : float, divisions
        Standard deviation of one raw sample.
    wander_d : float, divisions
        Standard deviation of the slow part of the noise: draughts and warmth.
    filter : Filter
    window_s : float, seconds
        Length of the average or median, or three time constants of a filter without a window:
        of all its stages together (cascade), or of its calm state (easing).
    pan : PanSpec
    steady_d, hold_s : float, divisions, seconds
        Its mark is up when the smoothed value has kept within so much for so long.
    tracking : bool
        Zero tracking, at most half a division a second near zero.
    tracking_d : float, divisions
        How near.
    creep, creep_s : float, fraction of the load, seconds
        What the cell gives way in the end, and its time constant.
    speech : Speech
    link : LinkSpec
    """

    division: str = "1"
    unit: Unit = Unit.GRAM
    capacity_g: float = 6000.0
    rate_hz: float = 10.0
    converter_hz: float = 80.0
    noise_d: float = 0.4
    wander_d: float = 0.05
    filter: Filter = Filter.MOVING_AVERAGE
    window_s: float = 0.5
    pan: PanSpec = field(default_factory=PanSpec)
    steady_d: float = 0.5
    hold_s: float = 0.5
    tracking: bool = True
    tracking_d: float = 2.0
    creep: float = 0.0
    creep_s: float = 15.0
    speech: Speech = field(default_factory=Speech)
    link: LinkSpec = field(default_factory=LinkSpec)

    @property
    def division_g(self) -> float:
        """Scale interval in grams."""
        return float(Decimal(self.division)) * float(MG_PER_UNIT[self.unit]) / MG_PER_G


@dataclass(frozen=True, slots=True)
class Sent:
    """A line on its way.

    Parameters
    ----------
    t_s : float, seconds
        When the scale begins to send it.
    line : bytes
    came_up : bool
        Its stable mark is up, and was not on the line before.
    """

    t_s: float
    line: bytes
    came_up: bool


_SUBSTEPS = 3
_OVER_D = 9
_UNDER_D = 20


class Scale:
    """A scale at work.

    Parameters
    ----------
    spec : ScaleSpec
    rng : Random
        Source of its noise.
    """

    def __init__(self, spec: ScaleSpec, rng: Random) -> None:
        self.spec = spec
        self.t_s = 0.0
        self._rng = rng
        self._pan = Pan(spec.pan)
        self._count_g = spec.division_g / COUNTS_PER_DIVISION
        samples = max(1, round(spec.window_s * spec.converter_hz))
        self._smoother = smoother(spec.filter, samples)
        self._samples = 0
        self._lines = 1
        self._load_g = 0.0
        self._hand_g = 0.0
        self._crept_g = 0.0
        self._wander = 0.0
        self._value_d = 0.0
        self._zero_d = 0.0
        self._tare_d = 0.0
        self._key: Key | None = None
        self._anchor_d = 0.0
        self._anchor_s = 0.0
        self._held = False
        self._was_steady = False

    def play(self, stroke: Stroke) -> Iterator[Sent]:
        """Let a stroke happen and yield the lines that are sent meanwhile.

        Parameters
        ----------
        stroke : Stroke
            Lasts a whole number of converter samples, at least one.

        Yields
        ------
        Sent
        """
        self._key = stroke.key or self._key
        count = max(1, round(stroke.seconds * self.spec.converter_hz))
        from_load, from_hand = self._load_g, self._hand_g
        to_load = from_load if stroke.load_g is None else stroke.load_g
        quiet = _is_quiet(stroke) and from_load == to_load and from_hand == 0
        for place in range(count):
            if quiet:
                self._pan.push(to_load, 0.0, 1 / self.spec.converter_hz)
            else:
                self._push(stroke, from_load, from_hand, (place, count))
            yield from self._sample()
        self._load_g, self._hand_g = to_load, stroke.hand_g

    def _push(
        self, stroke: Stroke, from_load: float, from_hand: float, place: tuple[int, int]
    ) -> None:
        to_load = from_load if stroke.load_g is None else stroke.load_g
        done, count = place
        dt_s = 1 / self.spec.converter_hz / _SUBSTEPS
        for sub in range(_SUBSTEPS):
            share = (done * _SUBSTEPS + sub + 1) / (count * _SUBSTEPS)
            load = from_load + (to_load - from_load) * smooth(share)
            force = force_g(stroke, from_hand, share, self.spec.pan.pan_g + load)
            self._pan.push(load, force, dt_s, held=stroke.held)

    def _sample(self) -> Iterator[Sent]:
        """One converter sample, and the line that falls due with it."""
        spec = self.spec
        self._samples += 1
        self.t_s = self._samples / spec.converter_hz
        true_g = self._pan.deflection_g
        if spec.creep:
            share = 1 / (spec.creep_s * spec.converter_hz)
            self._crept_g += (spec.creep * true_g - self._crept_g) * share
        count = round((true_g + self._crept_g) / self._count_g + self._noise())
        self._value_d = self._smoother.feed(count) / COUNTS_PER_DIVISION
        steady = self._is_steady()
        if steady:
            self._tend_zero()
        if self._samples * spec.rate_hz >= self._lines * spec.converter_hz:
            yield self._sent(self._lines / spec.rate_hz, steady=steady)
            self._lines += 1

    def _noise(self) -> float:
        """Return noise in counts: white, and a slow part that forgets itself in a second."""
        spec = self.spec
        keep = 1 - 1 / spec.converter_hz
        self._wander = keep * self._wander + math.sqrt(1 - keep * keep) * self._rng.gauss(0, 1)
        noise_d = spec.noise_d * self._rng.gauss(0, 1) + spec.wander_d * self._wander
        return noise_d * COUNTS_PER_DIVISION

    def _is_steady(self) -> bool:
        if abs(self._value_d - self._anchor_d) > self.spec.steady_d:
            self._anchor_d, self._anchor_s = self._value_d, self.t_s
            self._held = False
        elif not self._held and self.t_s - self._anchor_s >= self.spec.hold_s:
            self._anchor_d, self._held = self._value_d, True
        return self._held

    def _tend_zero(self) -> None:
        """Obey a key that waited for a steady pan; follow a slow drift of the empty pan."""
        if self._key is Key.TARE:
            self._tare_d = self._value_d - self._zero_d
        elif self._key is Key.ZERO:
            self._zero_d, self._tare_d = self._value_d, 0.0
        self._key = None
        gross_d = self._value_d - self._zero_d
        if self.spec.tracking and abs(gross_d) <= self.spec.tracking_d:
            most = 0.5 / self.spec.converter_hz  # OIML R 76-1, 4.5.7: at most 0.5 d a second
            self._zero_d += min(most, max(-most, gross_d))

    def _sent(self, t_s: float, *, steady: bool) -> Sent:
        spec = self.spec
        gross_d = self._value_d - self._zero_d
        within = Range.WITHIN
        if gross_d * spec.division_g > spec.capacity_g + _OVER_D * spec.division_g:
            within = Range.OVER
        elif gross_d < -_UNDER_D:
            within = Range.UNDER
        number = Decimal(round(gross_d - self._tare_d)) * Decimal(spec.division)
        came_up = steady and not self._was_steady
        self._was_steady = steady
        return Sent(t_s, spec.speech.line(Indication(number, spec.unit, steady, within)), came_up)


def _is_quiet(stroke: Stroke) -> bool:
    """Nothing pushes during this stroke."""
    return not (stroke.hand_g or stroke.bump_g or stroke.tremor_g or stroke.shake_g or stroke.held)

"""A pan on a spring: what deflects when dough, hands and the bench push on it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from weighstation.errors import SpecificationError


@dataclass(frozen=True, slots=True)
class PanSpec:
    """How the pan moves.

    Parameters
    ----------
    natural_hz : float, hertz
        Undamped natural frequency at the working load; it falls as the load rises.
    damping : float, fraction of critical
        At the working load.
    working_g : float, grams
        The load at which the two above hold.
    pan_g : float, grams
        Moving mass of the empty pan.
    held_damping : float, fraction of critical
        What a hand on the load adds.

    Raises
    ------
    SpecificationError
        If a quantity is not positive, or the empty pan would not swing at all.
    """

    natural_hz: float = 15.0
    damping: float = 0.08
    working_g: float = 740.0
    pan_g: float = 350.0
    held_damping: float = 0.2

    def __post_init__(self) -> None:
        """Refuse a pan that has no mass, or is damped past swinging when empty."""
        if min(self.natural_hz, self.damping, self.working_g, self.pan_g) <= 0:
            raise SpecificationError("A pan needs a frequency, a damping and masses above zero.")
        if self.damping * math.sqrt(1 + self.working_g / self.pan_g) >= 1:
            raise SpecificationError("The empty pan would be damped past swinging.")

    @property
    def stiffness(self) -> float:
        """Spring constant in grams per second squared, for a deflection counted in grams."""
        return (2 * math.pi * self.natural_hz) ** 2 * (self.pan_g + self.working_g)

    def decay_per_s(self, load_g: float, *, held: bool = False) -> float:
        """Return how fast an oscillation dies: c / (2 (M0 + m)).

        Parameters
        ----------
        load_g : float, grams
        held : bool
            A hand is on the load.

        Returns
        -------
        float, per second
        """
        ratio = self.damping + (self.held_damping if held else 0.0)
        omega = 2 * math.pi * self.natural_hz
        return ratio * omega * (self.pan_g + self.working_g) / (self.pan_g + load_g)

    def frequency_hz(self, load_g: float) -> float:
        """Return the undamped natural frequency, sqrt(k / (M0 + m)) / 2 pi.

        Parameters
        ----------
        load_g : float, grams

        Returns
        -------
        float, hertz
        """
        return math.sqrt(self.stiffness / (self.pan_g + load_g)) / (2 * math.pi)


Step = tuple[float, float, float, float]


def exact_step(pan: PanSpec, load_g: float, dt_s: float, *, held: bool = False) -> Step:
    """Return the matrix that carries (deflection error, speed) over one step of constant push.

    Parameters
    ----------
    pan : PanSpec
    load_g : float, grams
    dt_s : float, seconds
    held : bool
        A hand is on the load.

    Returns
    -------
    tuple of 4 float
        Row by row.

    Notes
    -----
    Textbook solution of y'' + 2 beta y' + omega^2 y = 0, for any damping; no error of
    integration, however long the step.
    """
    omega2 = pan.stiffness / (pan.pan_g + load_g)
    beta = pan.decay_per_s(load_g, held=held)
    square = omega2 - beta * beta
    decay = math.exp(-beta * dt_s)
    root = math.sqrt(abs(square)) or 1e-9
    if square > 0:
        even, odd = math.cos(root * dt_s), math.sin(root * dt_s) / root
    else:
        even, odd = math.cosh(root * dt_s), math.sinh(root * dt_s) / root
    return (
        decay * (even + beta * odd),
        decay * odd,
        -decay * omega2 * odd,
        decay * (even - beta * odd),
    )


class Pan:
    """The pan in motion.

    Parameters
    ----------
    spec : PanSpec
    """

    __slots__ = ("_steps", "deflection_g", "spec", "speed_g_per_s")

    def __init__(self, spec: PanSpec) -> None:
        self.spec = spec
        self.deflection_g = 0.0
        self.speed_g_per_s = 0.0
        self._steps: dict[tuple[float, float, bool], Step] = {}

    def push(self, load_g: float, push_g: float, dt_s: float, *, held: bool = False) -> float:
        """Return the deflection after a step under a constant load and push.

        Parameters
        ----------
        load_g : float, grams
            Mass on the pan.
        push_g : float, grams
            Force of hands and bench, down is positive, in grams of weight.
        dt_s : float, seconds
        held : bool
            A hand is on the load.

        Returns
        -------
        float, grams
        """
        a, b, c, d = self._step(load_g, dt_s, held=held)
        target = load_g + push_g
        error = self.deflection_g - target
        speed = self.speed_g_per_s
        self.deflection_g = target + a * error + b * speed
        self.speed_g_per_s = c * error + d * speed
        return self.deflection_g

    def _step(self, load_g: float, dt_s: float, *, held: bool) -> Step:
        key = (load_g, dt_s, held)
        step = self._steps.get(key)
        if step is None:
            if len(self._steps) > 500:
                self._steps.clear()
            step = self._steps[key] = exact_step(self.spec, load_g, dt_s, held=held)
        return step

"""What hands do to a pan, stroke by stroke."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum


class Key(Enum):
    """A key of the scale."""

    TARE = "tare"
    ZERO = "zero"


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stretch of time in which load and forces change smoothly.

    Parameters
    ----------
    seconds : float, seconds
    load_g : float or None, grams
        Everything on the pan when it ends; None leaves it as it is.
    hand_g : float, grams of force
        Push of the hand when it ends; it starts from that of the stroke before.
    bump_g : float, grams of force
        Half a sine on top: an impact, a press, or, negative, a pull.
    tremor_g : float, grams of force
        Amplitude of the hand's tremor.
    tremor_hz : float, hertz
    shake_g : float, parts of gravity
        Peak acceleration of a knock on the bench, dying within the stroke.
    shake_hz : float, hertz
    held : bool
        A hand is on the load.
    key : Key or None
        Pressed as it begins.
    tremor_from : float, cycles
        How much of the tremor is over when the stroke begins, so that it goes on smoothly.
    """

    seconds: float
    load_g: float | None = None
    hand_g: float = 0.0
    bump_g: float = 0.0
    tremor_g: float = 0.0
    tremor_hz: float = 9.0
    shake_g: float = 0.0
    shake_hz: float = 14.0
    held: bool = False
    key: Key | None = None
    tremor_from: float = 0.0


def smooth(share: float) -> float:
    """Return the smooth ramp 3 s^2 - 2 s^3 from 0 to 1.

    Parameters
    ----------
    share : float, part of the stroke that is over

    Returns
    -------
    float
    """
    return share * share * (3 - 2 * share)


def force_g(stroke: Stroke, from_g: float, share: float, moving_g: float) -> float:
    """Return the force of hands and bench at a moment of a stroke.

    Parameters
    ----------
    stroke : Stroke
    from_g : float, grams of force
        Push of the hand when the stroke began.
    share : float, part of the stroke that is over
    moving_g : float, grams
        Mass of the pan and what lies on it, which a shaken bench pushes against.

    Returns
    -------
    float, grams of force
    """
    t_s = share * stroke.seconds
    force = from_g + (stroke.hand_g - from_g) * smooth(share)
    force += stroke.bump_g * math.sin(math.pi * share)
    if stroke.tremor_g:
        force += stroke.tremor_g * _tremor(stroke.tremor_from + t_s * stroke.tremor_hz)
    if stroke.shake_g:
        swing = math.sin(2 * math.pi * stroke.shake_hz * t_s)
        force += moving_g * stroke.shake_g * swing * math.exp(-5 * share) * (1 - share)
    return force


def _tremor(cycles: float) -> float:
    """Two incommensurate sines: a hand never repeats itself exactly."""
    return 0.7 * math.sin(2 * math.pi * cycles) + 0.5 * math.sin(2 * math.pi * 0.37 * cycles)

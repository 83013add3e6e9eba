"""Scales and hands by name."""

from __future__ import annotations

from dataclasses import replace

from weighstation.errors import SpecificationError
from weighstation.simulate.hands import Habits, HandsSpec, Span
from weighstation.simulate.lines import LineShape, Speech
from weighstation.simulate.pan import PanSpec
from weighstation.simulate.scale import ScaleSpec

SCALES: dict[str, ScaleSpec] = {
    "bench": ScaleSpec(),
    "fine": ScaleSpec(
        division="0.1",
        capacity_g=1500.0,
        pan=PanSpec(natural_hz=18.0, working_g=60.0, pan_g=180.0),
        speech=Speech(LineShape.FIELDS),
    ),
    "half": ScaleSpec(
        division="0.5",
        capacity_g=3000.0,
        pan=PanSpec(working_g=350.0, pan_g=300.0),
        speech=Speech(LineShape.MARK_LAST),
    ),
    "two": ScaleSpec(
        division="2",
        capacity_g=15000.0,
        rate_hz=8.0,
        noise_d=0.25,
        pan=PanSpec(natural_hz=12.0, working_g=900.0, pan_g=600.0),
        speech=Speech(LineShape.UNIT_WHEN_STEADY),
    ),
    "coarse": ScaleSpec(
        division="5",
        capacity_g=15000.0,
        noise_d=0.15,
        pan=PanSpec(natural_hz=12.0, working_g=1900.0, pan_g=800.0),
        speech=Speech(LineShape.SIGN_APART),
    ),
    "ringing": ScaleSpec(pan=PanSpec(natural_hz=5.0, damping=0.05)),
    "slow": ScaleSpec(rate_hz=5.0, window_s=0.8, hold_s=0.8),
    "quick": ScaleSpec(rate_hz=20.0, window_s=0.25, hold_s=0.4),
}

HANDS: dict[str, HandsSpec] = {
    "skilled": HandsSpec(),
    "learner": HandsSpec(
        bias=-0.02,
        spread=0.09,
        miss=0.45,
        pace=1.4,
        placing_s=(0.3 / 1.4, 0.6 / 1.4),
        rest=Span(1.8, 0.3, 0.8, 3.0),
        gap=Span(4.5, 0.3, 3, 8),
    ),
    "fast": HandsSpec(pace=0.7, rest=Span(0.9, 0.3, 0.4, 1.8), gap=Span(2.2, 0.25, 1.4, 4.0)),
    "patient": HandsSpec(rest=Span(2.6, 0.3, 1.2, 4.5)),
    "demo": HandsSpec(
        pace=0.85,
        spread=0.016,
        rest=Span(1.1, 0.2, 0.8, 1.8),
        gap=Span(1.8, 0.2, 1.2, 2.6),
        habits=Habits(hand_rests=0.1, knocks=0.05, residue_g=0.3),
    ),
}


def scale_named(name: str) -> ScaleSpec:
    """Return a scale by its name.

    Parameters
    ----------
    name : str

    Returns
    -------
    ScaleSpec

    Raises
    ------
    SpecificationError
        If there is none.
    """
    if name not in SCALES:
        raise SpecificationError(
            f"There is no simulated scale '{name}'.", hint=f"Choose one of {', '.join(SCALES)}."
        )
    return SCALES[name]


def hands_named(name: str) -> HandsSpec:
    """Return a pair of hands by its name.

    Parameters
    ----------
    name : str

    Returns
    -------
    HandsSpec

    Raises
    ------
    SpecificationError
        If there is none.
    """
    if name not in HANDS:
        raise SpecificationError(
            f"There are no simulated hands '{name}'.", hint=f"Choose one of {', '.join(HANDS)}."
        )
    return HANDS[name]


def hands_for(scale: str) -> HandsSpec:
    """Return skilled hands at the product that suits a scale of that name.

    Parameters
    ----------
    scale : str

    Returns
    -------
    HandsSpec
    """
    skilled = HANDS["skilled"]
    if scale == "fine":
        return replace(skilled, target_g=60.0, under_g=1.5, over_g=1.5, spread=0.04)
    if scale == "half":
        return replace(skilled, target_g=350.0, under_g=5.0, over_g=5.0)
    if scale == "two":
        return replace(skilled, target_g=900.0, under_g=10.0, over_g=10.0)
    if scale == "coarse":
        return replace(skilled, target_g=1900.0, under_g=20.0, over_g=20.0)
    if scale == "ringing":
        return HANDS["patient"]
    return skilled

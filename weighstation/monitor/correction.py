"""The least correction of a mechanical divider: seldom, bounded, and never piece by piece."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.process.intervals import mean_interval
from weighstation.monitor.sample import checked
from weighstation.quantities import is_number

if TYPE_CHECKING:
    from collections.abc import Iterable

FEWEST = 10
"""House figure: fewer pieces say too little of the mean to touch a machine."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What a divider's box can be set to, and how much is left alone.

    Parameters
    ----------
    target_g : float, grams
        Scaling weight, positive.
    deadband_pct : float, percent
        An error of the mean that is proven to be no greater than this is left alone.
    step_pct : float, percent
        The finest change the box allows; zero when it has no steps.
    most_pct : float, percent
        The greatest change at once; who needs more looks at the machine first.

    Raises
    ------
    SpecificationError
        If the scaling weight or the greatest change is not positive, or the others are negative.
    """

    target_g: float
    deadband_pct: float = 0.5
    step_pct: float = 0.1
    most_pct: float = 2.0

    def __post_init__(self) -> None:
        numbers = (self.target_g, self.most_pct, self.deadband_pct)
        if not (is_number(*numbers) and min(numbers[:2]) > 0 <= self.deadband_pct):
            raise SpecificationError(
                "A divider's scaling weight and its greatest change are positive, and its"
                " deadband is not negative."
            )
        if not (is_number(self.step_pct) and 0 <= self.step_pct <= self.most_pct):
            raise SpecificationError("The step of a divider's box lies from 0 to its most change.")


@dataclass(frozen=True, slots=True)
class Correction:
    """What to do with the box.

    Parameters
    ----------
    change_pct : float, percent
        Positive is up, zero is leave it alone.
    error_pct : float, percent
        Mean of the pieces less the scaling weight.
    proven_pct : float, percent
        The least error that the pieces prove: the end of the mean's interval nearer the scaling
        weight; zero when that lies within.
    is_bounded : bool
        Whether the greatest change allowed cut it short.
    n : int
    """

    change_pct: float
    error_pct: float
    proven_pct: float
    is_bounded: bool
    n: int

    @property
    def text(self) -> str:
        """One plain sentence for the person at the divider."""
        seen = f"{self.n} pieces are {self.error_pct:+.1f} % off on average"
        if self.change_pct == 0:
            return f"Leave the box alone: {seen}, which is not enough to act on."
        way = "up" if self.change_pct > 0 else "down"
        more = " That is the most at once: look at the machine." if self.is_bounded else ""
        size = f"{abs(self.change_pct):.2f}".removesuffix("0")
        return f"Set the box {way} {size} %: {seen}.{more}"


def least_correction(
    x: Iterable[float], *, setting: Setting, confidence: float = 0.95
) -> Correction:
    """Return the least change of the box that the pieces since the last change call for.

    Parameters
    ----------
    x : (n,) float, grams
        Pieces since the last change, at least ten.
    setting : Setting
    confidence : float
        Of the mean's interval, between 0 and 1.

    Returns
    -------
    Correction

    Raises
    ------
    NotEnoughDataError
        If there are fewer than ten weights.
    SpecificationError
        If a weight is not a finite number, or the confidence is none.

    Notes
    -----
    Nothing is done while the error that is proven is within the deadband. Otherwise the box moves
    by the error that is proven and no more: after it, the interval of the mean just reaches the
    scaling weight. Rounded down to a step of the box, at least one; bounded. House rule.

    The grounds are W. E. Deming's funnel (Out of the Crisis, 1986, chapter 11; from memory):
    who moves the aim by the last error of each piece (rule 2) doubles the variance of a steady
    process, because he adds each piece's chance error to the next piece.
    """
    sample = checked(x, what="A correction", need=FEWEST)
    low, high = sample.mean_g, sample.mean_g
    if sample.sd_g > 0:
        low, high = mean_interval(
            sample.mean_g, sd_g=sample.sd_g, n=sample.n, confidence=confidence
        )
    target = setting.target_g
    proven = low - target if low > target else min(0.0, high - target)
    proven_pct = 100 * proven / target
    size, is_bounded = _change(abs(proven_pct), setting)
    return Correction(
        change_pct=math.copysign(size, -proven) if size else 0.0,
        error_pct=100 * (sample.mean_g - target) / target,
        proven_pct=proven_pct,
        is_bounded=is_bounded,
        n=sample.n,
    )


def _change(proven_pct: float, setting: Setting) -> tuple[float, bool]:
    """Return the size of the change in percent, and whether the bound cut it short."""
    if proven_pct <= setting.deadband_pct:
        return 0.0, False
    size = min(proven_pct, setting.most_pct)
    if setting.step_pct > 0:
        # a hair more, lest 0.6 / 0.1 count five steps
        steps = max(1, math.floor(size / setting.step_pct + 1e-9))
        size = steps * setting.step_pct
    return size, proven_pct > setting.most_pct

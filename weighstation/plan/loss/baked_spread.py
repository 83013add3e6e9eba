"""Where the spread of baked loaves comes from: the scaling, the oven, or the day."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.given import checked_share
from weighstation.monitor.moments import Moments
from weighstation.plan.loss.loss_line import FEWEST as FEWEST_PAIRS
from weighstation.plan.loss.loss_line import loss_line
from weighstation.plan.loss.loss_ratio import checked_pairs
from weighstation.plan.loss.one_hour import ONE_HOUR_MIN, one_hour_share
from weighstation.plan.loss.oven_loss import Carry, LossLaw
from weighstation.plan.loss.part import Part
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.plan.loss.loss_ratio import Pair


class Lever(StrEnum):
    """Which part of the spread is the greater."""

    SCALING = "scaling"
    OVEN = "oven"


@dataclass(frozen=True, slots=True)
class BakedSplit:
    """The spread of baked loaves, taken apart.

    Parameters
    ----------
    raw, baked : int
        How many pieces and loaves were weighed.
    whole : Part
        Of the baked loaves.
    scaling : Part
        What unequal pieces make of it.
    oven : Part
        What is left: oven, place in it, proof, and the weighing of the loaves.
    scaling_sd_g : float, grams
        Spread of the pieces of dough.
    carry : float
        Grams of bread for one gram of dough.
    confidence : float
    """

    raw: int
    baked: int
    whole: Part
    scaling: Part
    oven: Part
    scaling_sd_g: float
    carry: float
    confidence: float

    @property
    def lever(self) -> Lever:
        """The greater part: where evening out saves more."""
        return Lever.SCALING if self.scaling.var_g2 > self.oven.var_g2 else Lever.OVEN

    @property
    def is_certain(self) -> bool:
        """Whether the intervals of both parts lie apart."""
        return (
            self.scaling.interval_g2[0] > self.oven.interval_g2[1]
            or self.oven.interval_g2[0] > self.scaling.interval_g2[1]
        )

    def baked_sd_g(self, scaling_sd_g: float) -> float:
        """Return the spread of baked loaves if the pieces were scaled as evenly as asked.

        Parameters
        ----------
        scaling_sd_g : float, grams

        Returns
        -------
        float, grams

        Raises
        ------
        SpecificationError
            If the spread is negative or none, or nothing is known of the oven's part.
        """
        if self.oven.sd_g is None:
            raise SpecificationError(_NOTHING_LEFT, hint=_MORE)
        return baked_sd_g(scaling_sd_g, carry=self.carry, oven_sd_g=self.oven.sd_g)

    @property
    def text(self) -> str:
        """Which lever is the larger, in one plain sentence."""
        if self.oven.sd_g is None:
            return f"{_NOTHING_LEFT} {_MORE}"
        if self.scaling.sd_g is None:
            return (
                f"These loaves do not follow their scaling weight, so the oven makes the spread of"
                f" {self.oven.sd_g:.1f} g as far as they can tell."
            )
        both = self.scaling.var_g2 + self.oven.var_g2
        if both == 0:
            return "Pieces and loaves are all equal, so there is no spread to take apart."
        share = 100 * max(self.scaling.var_g2, self.oven.var_g2) / both
        ours, other, do = _SAID[self.lever]
        greater, smaller = sorted((self.scaling.sd_g, self.oven.sd_g), reverse=True)
        sure = "" if self.is_certain else ", though so few loaves leave it open"
        parts = f"{greater:.1f} g, {other} {smaller:.1f} g"
        return f"{ours} makes {share:.0f} % of the baked variance ({parts}): {do}{sure}."


_NOTHING_LEFT = (
    "The pieces alone would make the baked loaves vary more than they do, so nothing is left for"
    " the oven."
)
_MORE = "Weigh more loaves, raw and baked of the same batches, and pick none."
_SAID = {
    Lever.SCALING: ("The scaling", "the oven", "scale more evenly first"),
    Lever.OVEN: ("The oven", "the scaling", "even out the oven first"),
}


def baked_sd_g(scaling_sd_g: float, *, carry: float, oven_sd_g: float) -> float:
    """Return the spread of baked loaves of two parts.

    Parameters
    ----------
    scaling_sd_g : float, grams
        Of the pieces of dough.
    carry : float
        Grams of bread for one gram of dough.
    oven_sd_g : float, grams
        What the oven adds: scaling weight times the spread of the loss.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number is negative or none.

    Notes
    -----
    Variances of independent parts add: ``(carry s)^2 + oven^2`` (textbook).

    Examples
    --------
    >>> round(baked_sd_g(8, carry=0.941, oven_sd_g=909 * 0.006), 2)
    9.3
    """
    for what, value in (("scaling", scaling_sd_g), ("oven", oven_sd_g), ("carry", carry)):
        if not (is_number(value) and value >= 0):
            raise SpecificationError(
                f"A spread is made of numbers from 0 up; {what} is {in_words(value)}."
            )
    return math.hypot(carry * scaling_sd_g, oven_sd_g)


def split_of_pairs(
    pairs: Iterable[Pair],
    *,
    carry: Carry | None = None,
    minutes_out: float = ONE_HOUR_MIN,
    cooling_loss_per_h: float | None = None,
    confidence: float = 0.95,
) -> BakedSplit:
    """Return the parts of the baked spread from marked loaves.

    Parameters
    ----------
    pairs : (n, 2) float, grams
        Raw and baked weight of marked loaves of one scaling weight, at least three.
    carry : Carry or None
        What is known of it from elsewhere, such as `OvenLoss.carry`; None takes the slope of these
        pairs, which pieces of one scaling weight know badly.
    minutes_out : float, minutes
        Out of the oven when they were weighed.
    cooling_loss_per_h : float or None
        As for `one_hour_share`; the result is that of one hour.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    BakedSplit

    Raises
    ------
    NotEnoughDataError
        If there are fewer than three pairs.
    SpecificationError
        If a pair cannot be, all raw weights are equal and no carry is given, the minutes cannot be
        turned into one hour, or the confidence is none.

    Notes
    -----
    With the slope of the pairs, the oven's variance is that of the residuals, with n - 2, and the
    scaling's is what remains of the whole, so that they add up; it is free of the bias that a
    badly known slope would bring, and may be negative. With a carry from elsewhere the oven's is
    the variance of baked - carry raw, with n - 1, and the scaling's (carry s)^2. Intervals: chi
    square, NIST/SEMATECH e-Handbook, 7.2.3.1 (from memory); of the product carry s, its
    logarithms' limits squared and added (G. Y. Zou and A. Donner, Statistics in Medicine 27 (2008)
    1693, seen in secondary copies). How often they hold is measured in the tests.
    """
    checked_share(confidence)
    share = one_hour_share(minutes_out, cooling_loss_per_h=cooling_loss_per_h)
    found = [(raw, share * baked) for raw, baked in checked_pairs(pairs)]
    if len(found) < FEWEST_PAIRS:
        raise NotEnoughDataError(
            f"The parts of a spread need at least {FEWEST_PAIRS} marked loaves,"
            f" and there are {len(found)}.",
            have=len(found),
            need=FEWEST_PAIRS,
            hint="Mark more pieces, weigh each raw and again baked.",
        )
    raw, baked = (Moments.of(side) for side in zip(*found, strict=True))
    whole = Part.of_sample(baked, confidence=confidence)
    if carry is not None:
        left = Moments.of(y - carry.per_g * x for x, y in found)
        return BakedSplit(
            raw=raw.n,
            baked=baked.n,
            whole=whole,
            scaling=_carried(raw, carry, confidence),
            oven=Part.of_sample(left, confidence=confidence),
            scaling_sd_g=raw.sd,
            carry=carry.per_g,
            confidence=confidence,
        )
    line = loss_line(found, confidence=confidence)
    own = Carry(line.slope, line.slope_interval, LossLaw.LINE)
    oven = Part.of(line.sd_g**2, df=line.n - 2, confidence=confidence)
    return BakedSplit(
        raw=raw.n,
        baked=baked.n,
        whole=whole,
        scaling=Part(whole.var_g2 - oven.var_g2, _carried(raw, own, confidence).interval_g2),
        oven=oven,
        scaling_sd_g=raw.sd,
        carry=line.slope,
        confidence=confidence,
    )


def split_of_samples(
    raw: Moments,
    baked: Moments,
    *,
    carry: Carry,
    minutes_out: float = ONE_HOUR_MIN,
    cooling_loss_per_h: float | None = None,
    confidence: float = 0.95,
) -> BakedSplit:
    """Return the parts of the baked spread from loaves without marks.

    Parameters
    ----------
    raw : Moments, grams
        Of pieces as they went into the oven: kept pieces, not first cuts.
    baked : Moments, grams
        Of loaves of the same batches.
    carry : Carry
        What a gram of dough gives, such as `OvenLoss.carry`.
    minutes_out : float, minutes
        Out of the oven when they were weighed.
    cooling_loss_per_h : float or None
        As for `one_hour_share`; the result is that of one hour.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    BakedSplit

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two weights on a side.
    SpecificationError
        If the minutes cannot be turned into one hour, or the confidence is none.

    Notes
    -----
    The oven's variance is a difference of two that are estimated, ``s^2 - (carry s_raw)^2``, and
    may come out negative by chance. Its interval: the limits of both, squared and added (Zou and
    Donner, as in `split_of_pairs`), cut off at 0.
    """
    checked_share(confidence)
    share = one_hour_share(minutes_out, cooling_loss_per_h=cooling_loss_per_h)
    whole = Part.of_sample(baked, confidence=confidence).times(share)
    scaling = _carried(raw, carry, confidence)
    return BakedSplit(
        raw=raw.n,
        baked=baked.n,
        whole=whole,
        scaling=scaling,
        oven=whole.less(scaling),
        scaling_sd_g=raw.sd,
        carry=carry.per_g,
        confidence=confidence,
    )


def _carried(raw: Moments, carry: Carry, confidence: float) -> Part:
    """Return the part that unequal pieces make: (carry s)^2, with the doubts about both."""
    spread = Part.of_sample(raw, confidence=confidence)
    return Part(
        carry.per_g**2 * spread.var_g2,
        (
            _product_end(carry.per_g, carry.interval[0], spread, 0),
            _product_end(carry.per_g, carry.interval[1], spread, 1),
        ),
    )


def _product_end(per_g: float, end: float, spread: Part, side: int) -> float:
    """Return an end of the interval of (per_g s)^2: their logarithms' distances as one."""
    limit = spread.interval_g2[side]
    if end <= 0 or spread.var_g2 <= 0:
        return 0.0
    if per_g <= 0:
        return end * end * limit
    apart = math.hypot(2 * math.log(end / per_g), math.log(limit / spread.var_g2))
    return per_g**2 * spread.var_g2 * math.exp(apart if side else -apart)

"""The oven's own loss, learned from loaves that were weighed raw and baked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan.loss.apart import Apart, loaves_apart
from weighstation.plan.loss.loss_line import LossLine, loss_line
from weighstation.plan.loss.loss_ratio import BatchMeans, LossRatio, checked_pairs, loss_ratio

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from weighstation.plan.loss.forecast import Forecast, Interval
    from weighstation.plan.loss.loss_ratio import Pair

BEYOND = 0.02
"""So much beyond the lightest and the heaviest piece a law is still used; house figure.

A ratio that keeps 0.88 where the last gram keeps 0.94 is wrong there by an eighth of a percent of
the loaf, a gram of 800, and without it no weight could ever be corrected to one not yet baked.
"""

ENOUGH = 5
"""With fewer pairs the percentages of the trade are as good (common practice, no source)."""


class LossLaw(StrEnum):
    """Which law of loss is used."""

    LINE = "line"
    RATIO = "ratio"
    STAGES = "stages"


@dataclass(frozen=True, slots=True)
class Carry:
    """What a gram more or less of dough does to the loaf.

    Parameters
    ----------
    per_g : float, grams
        Of bread, for one gram of dough.
    interval : (low, high) tuple of float
    law : LossLaw
        A line knows it; a ratio only says that it is at least the share kept, and at most all.
    """

    per_g: float
    interval: Interval
    law: LossLaw

    @property
    def text(self) -> str:
        """One plain sentence."""
        low, high = self.interval
        if self.law is LossLaw.LINE:
            return (
                f"One gram more of dough gives {self.per_g:.2f} g more bread"
                f" ({low:.2f} to {high:.2f} g)."
            )
        return (
            f"One gram more of dough gives between {low:.2f} and {high:.2f} g more bread;"
            " only a line through light and heavy pieces can tell."
        )


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A marked loaf that somebody left out, and why.

    Parameters
    ----------
    index : int
        Its place among the pairs, from 0.
    raw_g, baked_g : float, grams
    why : str
    """

    index: int
    raw_g: float
    baked_g: float
    why: str


@dataclass(frozen=True, slots=True)
class OvenLoss:
    """What an oven takes of one product.

    Parameters
    ----------
    pairs, batches : int
        Marked loaves, and batches without marks, that it was learned from.
    ratio : LossRatio
        Of all of them.
    line : LossLine or None
        Of the marked loaves; None where there are fewer than three, or all of one raw weight.
    raw_range_g : (low, high) tuple of float, grams
        Lightest and heaviest piece of dough; for batches their mean.
    apart : tuple of Apart
        Marked loaves that lie apart from the others, and count all the same.
    left_out : tuple of LeftOut
        Those that do not count.
    """

    pairs: int
    batches: int
    ratio: LossRatio
    line: LossLine | None
    raw_range_g: Interval
    apart: tuple[Apart, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def law(self) -> LossLaw:
        """The law that stands: the line once its slope is known to 0.1, else the ratio."""
        return LossLaw.RATIO if self._standing_line is None else LossLaw.LINE

    @property
    def is_enough(self) -> bool:
        """Whether it beats the percentages of the trade: a line, or five pairs and batches."""
        return self.law is LossLaw.LINE or self.pairs + self.batches >= ENOUGH

    @property
    def carry(self) -> Carry:
        """What a gram of scaling error does to the baked loaf."""
        line = self._standing_line
        if line is not None:
            return Carry(line.slope, line.slope_interval, LossLaw.LINE)
        return Carry(self.ratio.kept, (1 - self.ratio.interval[1], 1.0), LossLaw.RATIO)

    def baked_g(self, scaling_g: float) -> Forecast:
        """Return what a scaling weight bakes to by the law that stands.

        Parameters
        ----------
        scaling_g : float, grams
            Within the range of the pieces that were weighed, and 2 % beyond.

        Returns
        -------
        Forecast

        Raises
        ------
        SpecificationError
            If the scaling weight is outside.
        """
        self._refuse_outside(scaling_g)
        line = self._standing_line
        return self.ratio.baked(scaling_g) if line is None else line.baked(scaling_g)

    def scaling_g(self, baked_g: float) -> Forecast:
        """Return the scaling weight for a baked weight by the law that stands.

        Parameters
        ----------
        baked_g : float, grams

        Returns
        -------
        Forecast

        Raises
        ------
        SpecificationError
            If the scaling weight that it takes is outside what was weighed by more than 2 %.
        """
        line = self._standing_line
        found = self.ratio.scaling(baked_g) if line is None else line.scaling(baked_g)
        self._refuse_outside(found.at_g)
        return found

    @property
    def text(self) -> str:
        """What was learned, in plain sentences."""
        low, high = (100 * end for end in self.ratio.interval)
        taken = (
            f"The oven takes {100 * self.ratio.loss:.1f} % of the dough"
            f" ({100 * self.ratio.confidence:g} % interval {low:.1f} to {high:.1f} %; {self._of})."
        )
        out = (
            f"Loaf {each.index + 1} ({each.raw_g:g} g raw, {each.baked_g:g} g baked)"
            f" was left out: {each.why}."
            for each in self.left_out
        )
        return " ".join([taken, self._said_of_line(), *(each.text for each in self.apart), *out])

    @property
    def _standing_line(self) -> LossLine | None:
        return self.line if self.line is not None and self.line.stands else None

    @property
    def _of(self) -> str:
        named = ((self.pairs, "marked loaf", "marked loaves"), (self.batches, "batch", "batches"))
        said = " and ".join(f"{n} {one if n == 1 else more}" for n, one, more in named if n)
        alone = "; of this batch alone" if (self.pairs, self.batches) == (0, 1) else ""
        return said + alone

    def _said_of_line(self) -> str:
        line = self._standing_line
        if line is not None:
            a_g, b = line.dough_of_bread
            return (
                f"A line stands: dough = {a_g:.1f} g + {b:.4f} bread, from {self.raw_range_g[0]:g}"
                f" to {self.raw_range_g[1]:g} g of dough. {self.carry.text}"
            )
        sure = (
            "" if self.line is None else f" (its slope is known to +/- {self.line.slope_half:.2f})"
        )
        return f"No line stands yet{sure}: mark pieces scaled lighter and heavier on purpose."

    def _refuse_outside(self, scaling_g: float) -> None:
        low, high = self.raw_range_g
        if not low * (1 - BEYOND) <= scaling_g <= high * (1 + BEYOND):
            raise SpecificationError(
                f"{scaling_g:.1f} g of dough lie outside the {low:g} to {high:g} g that this loss"
                " was learned from.",
                hint="Weigh marked loaves of that weight, or give the losses of the stages.",
            )


def oven_loss(
    pairs: Iterable[Pair] = (),
    *,
    batches: Iterable[BatchMeans] = (),
    left_out: Mapping[int, str] | None = None,
    confidence: float = 0.95,
) -> OvenLoss:
    """Return what the oven takes, learned from marked loaves and from batches.

    Parameters
    ----------
    pairs : (n, 2) float, grams
        Raw and baked weight of marked loaves of one product, best of several bakes and from all
        over the oven, baked weights at one time after it.
    batches : iterable of BatchMeans
        Weighed without marks; they count for the ratio alone.
    left_out : mapping of int to str, or None
        Places of pairs, from 0, that shall not count, each with the reason.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    OvenLoss

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two pairs and no batch, or a batch has fewer than two weights.
    SpecificationError
        If a weight cannot be, a loaf is left out that is not there or without a reason, or the
        confidence is none.

    Notes
    -----
    The ratio holds from the second pair on; the line replaces it once the interval of its slope
    is within 0.1. Both hold for the oven, the load, the product and the weather they come from.

    Examples
    --------
    >>> found = oven_loss([(905, 796), (910, 802), (907, 801), (912, 800), (908, 799)])
    >>> found.law.value, round(found.scaling_g(800).at_g, 1)
    ('ratio', 908.9)
    """
    found, whole = checked_pairs(pairs), tuple(batches)
    out = dict(left_out or {})
    _check_left_out(out, len(found))
    places = [place for place in range(len(found)) if place not in out]
    marked = [found[place] for place in places]
    ratio = loss_ratio(marked, batches=whole, confidence=confidence)
    raw = [x for x, _ in marked] + [batch.raw.mean for batch in whole]
    return OvenLoss(
        pairs=len(marked),
        batches=len(whole),
        ratio=ratio,
        line=_line(marked, confidence),
        raw_range_g=(min(raw), max(raw)),
        apart=tuple(_moved(each, places) for each in loaves_apart(marked)),
        left_out=tuple(LeftOut(place, *found[place], out[place]) for place in sorted(out)),
    )


def _check_left_out(left_out: Mapping[int, str], n: int) -> None:
    for place, why in left_out.items():
        if not 0 <= place < n:
            raise SpecificationError(f"There is no loaf {place + 1} to leave out of {n}.")
        if not why.strip():
            raise SpecificationError(f"Say why loaf {place + 1} is left out.")


def _line(pairs: Sequence[Pair], confidence: float) -> LossLine | None:
    if len(pairs) < 3 or len({raw for raw, _ in pairs}) == 1:
        return None
    return loss_line(pairs, confidence=confidence)


def _moved(apart: Apart, places: Sequence[int]) -> Apart:
    return replace(apart, index=places[apart.index])

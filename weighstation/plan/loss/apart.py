"""Marked loaves that lie apart from the others: torn, mixed up, or mistyped."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.monitor.distributions import t_quantile
from weighstation.monitor.given import checked_share
from weighstation.plan.loss.loss_ratio import checked_pairs

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.plan.loss.loss_ratio import Pair

ONE_IN = 5
"""No more than one loaf in so many is looked at, and one at least; house figure."""

FEWEST = 4
"""Three loaves leave nothing over to hold the furthest against."""

CLEAR = 1e-9
"""A spread below this share of the weight is the arithmetic's, not a loaf's."""


@dataclass(frozen=True, slots=True)
class Apart:
    """A marked loaf that lies further from the others than chance explains.

    Parameters
    ----------
    index : int
        Its place among the pairs, from 0.
    raw_g, baked_g : float, grams
    off_g : float, grams
        Baked weight minus what the other loaves foretell.
    t, critical : float
        How far that is, in Student's t, and what chance reaches.
    """

    index: int
    raw_g: float
    baked_g: float
    off_g: float
    t: float
    critical: float

    @property
    def text(self) -> str:
        """One plain sentence; a finding is a question, never a reason to drop a loaf."""
        way = "less" if self.off_g < 0 else "more"
        return (
            f"Loaf {self.index + 1} ({self.raw_g:g} g raw, {self.baked_g:g} g baked) weighs"
            f" {abs(self.off_g):.0f} g {way} than the others foretell: find out what happened"
            " (torn, mixed up, mistyped) before it is left out."
        )


def loaves_apart(pairs: Iterable[Pair], *, level: float = 0.05) -> tuple[Apart, ...]:
    """Return the loaves that lie apart from the line through the others.

    Parameters
    ----------
    pairs : (n, 2) float, grams
        Raw and baked weight of marked loaves.
    level : float
        Chance of a false finding where no loaf lies apart, between 0 and 1.

    Returns
    -------
    tuple of Apart
        By place; empty where there are too few to tell.

    Raises
    ------
    SpecificationError
        If a pair cannot be, or the level is none.

    Notes
    -----
    The furthest loaf by its deleted residual from the line (from the mean, where all raw weights
    are equal) against Student's t of ``level / (2 n)``: S. Weisberg, Applied Linear Regression,
    outlier test (from memory). Then the furthest of the rest, and so on; all up to the last one
    that is too far lie apart, as in Rosner's test, e-Handbook 1.3.5.17.3 (from memory), so that
    two torn loaves do not hide each other.
    """
    checked_share(level)
    found = checked_pairs(pairs)
    left = list(range(len(found)))
    seen: list[Apart] = []
    for _ in range(max(1, len(found) // ONE_IN)):
        furthest = _furthest(found, left, level)
        if furthest is None:
            break
        seen.append(furthest)
        left.remove(furthest.index)
    beyond = [place for place, each in enumerate(seen, 1) if abs(each.t) > each.critical]
    return tuple(sorted(seen[: max(beyond, default=0)], key=lambda each: each.index))


def _furthest(pairs: Sequence[Pair], left: Sequence[int], level: float) -> Apart | None:
    """Return the loaf that is furthest from the line through the others of those left."""
    if len(left) < FEWEST:
        return None
    off, free, df = _residuals([pairs[i] for i in left])
    sd_g = math.sqrt(math.fsum(e * e for e in off) / df)
    if sd_g <= CLEAR * pairs[left[0]][1]:
        return None
    inside = [
        e / (sd_g * math.sqrt(f)) if f > CLEAR else 0.0 for e, f in zip(off, free, strict=True)
    ]
    place = max(range(len(left)), key=lambda each: abs(inside[each]))
    rest = df - inside[place] ** 2
    t = inside[place] * math.sqrt((df - 1) / rest) if rest > 0 else inside[place] * math.inf
    critical = t_quantile(1 - level / (2 * len(left)), df=df - 1)
    return Apart(left[place], *pairs[left[place]], off[place] / free[place], t, critical)


def _residuals(pairs: Sequence[Pair]) -> tuple[list[float], list[float], int]:
    """Return what each lies off the line, what share of it is its own, and degrees of freedom."""
    n = len(pairs)
    raw_g, baked_g = (math.fsum(side) / n for side in zip(*pairs, strict=True))
    if len({raw for raw, _ in pairs}) == 1:
        return [y - baked_g for _, y in pairs], [1 - 1 / n] * n, n - 1
    square = math.fsum((x - raw_g) ** 2 for x, _ in pairs)
    slope = math.fsum((x - raw_g) * (y - baked_g) for x, y in pairs) / square
    off = [y - baked_g - slope * (x - raw_g) for x, y in pairs]
    return off, [1 - 1 / n - (x - raw_g) ** 2 / square for x, _ in pairs], n - 2

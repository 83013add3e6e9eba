"""Dough weighed back between two boards: what left it in between = counted in between + gone.

A batch's own sum (`balance`) says that something is wrong; weighed back at each board, the dough
says on which one.
"""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

COVERAGE = 2
NO_NEWS_SHARE = 500
"""Less than 2 g of each kilogram that was cut is no news to a baker (house figure)."""
HANDLING_SHARE = 50
"""A tidy bench loses up to a fiftieth of its dough to bowl, scraper and hands (common practice)."""
ENOUGH = 4
"""From so many stretches on, what this bench usually loses is told by its own stretches."""
_MAD_TO_SD = 1.4826
_WIDE = 3.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Dividing between two weighings of the dough that was left.

    Parameters
    ----------
    before_mg, after_mg : int, milligrams
        Dough left at its beginning and its end.
    counted_mg : int, milligrams
        Sum of the pieces counted in between.
    pieces : int
        How many.
    lumps : int
        Loads that both weighings took.
    division_mg : int, milligrams
        Scale interval d.
    """

    before_mg: int
    after_mg: int
    counted_mg: int
    pieces: int
    lumps: int
    division_mg: int

    @property
    def gone_mg(self) -> int:
        """Dough that left and is in no counted piece; negative if too much was counted."""
        return self.before_mg - self.after_mg - self.counted_mg

    @property
    def scale_mg(self) -> int:
        """How far the scale alone may put it out, expanded uncertainty (k = 2), milligrams.

        A load is rounded, d / sqrt(12) each; a lump, heavier than any piece, may besides be wrong
        by a division, d / sqrt(3). The zero, which may be out by a quarter of a division after it
        was set or tracked (OIML R 76-1, 4.5.2, from memory), is out alike for all pieces and adds
        up. JCGM 100:2008, 4.3.7, 5.2.2 and F.2.2.1 (from memory). How wrong the scale is in
        proportion is not in it: that is the same for lumps and pieces.
        """
        return scale_part_mg(self.pieces, self.lumps, self.division_mg)


def scale_part_mg(pieces: int, lumps: int, division_mg: int) -> int:
    """Return how far the scale alone may put a sum of dough out, expanded uncertainty (k = 2).

    Parameters
    ----------
    pieces, lumps : int
        How many of each were weighed.
    division_mg : int, milligrams
        Scale interval d.

    Returns
    -------
    int, milligrams
        See `Stretch.scale_mg`.

    Examples
    --------
    >>> scale_part_mg(4, 2, 1000)
    2449
    """
    variance = (pieces + lumps) / 12 + lumps / 3 + (pieces / 4) ** 2 / 3
    return round(COVERAGE * division_mg * math.sqrt(variance))


@dataclass(frozen=True, slots=True)
class Judged:
    """A stretch beside what is usual.

    Parameters
    ----------
    stretch : Stretch
    usual_mg : int, milligrams
        Lost in handling as usual.
    slack_mg : int, milligrams
        How far it may be from that and still agree.
    """

    stretch: Stretch
    usual_mg: int
    slack_mg: int

    @property
    def out_mg(self) -> int:
        """How far it is out, milligrams, sign kept; 0 where it agrees."""
        out_mg = self.stretch.gone_mg - self.usual_mg
        return out_mg if abs(out_mg) > self.slack_mg else 0


def judged(stretches: Sequence[Stretch]) -> tuple[Judged, ...]:
    """Return stretches of one batch, each held against the others.

    Parameters
    ----------
    stretches : (n,) sequence of Stretch
        Each with pieces.

    Returns
    -------
    (n,) tuple of Judged

    Notes
    -----
    From four stretches on, the usual loss is the median of theirs by weight cut, between nothing
    and a fiftieth, and the slack is what the scale leaves open and three times their spread, by the
    median deviation, which one or two that are out do not move. Below four, up to a fiftieth may be
    lost unsaid. Never is less told than 2 g of each kilogram that was cut.
    """
    if len(stretches) < ENOUGH:
        return tuple(_alone(each) for each in stretches)
    shares = [each.gone_mg / each.counted_mg for each in stretches]
    usual = min(max(statistics.median(shares), 0.0), 1 / HANDLING_SHARE)
    rests = [each.gone_mg - usual * each.counted_mg for each in stretches]
    middle = statistics.median(rests)
    spread_mg = _MAD_TO_SD * statistics.median(abs(rest - middle) for rest in rests)
    return tuple(
        Judged(each, round(usual * each.counted_mg), least_slack_mg(each, _WIDE * spread_mg))
        for each in stretches
    )


def _alone(stretch: Stretch) -> Judged:
    lost_mg = stretch.counted_mg // HANDLING_SHARE if stretch.gone_mg >= 0 else 0
    return Judged(stretch, 0, least_slack_mg(stretch, lost_mg))


def least_slack_mg(stretch: Stretch, spread_mg: float = 0.0) -> int:
    """Return how far a stretch may be out and still agree.

    Parameters
    ----------
    stretch : Stretch
    spread_mg : float, milligrams
        By what stretches of this batch differ anyway.

    Returns
    -------
    int, milligrams
    """
    return max(stretch.scale_mg + round(spread_mg), stretch.counted_mg // NO_NEWS_SHARE)

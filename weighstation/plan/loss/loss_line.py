"""A straight line from dough to bread: what the last gram of dough gives."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.distributions import t_quantile
from weighstation.monitor.given import checked_share
from weighstation.plan.loss.forecast import Forecast, Interval, inverse_interval
from weighstation.plan.loss.loss_ratio import checked_pairs

if TYPE_CHECKING:
    from collections.abc import Iterable

FEWEST = 3
"""Two loaves lie on a line whatever they are."""

FEWEST_TO_STAND = 4
"""Three pieces of one scaling weight, weighed to 1 g, lie on a line by chance in 1.2 of 100 sets,
four in 0.16; weighed to 5 g, four in 2.7 (20,000 simulated sets each)."""

SURE_WITHIN = 0.1
"""A line stands once its slope is known to so much; house figure.

The ratio keeps 0.88 of a gram where a line keeps 0.94: a slope less sure than twice that difference
tells the two apart by chance.
"""


@dataclass(frozen=True, slots=True)
class LossLine:
    """Bread = centre + slope (dough - centre), by least squares.

    Parameters
    ----------
    n : int
        Marked loaves.
    raw_g, baked_g : float, grams
        Their means: the line goes through them.
    slope : float
        Grams of bread that one gram more of dough gives.
    slope_half : float
        Half the width of its interval.
    sd_g : float, grams
        Spread of loaves about the line, with n - 2.
    r2 : float
        Share of the squares of the baked weights that the line explains.
    confidence : float
    """

    n: int
    raw_g: float
    baked_g: float
    slope: float
    slope_half: float
    sd_g: float
    r2: float
    confidence: float

    @property
    def slope_interval(self) -> Interval:
        """Where the true slope lies with ``confidence``."""
        return self.slope - self.slope_half, self.slope + self.slope_half

    @property
    def stands(self) -> bool:
        """Whether four loaves or more know the slope to 0.1, and bread grows with the dough."""
        known = self.n >= FEWEST_TO_STAND and self.slope_half <= SURE_WITHIN
        return known and self.slope > self.slope_half

    @property
    def dough_of_bread(self) -> tuple[float, float]:
        """The same line the other way: a in grams and b of dough = a + b bread.

        Raises
        ------
        SpecificationError
            If the bread does not grow with the dough.
        """
        if self.slope <= 0:
            raise SpecificationError(
                "In these pairs the bread does not grow with the dough, so no dough follows of it.",
                hint="Mark pieces that were scaled lighter and heavier on purpose.",
            )
        return self.raw_g - self.baked_g / self.slope, 1 / self.slope

    def baked(self, scaling_g: float) -> Forecast:
        """Return what a scaling weight bakes to.

        Parameters
        ----------
        scaling_g : float, grams

        Returns
        -------
        Forecast
        """
        off = scaling_g - self.raw_g
        at = self.baked_g + self.slope * off
        mean, single = (math.hypot(half, self.slope_half * off) for half in self._level_halves_g())
        return Forecast(at, (at - mean, at + mean), (at - single, at + single))

    def scaling(self, baked_g: float) -> Forecast:
        """Return the scaling weight that bakes to a weight.

        Parameters
        ----------
        baked_g : float, grams

        Returns
        -------
        Forecast

        Raises
        ------
        SpecificationError
            If the bread does not grow with the dough.
        """
        a_g, b = self.dough_of_bread
        mean, single = (
            self._places(baked_g - self.baked_g, half) for half in self._level_halves_g()
        )
        return Forecast(a_g + b * baked_g, mean, single)

    def _level_halves_g(self) -> tuple[float, float]:
        """Return half the interval at the centre, of the mean and of one loaf."""
        t = t_quantile((1 + self.confidence) / 2, df=self.n - 2)
        return t * self.sd_g / math.sqrt(self.n), t * self.sd_g * math.sqrt(1 + 1 / self.n)

    def _places(self, off_g: float, level_half_g: float) -> Interval:
        low, high = inverse_interval(
            off_g, slope=self.slope, slope_half=self.slope_half, level_half_g=level_half_g
        )
        return self.raw_g + low, self.raw_g + high


def loss_line(pairs: Iterable[tuple[float, float]], *, confidence: float = 0.95) -> LossLine:
    """Return the straight line of baked weights on raw ones.

    Parameters
    ----------
    pairs : (n, 2) float, grams
        Raw and baked weight of marked loaves, at least three, not all of one raw weight.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    LossLine

    Raises
    ------
    NotEnoughDataError
        If there are fewer than three pairs.
    SpecificationError
        If a pair cannot be, all raw weights are equal, or the confidence is none.

    Notes
    -----
    Least squares of bread on dough, NIST/SEMATECH e-Handbook of Statistical Methods,
    doi:10.18434/M32189, section 4.1.4.1 (from memory). That way round because the baker sets the
    dough and the oven scatters the bread: what scatters belongs on the left. The other way round,
    as dough = a + b bread is usually printed, takes the oven's scatter for a property of the
    dough; its slope is too flat by R^2, which is nothing over 650 to 1000 g and everything over
    the few grams by which pieces of one scaling weight differ. The scaling weight for a baked
    weight is read off the same line backwards (C. Eisenhart, Annals of Mathematical Statistics 10
    (1939) 162, from memory), with Fieller's interval.

    Examples
    --------
    >>> line = loss_line([(650, 570), (750, 662), (850, 759), (1000, 898)])
    >>> round(line.slope, 2), line.stands
    (0.94, True)
    """
    checked_share(confidence)
    found = checked_pairs(pairs)
    n = len(found)
    if n < FEWEST:
        raise NotEnoughDataError(
            f"A line of loss needs at least {FEWEST} marked loaves, and there are {n}.",
            have=n,
            need=FEWEST,
            hint="Mark more pieces, some scaled lighter and some heavier on purpose.",
        )
    if len({raw for raw, _ in found}) == 1:
        raise SpecificationError(
            "A line of loss needs pieces of more than one raw weight.",
            hint="Mark some pieces that were scaled lighter and heavier on purpose.",
        )
    raw_g, baked_g = (math.fsum(side) / n for side in zip(*found, strict=True))
    square = math.fsum((x - raw_g) ** 2 for x, _ in found)
    slope = math.fsum((x - raw_g) * (y - baked_g) for x, y in found) / square
    left = math.fsum((y - baked_g - slope * (x - raw_g)) ** 2 for x, y in found)
    whole = math.fsum((y - baked_g) ** 2 for _, y in found)
    sd_g = math.sqrt(left / (n - 2))
    t = t_quantile((1 + confidence) / 2, df=n - 2)
    return LossLine(
        n=n,
        raw_g=raw_g,
        baked_g=baked_g,
        slope=slope,
        slope_half=t * sd_g / math.sqrt(square),
        sd_g=sd_g,
        r2=1 - left / whole if whole > 0 else 0.0,
        confidence=confidence,
    )

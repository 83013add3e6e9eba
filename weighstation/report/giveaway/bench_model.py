"""Pieces of some days -> how this bench cuts and touches, so that another band can be reckoned."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.events import Verdict
from weighstation.monitor.distributions import t_quantile
from weighstation.quantities import grams

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.journal import PieceFacts
    from weighstation.specification import Limits

FEWEST = 30
"""From fewer pieces no share of first cuts is known to a tenth; house figure."""
_CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class TouchTime:
    """What a touch costs in time.

    Parameters
    ----------
    untouched_s : float, seconds
        On the pan without any touch.
    touch_s : float, seconds
        More for each add or trim.
    interval_s : (low, high) tuple of float, seconds
        Of ``touch_s``, at 95 %.
    """

    untouched_s: float
    touch_s: float
    interval_s: tuple[float, float]


@dataclass(frozen=True, slots=True)
class BenchModel:
    """How a bench cuts and touches one product.

    Parameters
    ----------
    first_g : (n,) tuple of float, grams
        First cuts less the scaling weight.
    touched_g : (m,) tuple of float, grams
        What touched pieces weighed in the end, less the scaling weight; kept ones alone.
    touches_each : float
        Touches that one of them took.
    boarded_share : float
        Of first cuts out of band, how many were boarded as they were.
    time : TouchTime or None
        None where no piece, or every one, was touched alike.
    unknown : int
        Pieces that were left out, because their first cut or their touches are not on record.
    """

    first_g: tuple[float, ...]
    touched_g: tuple[float, ...]
    touches_each: float
    boarded_share: float
    time: TouchTime | None
    unknown: int = 0

    def leaves(self, under_mg: int, over_mg: int) -> bool:
        """Return whether a first cut lies outside a band.

        Parameters
        ----------
        under_mg, over_mg : int, milligrams

        Returns
        -------
        bool
        """
        return any(not -under_mg <= 1000 * each <= over_mg for each in self.first_g)


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What a band makes of the first cuts of a bench.

    Parameters
    ----------
    touched_share : float
        Of pieces.
    touches : float
        A piece, on average.
    mean_g, sd_g : float, grams
        Of what leaves the bench, less the scaling weight.
    seconds : float or None
        A piece on the pan, on average; None where a touch's time is not known.
    """

    touched_share: float
    touches: float
    mean_g: float
    sd_g: float
    seconds: float | None


def bench_model(pieces: Iterable[PieceFacts], limits: Limits) -> BenchModel:
    """Return how a bench cuts and touches one product.

    Parameters
    ----------
    pieces : iterable of PieceFacts
        Counted, of one scaling weight and band.
    limits : Limits

    Returns
    -------
    BenchModel

    Raises
    ------
    NotEnoughDataError
        If there are fewer than thirty pieces.
    """
    every = list(pieces)
    counted = [p for p in every if p.first_mg is not None and p.touches is not None]
    if len(counted) < FEWEST:
        raise NotEnoughDataError(
            f"What another band would do takes {FEWEST} pieces whose first cut and touches are"
            f" known, and there are {len(counted)}.",
            have=len(counted),
            need=FEWEST,
            hint="Choose more days with --from and --to.",
        )
    out = [p for p in counted if p.first_mg is None or not _is_within(p.first_mg, limits)]
    boarded = [piece for piece in out if piece.verdict is not Verdict.KEEP]
    touched = [p for p in counted if p.touches and p.verdict is Verdict.KEEP]
    return BenchModel(
        first_g=tuple(
            grams(p.first_mg - limits.target_mg) for p in counted if p.first_mg is not None
        ),
        touched_g=tuple(grams(piece.final_mg - limits.target_mg) for piece in touched),
        touches_each=fmean(p.touches or 0 for p in touched) if touched else 1.0,
        boarded_share=len(boarded) / len(out) if out else 0.0,
        time=_touch_time(counted),
        unknown=len(every) - len(counted),
    )


def _is_within(mg: int, limits: Limits) -> bool:
    return -limits.under_mg <= mg - limits.target_mg <= limits.over_mg


def _touch_time(pieces: Sequence[PieceFacts]) -> TouchTime | None:
    """Return the line of seconds on touches, by least squares (textbook)."""
    known = [(p.touches, p.ms) for p in pieces if p.touches is not None and p.ms is not None]
    if len(known) < FEWEST:
        return None
    x = [touches for touches, _ in known]
    y = [ms / 1000 for _, ms in known]
    mean_x, mean_y = fmean(x), fmean(y)
    squares = math.fsum((each - mean_x) ** 2 for each in x)
    if not squares:
        return None
    products = math.fsum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True))
    slope = products / squares
    left = math.fsum((b - mean_y - slope * (a - mean_x)) ** 2 for a, b in zip(x, y, strict=True))
    df = len(known) - 2
    reach = t_quantile((1 + _CONFIDENCE) / 2, df=df) * math.sqrt(left / df / squares)
    return TouchTime(mean_y - slope * mean_x, slope, (slope - reach, slope + reach))


def reckoned(
    model: BenchModel, *, under_g: float, over_g: float, spread_times: float = 1.0
) -> Reckoned:
    """Return what a band makes of the first cuts of a bench.

    Parameters
    ----------
    model : BenchModel
    under_g, over_g : float, grams
        The band, below and above the scaling weight.
    spread_times : float
        First cuts lie so many times as far from their mean.

    Returns
    -------
    Reckoned

    Raises
    ------
    SpecificationError
        If no touched piece ever came to lie in such a band.

    Notes
    -----
    Our own reckoning, no source. A first cut in the band is kept as it is. Of those outside, the
    share that was boarded so far is boarded; the others are touched until they lie in the band,
    each touch ending as touches did in these days: what lies in the new band of them stands for
    all, and if only one in two lies in it, it takes twice the touches. A band that grows wider
    takes touches as they were.
    """
    mean_first = fmean(model.first_g)
    first = [mean_first + spread_times * (each - mean_first) for each in model.first_g]
    inside = [each for each in first if -under_g <= each <= over_g]
    outside = [each for each in first if not -under_g <= each <= over_g]
    landed = [each for each in model.touched_g if -under_g <= each <= over_g]
    if outside and model.boarded_share < 1 and not landed:
        raise SpecificationError(
            f"No touched piece of these days lies in a band of {under_g:g} g below and"
            f" {over_g:g} g above, so nothing says what such a band would take.",
            hint="Try a wider band.",
        )
    n, fixed = len(first), len(outside) * (1 - model.boarded_share)
    weighted = [(each, 1.0) for each in inside]
    weighted += [(each, model.boarded_share) for each in outside]
    weighted += [(each, fixed / len(landed)) for each in landed]
    mean = math.fsum(each * share for each, share in weighted) / n
    variance = math.fsum(share * (each - mean) ** 2 for each, share in weighted) / (n - 1)
    more = len(model.touched_g) / len(landed) if landed else 1.0
    touches = fixed / n * model.touches_each * more
    time = model.time
    return Reckoned(
        touched_share=fixed / n,
        touches=touches,
        mean_g=mean,
        sd_g=math.sqrt(variance),
        seconds=None if time is None else time.untouched_s + touches * time.touch_s,
    )

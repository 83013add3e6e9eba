"""One loss ratio: what share of the dough the oven takes, and how sure that is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.distributions import t_quantile
from weighstation.monitor.given import checked_share
from weighstation.plan.loss.forecast import Forecast, Interval, inverse_interval

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.monitor.moments import Moments

LEAST_KEPT = 0.4
"""A dough of 150 parts of water to 100 of flour is two fifths flour: no loaf keeps less."""

FEWEST = 2
"""One loaf, or one loaf of a batch, says nothing of how they vary."""

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BatchMeans:
    """Loaves of one batch that were weighed raw and baked, without knowing which became which.

    Parameters
    ----------
    raw : Moments, grams
        Of pieces of dough as they went into the oven.
    baked : Moments, grams
        Of loaves as they came out; their number may be another one.
    """

    raw: Moments
    baked: Moments


@dataclass(frozen=True, slots=True)
class LossRatio:
    """A share of the dough that is lost, whatever the scaling weight.

    Parameters
    ----------
    loss : float
        1 - sum of baked / sum of raw.
    interval : (low, high) tuple of float
        Holds the true share with ``confidence``; 0 to 1 where nothing is known.
    se : float
        Standard error of the share.
    loaf_sd_g : float, grams
        Spread of single loaves about the ratio; where no loaf was marked, of single loaves.
    df, loaf_df : float
        Degrees of freedom of both.
    confidence : float
    """

    loss: float
    interval: Interval
    se: float
    loaf_sd_g: float
    df: float
    loaf_df: float
    confidence: float

    @property
    def kept(self) -> float:
        """The share of the dough that becomes bread."""
        return 1 - self.loss

    def baked(self, scaling_g: float) -> Forecast:
        """Return what a scaling weight bakes to.

        Parameters
        ----------
        scaling_g : float, grams

        Returns
        -------
        Forecast
        """
        low, high = self.interval
        at = self.kept * scaling_g
        half = self._t * math.hypot(self.loaf_sd_g, self.se * scaling_g)
        return Forecast(at, ((1 - high) * scaling_g, (1 - low) * scaling_g), (at - half, at + half))

    def scaling(self, baked_g: float) -> Forecast:
        """Return the scaling weight that bakes to a weight.

        Parameters
        ----------
        baked_g : float, grams

        Returns
        -------
        Forecast
        """
        low, high = self.interval
        mean = baked_g / (1 - low), baked_g / (1 - high) if high < 1 else math.inf
        single = inverse_interval(
            baked_g,
            slope=self.kept,
            slope_half=self._t * self.se,
            level_half_g=self._t * self.loaf_sd_g,
        )
        return Forecast(baked_g / self.kept, mean, single)

    @property
    def _t(self) -> float:
        return t_quantile((1 + self.confidence) / 2, df=self.loaf_df)


@dataclass(frozen=True, slots=True)
class _Part:
    """Variance of baked - kept raw, and how it changes as ``kept`` does."""

    square: float
    mixed: float
    raw_square: float
    df: float


def checked_pairs(pairs: Iterable[Pair]) -> tuple[Pair, ...]:
    """Return pairs of weights, or refuse all that cannot be at once.

    Parameters
    ----------
    pairs : (n, 2) float, grams
        Raw and baked weight of each loaf.

    Returns
    -------
    tuple of (raw_g, baked_g)

    Raises
    ------
    SpecificationError
        If a pair is not two positive numbers, or its loaf lost nothing or more than its water.
    """
    found = tuple((float(raw), float(baked)) for raw, baked in pairs)
    faults = tuple(
        f"loaf {place}: {why}" for place, pair in enumerate(found, 1) if (why := _fault(*pair))
    )
    if faults:
        raise SpecificationError(
            f"Of {len(found)} pairs {len(faults)} cannot be ({'; '.join(faults)}).",
            hint="Give each loaf's raw weight first, then its baked one, in one unit.",
            faults=faults,
        )
    return found


def loss_ratio(
    pairs: Iterable[Pair] = (),
    *,
    batches: Iterable[BatchMeans] = (),
    confidence: float = 0.95,
) -> LossRatio:
    """Return one loss ratio of marked loaves and of batches, with its interval.

    Parameters
    ----------
    pairs : (n, 2) float, grams
        Raw and baked weight of marked loaves: none, or two and more.
    batches : iterable of BatchMeans
        Weighed without marks; each counts as many loaves as were weighed baked.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    LossRatio

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two pairs and no batch, or a single batch has fewer than two
        weights on a side.
    SpecificationError
        If a weight cannot be, or the confidence is none.

    Notes
    -----
    The ratio of sums, so that great loaves count more than small ones, as they do in the oven
    (common practice, no source). Its interval is Fieller's: all q with ``(Y - q X)^2 <= t^2 V(q)``,
    V the variance of ``Y - q X`` (source at `inverse_interval`). Of pairs alone, V is n times the
    sample variance of baked - q raw, with n - 1 degrees of freedom, and the interval is exact for
    normal weights. Two batches and more are taken as pairs of sums, so that what the oven does
    from batch to batch is in it. A single batch has the variances of its two samples alone, as if
    they were independent, which is on the safe side, and says nothing of the next batch. Parts are
    added with Satterthwaite's degrees of freedom, Biometrics Bulletin 2 (1946) 110 (from memory).

    Examples
    --------
    >>> found = loss_ratio([(910, 802), (905, 795), (912, 799)])
    >>> round(found.loss, 4), [round(end, 4) for end in found.interval]
    (0.1214, [0.1149, 0.1279])
    """
    checked_share(confidence)
    marked, whole = checked_pairs(pairs), tuple(batches)
    _check_counts(marked, whole)
    sums = [_sums(batch) for batch in whole]
    raw = math.fsum(x for x, _ in (*marked, *sums))
    kept = math.fsum(y for _, y in (*marked, *sums)) / raw
    parts = [*_parts_of_pairs(marked, kept), *_parts_of_batches(whole, sums, kept)]
    df = _satterthwaite(parts)
    t = t_quantile((1 + confidence) / 2, df=df)
    loaf_sd, loaf_df = _loaf_spread(marked, whole, kept)
    return LossRatio(
        loss=1 - kept,
        interval=_fieller(raw, kept, parts, t),
        se=math.sqrt(math.fsum(part.square for part in parts)) / raw,
        loaf_sd_g=loaf_sd,
        df=df,
        loaf_df=loaf_df,
        confidence=confidence,
    )


def _fault(raw_g: float, baked_g: float) -> str:
    if not (0 < raw_g < math.inf and 0 < baked_g < math.inf):
        return f"{raw_g:g} g and {baked_g:g} g are not two positive weights"
    if baked_g >= raw_g:
        return f"{baked_g:g} g of bread are not less than {raw_g:g} g of dough"
    if baked_g < LEAST_KEPT * raw_g:
        return f"{baked_g:g} g of bread are less than the flour in {raw_g:g} g of dough"
    return ""


def _check_counts(pairs: Sequence[Pair], batches: Sequence[BatchMeans]) -> None:
    if len(pairs) == 1 or not (pairs or batches):
        raise NotEnoughDataError(
            f"A loss needs at least {FEWEST} marked loaves, and there are {len(pairs)}.",
            have=len(pairs),
            need=FEWEST,
            hint="Mark some pieces, weigh each raw and again baked.",
        )
    for batch in batches:
        fewest = min(batch.raw.n, batch.baked.n)
        if fewest < FEWEST:
            raise NotEnoughDataError(
                f"A batch needs at least {FEWEST} weights raw and {FEWEST} baked,"
                f" and there are {batch.raw.n} and {batch.baked.n}.",
                have=fewest,
                need=FEWEST,
                hint="Weigh more loaves of that batch.",
            )
        checked_pairs([(batch.raw.mean, batch.baked.mean)])


def _sums(batch: BatchMeans) -> Pair:
    return batch.baked.n * batch.raw.mean, batch.baked.n * batch.baked.mean


def _parts_of_pairs(pairs: Sequence[Pair], kept: float) -> list[_Part]:
    """Return the variance of the sum of baked - kept raw, as the pairs show it."""
    if len(pairs) < FEWEST:
        return []
    n = len(pairs)
    raw = _from_mean([x for x, _ in pairs])
    off = _from_mean([y - kept * x for x, y in pairs])
    times = n / (n - 1)
    return [
        _Part(
            square=times * math.fsum(u * u for u in off),
            mixed=-times * math.fsum(x * u for x, u in zip(raw, off, strict=True)),
            raw_square=times * math.fsum(x * x for x in raw),
            df=n - 1,
        )
    ]


def _parts_of_batches(
    batches: Sequence[BatchMeans], sums: Sequence[Pair], kept: float
) -> list[_Part]:
    if len(batches) != 1:
        return _parts_of_pairs(sums, kept)
    (batch,) = batches
    raw, baked = batch.raw, batch.baked
    raw_square = baked.n**2 * raw.variance / raw.n
    return [
        _Part(kept * kept * raw_square, kept * raw_square, raw_square, raw.n - 1),
        _Part(baked.n * baked.variance, 0.0, 0.0, baked.n - 1),
    ]


def _loaf_spread(
    pairs: Sequence[Pair], batches: Sequence[BatchMeans], kept: float
) -> tuple[float, float]:
    """Return the spread of single loaves about the ratio, and its degrees of freedom."""
    if pairs:
        off = _from_mean([y - kept * x for x, y in pairs])
        return math.sqrt(math.fsum(u * u for u in off) / (len(pairs) - 1)), len(pairs) - 1
    df = sum(batch.baked.n - 1 for batch in batches)
    return math.sqrt(math.fsum(batch.baked.m2 for batch in batches) / df), df


def _from_mean(values: Sequence[float]) -> list[float]:
    """Return what each lies off their mean; the sum is correctly rounded, so order is nothing."""
    mean = math.fsum(values) / len(values)
    return [value - mean for value in values]


def _satterthwaite(parts: Sequence[_Part]) -> float:
    whole = math.fsum(part.square for part in parts)
    if whole == 0:
        return min(part.df for part in parts)
    return 1 / math.fsum((part.square / whole) ** 2 / part.df for part in parts)


def _fieller(raw_g: float, kept: float, parts: Sequence[_Part], t: float) -> Interval:
    """Return the interval of the loss, worked out from the ratio outwards: nothing cancels."""
    square = t * t * math.fsum(part.square for part in parts)
    mixed = t * t * math.fsum(part.mixed for part in parts)
    certain = raw_g * raw_g - t * t * math.fsum(part.raw_square for part in parts)
    if certain <= 0:
        return 0.0, 1.0
    wide = math.sqrt(mixed * mixed + certain * square)
    low, high = kept + (mixed - wide) / certain, kept + (mixed + wide) / certain
    return max(0.0, 1 - high), min(1.0, 1 - low)

"""Charts of subgroups: means against limits from the spread within, and that spread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.charts.constants import c4, chart_constants
from weighstation.monitor.charts.signals import Signal, beyond_limits
from weighstation.monitor.weights import floats, kept, steady_mean, too_few

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.monitor.weights import Floats


@dataclass(frozen=True, slots=True, eq=False)
class SpreadChart:
    """The chart of the spread within each subgroup.

    Parameters
    ----------
    centre : float, grams
    lower, upper : float, or (m,) array of float, grams
        Control limits; one at each point where the subgroups are of unequal size.
    points : (m,) array of float, grams
        Ranges, or standard deviations.
    signals : tuple of Signal
    """

    centre: float
    lower: float | Floats
    upper: float | Floats
    points: Floats
    signals: tuple[Signal, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Subgroups:
    """A chart of subgroup means, and of the spread within.

    Parameters
    ----------
    centre : float, grams
        Mean of all weights.
    lower, upper : float, or (m,) array of float, grams
        Control limits; one at each point where the subgroups are of unequal size.
    sigma : float, grams
        Spread of single weights within a subgroup.
    points : (m,) array of float, grams
        Means.
    signals : tuple of Signal
    spread : SpreadChart
    """

    centre: float
    lower: float | Floats
    upper: float | Floats
    sigma: float
    points: Floats
    signals: tuple[Signal, ...]
    spread: SpreadChart


def xbar_r(groups: Iterable[Iterable[float]]) -> Subgroups:
    """Return the charts of means and ranges of subgroups of one size.

    Parameters
    ----------
    groups : (m, n) iterable of iterable of float, grams
        At least two subgroups of at least two weights.

    Returns
    -------
    Subgroups

    Raises
    ------
    NotEnoughDataError
        If there are fewer subgroups, or fewer weights in one.
    SpecificationError
        If the subgroups are of unequal size, or a weight is not a finite number.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 6.3.2.1:
    sigma = mean range / d2, limits of the mean +/- A2 times the mean range, of the range D3 and D4
    times it.

    Examples
    --------
    >>> charts = xbar_r([[740.0, 744.0], [741.0, 743.0], [738.0, 744.0]])
    >>> round(charts.centre, 3), round(charts.upper, 2), charts.spread.points.tolist()
    (741.667, 749.19, [4.0, 2.0, 6.0])
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    rows = _rows(groups)
    if isinstance(rows, list) and len({len(row) for row in rows}) > 1:
        raise SpecificationError(
            "A chart of ranges takes subgroups of one size.",
            hint="For unequal ones take the chart of standard deviations, xbar_s.",
        )
    table = np.asarray(rows)
    constants = chart_constants(table.shape[1])
    means, ranges = table.mean(axis=1), np.ptp(table, axis=1)
    mean_range = steady_mean(ranges)
    low, high = constants.d3_limit * mean_range, constants.d4_limit * mean_range
    odd = beyond_limits(ranges, lower=low, upper=high, noun="subgroup")
    spread = SpreadChart(mean_range, low, high, kept(ranges), odd)
    centre, reach = steady_mean(means), constants.a2 * mean_range
    lower, upper = centre - reach, centre + reach
    return Subgroups(
        centre,
        lower,
        upper,
        mean_range / constants.d2,
        kept(means),
        beyond_limits(means, lower=lower, upper=upper, noun="subgroup"),
        spread,
    )


def xbar_s(groups: Iterable[Iterable[float]]) -> Subgroups:
    """Return the charts of means and standard deviations of subgroups, of any sizes.

    Parameters
    ----------
    groups : (m,) iterable of (n,) iterable of float, grams
        At least two subgroups of at least two weights.

    Returns
    -------
    Subgroups

    Raises
    ------
    NotEnoughDataError
        If there are fewer subgroups, or fewer weights in one.
    SpecificationError
        If a weight is not a finite number.

    Notes
    -----
    As `xbar_s_of` says.

    Examples
    --------
    >>> charts = xbar_s([[740.0, 744.0], [741.0, 743.0, 742.0], [738.0, 744.0]])
    >>> charts.centre, charts.points.tolist()
    (741.7142857142857, [742.0, 742.0, 741.0])
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    rows = _rows(groups)
    tables = [row[None, :] for row in rows] if isinstance(rows, list) else [rows]
    sizes = np.concatenate([np.full(len(table), table.shape[1]) for table in tables])
    parts = [_mean_and_sd(table) for table in tables]
    means, sds = (np.concatenate(each) for each in zip(*parts, strict=True))
    return xbar_s_of(means, sds, sizes)


def _mean_and_sd(table: Floats) -> tuple[Floats, Floats]:
    """Return mean and sample standard deviation of each row; 0 where all are equal."""
    off = table - table[:, :1]
    return table[:, 0] + off.mean(axis=1), off.std(axis=1, ddof=1)


def xbar_s_of(
    means: Iterable[float],
    sds: Iterable[float],
    sizes: Iterable[int],
    *,
    numbers: Sequence[int] | None = None,
    noun: str = "subgroup",
) -> Subgroups:
    """Return the charts of means and standard deviations from what is known of each subgroup.

    Parameters
    ----------
    means, sds : (m,) iterable of float, grams
        Mean and sample standard deviation of each.
    sizes : (m,) iterable of int
        Weights in each, at least two.
    numbers : (m,) sequence of int or None
        What the subgroups are called in the sentences; None counts them from 1.
    noun : str
        What one of them is.

    Returns
    -------
    Subgroups

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two subgroups, or fewer than two weights in one.
    SpecificationError
        If there is not one mean, deviation and size for each, or one of them makes no sense.

    Notes
    -----
    Montgomery, Introduction to Statistical Quality Control, section 6.3 (from memory). Of equal
    size: s is the mean of the standard deviations. Of unequal size (6.3.2 there): the mean is
    weighted by the sizes, s is the root of the weighted mean of the variances, and each point has
    limits of its own size. Limits of the mean: +/- A3 s; of the standard deviation: B3 s and B4 s.
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    points = floats(means, what="A chart of means", least=0)
    spreads = floats(sds, what="A chart of standard deviations", least=0)
    counts = floats(sizes, what="A chart of subgroups", least=0)
    whole = bool((counts == np.floor(counts)).all())
    if not len(points) == len(spreads) == len(counts) or (spreads < 0).any() or not whole:
        raise SpecificationError(
            "Give each subgroup one mean, one deviation from 0 up, and one size, a whole number."
        )
    _require_two(len(counts))
    if counts.min() < 2:
        raise too_few(int(counts.min()), what="Each subgroup", need=2)
    equal = bool((counts == counts[0]).all())
    if equal:
        centre, s = steady_mean(points), steady_mean(spreads)
    else:
        centre = steady_mean(points, weights=counts)
        s = float(np.sqrt(((counts - 1) * spreads**2).sum() / (counts - 1).sum()))
    known, at = np.unique(counts, return_inverse=True)
    shares = np.array([c4(int(n)) for n in known])[at]
    reach = 3 * s / (shares * np.sqrt(counts))
    s_reach = 3 * s * np.sqrt(1 - shares**2) / shares
    lines = (centre - reach, centre + reach, np.maximum(0.0, s - s_reach), s + s_reach)
    lower, upper, low, high = (float(line[0]) if equal else kept(line) for line in lines)
    odd = beyond_limits(spreads, lower=low, upper=high, numbers=numbers, noun=noun)
    return Subgroups(
        centre,
        lower,
        upper,
        s / float(shares[0]) if equal else s,
        kept(points),
        beyond_limits(points, lower=lower, upper=upper, numbers=numbers, noun=noun),
        SpreadChart(s, low, high, kept(spreads), odd),
    )


def _rows(groups: Iterable[Iterable[float]]) -> list[Floats] | Floats:
    """Return the subgroups, as one table where they came as one."""
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    if isinstance(groups, np.ndarray) and groups.ndim == 2 and groups.shape[1] >= 2:
        size = groups.shape[1]
        table = floats(groups.ravel(), what="A chart of subgroups").reshape(-1, size)
        rows: list[Floats] | Floats = table
    else:
        try:
            each = list(groups)
        except TypeError as exc:
            raise SpecificationError(
                "A chart of subgroups takes rows of numbers, one for each."
            ) from exc
        rows = [floats(group, what="Each subgroup", least=2) for group in each]
    _require_two(len(rows))
    return rows


def _require_two(count: int) -> None:
    if count < 2:
        raise NotEnoughDataError(
            f"A chart of subgroups needs at least 2 of them, and not {count}.", have=count, need=2
        )

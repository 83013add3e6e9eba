"""A chart of single first cuts -> the lines that are drawn of it, each with its signals."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.monitor import Rule, beyond_limits, cusum, ewma, run_rules
from weighstation.report.charts.control import Track, floats, level_track

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.monitor import Individuals

LAM, WIDTH = 0.2, 2.962
"""An EWMA that rings once in 500 good points (Lucas and Saccucci, 1990, from memory)."""
K, H = 0.5, 5.0
"""A CUSUM that rings once in 465 good points (Lucas, 1976, from memory)."""


def individuals_tracks(
    chart: Individuals, rules: Sequence[Rule], numbers: Sequence[int]
) -> tuple[Track, ...]:
    """Return single first cuts and their moving range, with what breaks a rule.

    Parameters
    ----------
    chart : Individuals
    rules : sequence of Rule
        Patterns that are looked for besides points beyond the limits.
    numbers : (n,) sequence of int
        Of the pieces.

    Returns
    -------
    tuple of (Track, Track)
    """
    patterns = [rule for rule in rules if rule is not Rule.BEYOND_3_SIGMA]  # those are the limits
    found = chart.signals + run_rules(
        chart.points, centre=chart.centre, sigma=chart.sigma, rules=patterns, numbers=numbers
    )
    steps = beyond_limits(
        chart.moving_range,
        lower=0.0,
        upper=chart.range_upper,
        numbers=numbers[1:],
        noun="step to piece",
    )
    lines = (chart.centre, chart.lower, chart.upper)
    ranges = (chart.range_centre, 0.0, chart.range_upper)
    return (
        level_track("first cut", chart.points, lines, found),
        level_track("moving range", chart.moving_range, ranges, steps, start=1),
    )


def ewma_track(chart: Individuals, target_g: float, numbers: Sequence[int]) -> Track:
    """Return the exponentially weighted average of first cuts.

    Parameters
    ----------
    chart : Individuals
    target_g : float, grams
    numbers : (n,) sequence of int
        Of the pieces.

    Returns
    -------
    Track
    """
    average = ewma(
        chart.points, lam=LAM, L=WIDTH, target=target_g, sigma=chart.sigma, numbers=numbers
    )
    return Track(
        "average of first cuts",
        floats(average.points),
        (target_g,) * len(numbers),
        floats(average.lower),
        floats(average.upper),
        average.signals,
    )


def cusum_tracks(chart: Individuals, target_g: float, numbers: Sequence[int]) -> tuple[Track, ...]:
    """Return the sums of what first cuts were too heavy and too light.

    Parameters
    ----------
    chart : Individuals
    target_g : float, grams
    numbers : (n,) sequence of int
        Of the pieces.

    Returns
    -------
    tuple of (Track, Track)
    """
    sums = cusum(chart.points, target=target_g, sigma=chart.sigma, k=K, h=H, numbers=numbers)
    lines = (0.0, 0.0, sums.limit)
    return tuple(
        level_track(name, points, lines, [one for one in sums.signals if one.side == side])
        for name, points, side in (("sum of heavy", sums.high, 1), ("sum of light", sums.low, -1))
    )

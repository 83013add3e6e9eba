"""Percentiles of a sample by the p (n + 1) rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.monitor.given import checked_share
from weighstation.monitor.sample import checked

if TYPE_CHECKING:
    from collections.abc import Iterable


def percentile(x: Iterable[float], *, share: float) -> float:
    """Return the weight below which a share of the sample lies.

    Parameters
    ----------
    x : (n,) float, grams
        At least two.
    share : float
        Between 0 and 1.

    Returns
    -------
    float, grams

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two weights.
    SpecificationError
        If a weight is not a finite number, or the share is none.

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189, section 7.2.6.2:
    ``share (n + 1)`` is a place among the ordered weights, and between two of them it is drawn
    straight; before the first and beyond the last it is that weight. Other rules differ.
    """
    checked_share(share)
    ordered = sorted(checked(x, what="A percentile").points)
    whole, part = divmod(share * (len(ordered) + 1), 1)
    place = int(whole)
    if place < 1:
        return ordered[0]
    if place >= len(ordered):
        return ordered[-1]
    below, above = ordered[place - 1], ordered[place]
    return below + part * (above - below)

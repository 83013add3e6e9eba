"""A row of weeks -> where something rose steadily, and then was put right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

SHORTEST, LONGEST = 5, 15
"""Weeks that are tried."""


@dataclass(frozen=True)
class Ramp:
    """A rise that ends at once.

    Parameters
    ----------
    first, until : int
        Place of the first week, and of the first after it.
    slope : float, units of the row per week
    explained : float
        What it explains of the sum of squares about the mean.
    """

    first: int
    until: int
    slope: float
    explained: float


def best_ramp(row: Sequence[float]) -> Ramp:
    """Return the rise that fits best: least squares over every place and every length."""
    weeks = np.asarray(row, dtype=float)
    about_mean = float(((weeks - weeks.mean()) ** 2).sum())
    found = []
    for length in range(SHORTEST, LONGEST + 1):
        for first in range(len(weeks) - length):
            ramp = np.zeros(len(weeks))
            ramp[first : first + length] = np.arange(1, length + 1)
            design = np.column_stack([np.ones(len(weeks)), ramp])
            (_, slope), left, *_ = np.linalg.lstsq(design, weeks, rcond=None)
            found.append((float(left[0]), first, length, float(slope)))
    left_over, first, length, slope = min(found)
    return Ramp(first, first + length, slope, 1 - left_over / about_mean)

"""Average run lengths as they were published, and a trial of one of our charts."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from weighstation.monitor import Signal

SHIFTS = (0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.4, 2.0, 3.0)
# Champ and Woodall, Technometrics 29 (1987) 393 (from memory, recomputed by a chain of our own in
# another language); the 91.75 read in a copy.
ZONE_RULES = {
    (1,): (370.40, 308.43, 200.08, 119.67, 71.55, 43.89, 18.25, 6.30, 2.00),
    (1, 2): (225.44, 177.56, 104.46, 57.92, 33.12, 20.01, 8.69, 3.65, 1.68),
    (1, 3): (166.05, 120.70, 63.88, 33.99, 19.78, 12.66, 6.62, 3.68, 1.89),
    (1, 4): (152.73, 110.52, 59.76, 33.64, 21.07, 14.58, 8.60, 4.89, 1.99),
    (1, 2, 3): (132.89, 97.86, 52.93, 28.70, 16.93, 10.95, 5.75, 3.14, 1.67),
    (1, 2, 4): (122.05, 89.14, 48.71, 27.49, 17.14, 11.73, 6.63, 3.50, 1.68),
    (1, 3, 4): (105.78, 76.01, 40.95, 23.16, 14.62, 10.19, 6.08, 3.65, 1.89),
    (1, 2, 3, 4): (91.75, 66.80, 36.61, 20.91, 13.25, 9.22, 5.42, 3.13, 1.67),
}
# Lucas, Journal of Quality Technology 8 (1976) 1, in Montgomery's table 9.3 (from memory): k 0.5.
CUSUM_SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4)
CUSUM = {
    4: (168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71),
    5: (465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 3.11, 2.57, 2.01),
}
# Lucas and Saccucci, Technometrics 32 (1990) 1 (from memory).
EWMA_SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 3)
EWMA = {
    (0.40, 3.054): (500, 224, 71.2, 28.4, 14.3, 5.9, 3.5, 2.0),
    (0.25, 2.998): (500, 170, 48.2, 20.1, 11.1, 5.5, 3.6, 2.3),
    (0.20, 2.962): (500, 150, 41.8, 18.2, 10.5, 5.5, 3.7, 2.4),
    (0.10, 2.814): (500, 106, 31.3, 15.9, 10.3, 6.1, 4.4, 2.9),
    (0.05, 2.615): (500, 84.1, 28.8, 16.4, 11.4, 7.1, 5.2, 3.5),
}


def mean_run_length(
    signals: Callable[[np.ndarray], Sequence[Signal]], expected: float, *, runs: int, seed: int
) -> tuple[float, float]:
    """Return the mean of so many run lengths of one of our charts, and its standard error."""
    draw = np.random.default_rng(seed)
    lengths = []
    for _ in range(runs):
        z = draw.standard_normal(int(2 * expected) + 20)
        while not (found := signals(z)):
            z = np.concatenate((z, draw.standard_normal(len(z))))
        lengths.append(found[0].index + 1)
    return float(np.mean(lengths)), float(np.std(lengths, ddof=1)) / math.sqrt(runs)

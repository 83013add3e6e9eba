"""First cuts of simulated doughs, each cut a little like the one before it."""

from __future__ import annotations

import math

import numpy as np

TARGET_G, SPREAD_G = 740.0, 8.0
_BEFORE = 20


def cuts(doughs: int, pieces: int, *, lag_1: float, seed: int) -> np.ndarray:
    """Return first cuts in grams, doughs by pieces, with a lag-1 autocorrelation."""
    draw = np.random.default_rng(seed)
    z = draw.standard_normal((doughs, pieces + _BEFORE))
    for place in range(1, pieces + _BEFORE):
        z[:, place] = lag_1 * z[:, place - 1] + math.sqrt(1 - lag_1**2) * z[:, place]
    return TARGET_G + SPREAD_G * z[:, _BEFORE:]

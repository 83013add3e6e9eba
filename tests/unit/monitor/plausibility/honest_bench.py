"""An honest bench in few lines: cuts that hang together, a division, a band and corrections."""

from __future__ import annotations

import math
from random import Random

from weighstation.specification import Limits

LIMITS = Limits(740_000, 8000, 8000)


def first_cuts(n: int, *, seed: int, sd_g: float = 15.0, agreement: float = 0.3) -> list[int]:
    """Return first cuts to the gram, in milligrams."""
    rng = Random(f"{seed} cuts")
    error, cuts = rng.gauss(0.0, 1.0), []
    for _ in range(n):
        error = agreement * error + math.sqrt(1 - agreement**2) * rng.gauss(0.0, 1.0)
        cuts.append(1000 * round(743 + sd_g * error))
    return cuts


def kept(cuts_mg: list[int], *, seed: int) -> list[int]:
    """Return what a hand makes of first cuts: those out of band are brought near the target."""
    rng = Random(f"{seed} hands")
    low, high = LIMITS.target_mg - LIMITS.under_mg, LIMITS.target_mg + LIMITS.over_mg
    return [cut if low <= cut <= high else 1000 * round(rng.gauss(740, 2.5)) for cut in cuts_mg]

"""What is known of a product -> where its least lawful weight lies, or why nobody can say."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.distributions import t_quantile
from weighstation.monitor.process.intervals import sd_interval
from weighstation.plan import LossLaw
from weighstation.plan.loss.batch_spread import ENOUGH
from weighstation.quantities import MG_PER_G, grams

if TYPE_CHECKING:
    from weighstation.plan import BatchSpread, Evenness
    from weighstation.report.giveaway.basis import Known

Reach = tuple[float, float]
"""How far down and up something may lie, in milligrams."""

CONFIDENCE = 0.95
LOTS_NEEDED = 5
"""The fewest lots from which lots may differ by less than three times what they were seen to.

That is the upper end of the 95 % interval of a standard deviation, ``root(f / chi2)`` with one
degree of freedom less than lots: 31.9 times for two lots, 6.3 for three, 3.7 for four, 2.9 for
five. To go as far as three times is a house figure.
"""
_NOT_SURE = "How sure the least lawful weight is cannot be said: "
_ASSUMED = (
    "too few baked loaves were weighed in these days, so how unevenly they bake is assumed. It"
    f" takes {ENOUGH - 1 + LOTS_NEEDED} loaves, of {LOTS_NEEDED} lots."
)
_NOT_MEASURED = (
    "the baking loss is taken from products.toml and was not measured for loaves of this weight."
)
_TOO_FAR = "lots differ so much that it may lie beyond any loaf that was weighed here."


def lawful_range(known: Known, lawful_mg: int) -> tuple[tuple[int, int] | None, str]:
    """Return where the least lawful scaling weight lies, as far as loss and spread were measured.

    Parameters
    ----------
    known : Known
    lawful_mg : int, milligrams
        The least lawful scaling weight.

    Returns
    -------
    (low, high) tuple of int, milligrams, or None
        At 95 %; None where something was assumed, or lots were too few.
    str
        Why there is none, in one plain sentence; empty where there is one.

    Notes
    -----
    It takes the spread at both ends of its 95 % interval, ``s root((n - 1) / chi2)`` (textbook, for
    normal weights), the wander of lots at both ends of the interval of their means' variance less
    what single weights explain of it, and the loss at both ends of its own, widened by what so few
    lots leave open, ``t wander / root(lots)``; the distances are squared and added (Zou and Donner,
    Statistics in Medicine 27 (2008) 1693, from memory). What is assumed has no such ends.
    """
    loaves = known.loaves
    if loaves is None:
        return None, f"{_NOT_SURE}{_ASSUMED}"
    if loaves.batches < LOTS_NEEDED:
        return None, f"{_NOT_SURE}{_too_few(loaves.batches)}"
    if known.loss.law is LossLaw.STAGES:
        return None, f"{_NOT_SURE}{_NOT_MEASURED}"
    try:
        parts = [_spread_mg(known, loaves), _wander_mg(known, loaves), _loss_mg(known, loaves)]
    except SpecificationError:
        return None, f"{_NOT_SURE}{_TOO_FAR}"
    low, high = (math.hypot(*ends) for ends in zip(*parts, strict=True))
    return (lawful_mg - round(low), lawful_mg + round(high)), ""


def _too_few(lots: int) -> str:
    weighed = "of 1 lot was" if lots == 1 else f"of {lots} lots was"
    return (
        f"too few lots. Baked bread {weighed} weighed in these days; it takes {LOTS_NEEDED} lots."
    )


def _spread_mg(known: Known, loaves: BatchSpread) -> Reach:
    """Return how far single weights' spread leaves it open, down and up."""
    whole = known.evenness
    factors = _sd_factors(loaves.n - loaves.batches)
    low, high = (replace(whole, sd_g=whole.sd_g * factor) for factor in factors)
    return _reach_mg(known, low, high)


def _wander_mg(known: Known, loaves: BatchSpread) -> Reach:
    """Return how far the wander from lot to lot leaves it open, down and up."""
    within_g2 = loaves.sd_g**2 * loaves.batches / loaves.n
    among_g2 = loaves.wander_g**2 + within_g2
    low, high = (
        replace(known.evenness, batch_sd_g=math.sqrt(max(0.0, among_g2 * factor**2 - within_g2)))
        for factor in _sd_factors(loaves.batches - 1)
    )
    return _reach_mg(known, low, high)


def _reach_mg(known: Known, low: Evenness, high: Evenness) -> Reach:
    """Return by how much the least lawful weight is less and more for other spreads."""
    middle, less, more = (known.lawful_mg(each) for each in (known.evenness, low, high))
    return max(0.0, middle - less), max(0.0, more - middle)


def _loss_mg(known: Known, loaves: BatchSpread) -> Reach:
    """Return how far the loss leaves it open: of single loaves, and of the lots they are of."""
    at_g, interval_g = known.loss.scaling_g(grams(known.declared_mg))
    t = t_quantile((1 + CONFIDENCE) / 2, df=loaves.batches - 1)
    kept = grams(known.declared_mg) / at_g
    lots_mg = MG_PER_G * t * loaves.wander_g / math.sqrt(loaves.batches) / kept
    low, high = (MG_PER_G * abs(end_g - at_g) for end_g in interval_g or (at_g, at_g))
    return math.hypot(low, lots_mg), math.hypot(high, lots_mg)


def _sd_factors(freedom: int) -> tuple[float, float]:
    """Return what a spread is multiplied by at the ends of its interval."""
    return sd_interval(1.0, n=freedom + 1, confidence=CONFIDENCE)

"""How much a piece may be short of its nominal quantity."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantity.rule_file import rule_of

if TYPE_CHECKING:
    from weighstation.quantity.rule import Band, QuantityRule


def exact_g(grams: float, what: str) -> Fraction:
    """Return grams as they are written in decimals, without a double's noise.

    Parameters
    ----------
    grams : float, grams
    what : str
        How the sentence begins if it makes no sense.

    Returns
    -------
    Fraction, grams

    Raises
    ------
    SpecificationError
        If it is not a finite number from 0 up.
    """
    if not (math.isfinite(grams) and grams >= 0):
        raise SpecificationError(f"{what} is a number of grams from 0 up, not {grams}.")
    return Fraction(repr(float(grams)))


def tolerable_deficiency(nominal_g: float, *, rule: str | QuantityRule) -> float:
    """Return by how much a piece may be short of its nominal quantity.

    Parameters
    ----------
    nominal_g : float, grams
    rule : str or QuantityRule
        ``oiml-r87``, ``eu-76-211``, ``nist-hb133``, or one that was read.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If the rule is unknown, or has no value for this nominal quantity.

    Notes
    -----
    The table and the rounding of the rule's own file, which names their source.

    Examples
    --------
    >>> tolerable_deficiency(800, rule="eu-76-211"), tolerable_deficiency(1250, rule="oiml-r87")
    (15.0, 19.0)
    """
    return float(exact_deficiency(exact_g(nominal_g, "A nominal quantity"), rule_of(rule)))


def exact_deficiency(nominal_g: Fraction, rule: QuantityRule) -> Fraction:
    """Return the tolerable deficiency as a fraction.

    Parameters
    ----------
    nominal_g : Fraction, grams
    rule : QuantityRule

    Returns
    -------
    Fraction, grams

    Raises
    ------
    SpecificationError
        If the rule has no value for this nominal quantity.
    """
    band = next((band for band in rule.bands if _belongs(nominal_g, band, rule)), None)
    if band is None or nominal_g < rule.least_g or not nominal_g:
        raise SpecificationError(
            f"The rule '{rule.name}' has no tolerable deficiency for {float(nominal_g):g} g.",
            hint=f"It is for {float(rule.least_g):g} to {float(rule.bands[-1].to_g):g} g.",
        )
    raw = band.fixed_g if band.fixed_g is not None else nominal_g * (band.percent or 0) / 100
    step = next((step for to_g, step in rule.rounding if nominal_g <= to_g), None)
    return raw if step is None else math.ceil(raw / step) * step


def _belongs(nominal_g: Fraction, band: Band, rule: QuantityRule) -> bool:
    return nominal_g < band.to_g if rule.takes_edge_below else nominal_g <= band.to_g

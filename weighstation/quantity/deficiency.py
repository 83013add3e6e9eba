"""How much a piece may be short of its nominal quantity."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantity.checked import exact_g
from weighstation.quantity.rule_file import rule_of

if TYPE_CHECKING:
    from fractions import Fraction

    from weighstation.quantity.rule import Band, QuantityRule


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
            f"The rule '{rule.name}' has no tolerable deficiency for {_said_g(nominal_g)} g.",
            hint=f"It is for {_range_g(rule)} g.",
        )
    raw = band.fixed_g if band.fixed_g is not None else nominal_g * (band.percent or 0) / 100
    step = next((step for to_g, step in rule.rounding if nominal_g <= to_g), None)
    return raw if step is None else math.ceil(raw / step) * step


def _belongs(nominal_g: Fraction, band: Band, rule: QuantityRule) -> bool:
    return nominal_g < band.to_g if rule.takes_edge_below else nominal_g <= band.to_g


def _range_g(rule: QuantityRule) -> str:
    first = f"{_said_g(rule.least_g)} or more" if rule.least_g else "more than 0"
    last = "less than" if rule.takes_edge_below else "at most"
    return f"{first} and {last} {_said_g(rule.bands[-1].to_g)}"


def _said_g(grams: Fraction) -> str:
    return f"{float(grams):.10g}"

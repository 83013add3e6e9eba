"""The place where a rising or falling function is zero."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Callable

MOST_STEPS = 300
"""Halving alone finds any double in fewer steps than this from any bracket we start with."""

RELATIVE = 2**-52

FURTHEST = 1e12
"""No quantile or factor of ours is looked for beyond this."""


def root(function: Callable[[float], float], start: float, *, step: float = 1.0) -> float:
    """Return where a function that only rises or only falls is zero.

    Parameters
    ----------
    function : callable
        One number in, one number out; infinities are allowed as values.
    start : float
        A guess, near which the function is finite.
    step : float
        Where to look next; doubled until the zero lies between.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If no zero is found however far one looks.

    Notes
    -----
    T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for finding the zero of a
    nonlinear function without using derivatives", Advances in Engineering Software 28 (1997)
    145 (from memory).
    """
    near, far = _bracket(function, start, step)
    a, fa, b, fb = *far, *near
    c, fc = a, fa
    t = 0.5
    for _ in range(MOST_STEPS):
        x = a + t * (b - a)
        fx = function(x)
        if (fx > 0) == (fa > 0):
            c, fc = a, fa
        else:
            c, b, fc, fb = b, a, fb, fa
        a, fa = x, fx
        best = a if abs(fa) < abs(fb) else b
        smallest = RELATIVE * abs(best) + 1e-300
        t_least = smallest / abs(b - a) if b != a else 1.0
        if fa == 0 or fb == 0 or t_least > 0.5:
            return a if fa == 0 else b if fb == 0 else best
        t = min(1 - t_least, max(t_least, _share(a, b, c, (fa, fb, fc))))
    return best


def _share(a: float, b: float, c: float, values: tuple[float, float, float]) -> float:
    """Return how far to go from a to b: by inverse quadratic interpolation where it is safe."""
    fa, fb, fc = values
    if not (math.isfinite(fa) and math.isfinite(fb) and math.isfinite(fc)) or c == b:
        return 0.5
    xi = (a - b) / (c - b)
    phi = (fa - fb) / (fc - fb) if fc != fb else 1.0
    if not (phi**2 < xi and (1 - phi) ** 2 < 1 - xi):
        return 0.5
    first = fa / (fb - fa) * fc / (fb - fc)
    return first + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)


def _bracket(
    function: Callable[[float], float], start: float, step: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return two places, with their values, between which the sign changes."""
    low, high = start - step, start + step
    at_low, at_high = function(low), function(high)
    while (at_low > 0) == (at_high > 0):
        step *= 2
        if step > FURTHEST:
            raise SpecificationError("That is too far out to be worked out as a number.")
        if abs(at_low) < abs(at_high):
            low, high, at_high = low - step, low, at_low
            at_low = function(low)
        else:
            low, high, at_low = high, high + step, at_high
            at_high = function(high)
    return (low, at_low), (high, at_high)

"""The incomplete gamma and beta functions, from which the distributions are made."""

from __future__ import annotations

import math

SETTLED = 1e-17
"""A sum or a continued fraction is done when its last step changes it by less than this part."""

MOST_STEPS = 1_000_000
"""More steps than any argument needs for which a double still means something."""

TINY = 1e-300
"""Stands in for a zero denominator in a continued fraction (modified Lentz)."""

STIRLING = (1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156)


def stirling_error(z: float) -> float:
    """Return ln Gamma(z + 1) less Stirling's formula for it.

    Parameters
    ----------
    z : float
        Positive.

    Returns
    -------
    float

    Notes
    -----
    ``ln Gamma(z + 1) - (z + 1/2) ln z + z - ln(2 pi) / 2``; above 15 by Stirling's series, NIST
    Digital Library of Mathematical Functions 5.11.1 (from memory). The use of it is
    C. Loader's, "Fast and accurate computation of binomial probabilities", 2000 (from memory):
    no large logarithm is left to cancel.
    """
    if z < 15:
        return math.lgamma(z + 1) - (z + 0.5) * math.log(z) + z - math.log(2 * math.pi) / 2
    return math.fsum(term / z ** (2 * place + 1) for place, term in enumerate(STIRLING))


def deviance(x: float, mean: float) -> float:
    """Return ``x ln(x / mean) + mean - x`` without loss where both are nearly equal.

    Parameters
    ----------
    x, mean : float
        Positive.

    Returns
    -------
    float

    Notes
    -----
    Loader, as in `stirling_error`: near 1 the logarithm is the series of ``atanh``.
    """
    if abs(x - mean) >= 0.1 * (x + mean):
        return x * math.log(x / mean) + mean - x
    v = (x - mean) / (x + mean)
    total, term, odd = (x - mean) * v, 2 * x * v, 1
    while True:
        term *= v * v
        odd += 2
        more = total + term / odd
        if more == total:
            return total
        total = more


def gamma_tails(a: float, x: float) -> tuple[float, float]:
    """Return the regularised incomplete gamma functions P(a, x) and Q(a, x).

    Parameters
    ----------
    a : float
        Positive.
    x : float
        Not negative.

    Returns
    -------
    tuple of float
        Lower and upper; the smaller one carries the accuracy, the other is its complement.

    Notes
    -----
    Series 8.11.4 and continued fraction 8.9.2 of the NIST Digital Library of Mathematical
    Functions (from memory).
    """
    if x <= 0:
        return 0.0, 1.0
    if math.isinf(x):
        return 1.0, 0.0
    front = math.exp(-stirling_error(a) - deviance(a, x)) / math.sqrt(2 * math.pi * a)
    if x < a + 1:
        lower = front * _gamma_series(a, x)
        return lower, 1 - lower
    upper = front * a * _gamma_fraction(a, x)
    return 1 - upper, upper


def _gamma_series(a: float, x: float) -> float:
    """Return the sum of x^n / ((a + 1) ... (a + n)) from n = 0."""
    total = term = 1.0
    for step in range(1, MOST_STEPS):
        term *= x / (a + step)
        total += term
        if term < total * SETTLED:
            break
    return total


def _gamma_fraction(a: float, x: float) -> float:
    """Return Gamma(a, x) e^x / x^a."""
    b = x + 1 - a
    c, d = 1 / TINY, 1 / b
    fraction = d
    for step in range(1, MOST_STEPS):
        top = -step * (step - a)
        b += 2
        d = 1 / (top * d + b or TINY)
        c = b + top / c or TINY
        fraction *= c * d
        if abs(c * d - 1) < 2e-16:
            break
    return fraction


def beta_tails(a: float, b: float, *, x: float, rest: float) -> tuple[float, float]:
    """Return the regularised incomplete beta function I_x(a, b) and its complement.

    Parameters
    ----------
    a, b : float
        Positive.
    x, rest : float
        From 0 to 1; ``rest`` is 1 - x, given apart so that neither is rounded away.

    Returns
    -------
    tuple of float
        I_x(a, b) and I_rest(b, a); the one below the mean carries the accuracy.

    Notes
    -----
    Continued fraction 8.17.22 of the NIST Digital Library of Mathematical Functions (from
    memory) on the side where it converges quickly, with Loader's binomial term before it.
    """
    if x <= 0 or rest <= 0:
        return (0.0, 1.0) if x <= 0 else (1.0, 0.0)
    if x * (a + b + 2) < a + 1:
        lower = binomial_term(a, b, p=x, q=rest) * b / (a + b) * _beta_fraction(a, b, x)
        return lower, 1 - lower
    upper = binomial_term(b, a, p=rest, q=x) * a / (a + b) * _beta_fraction(b, a, rest)
    return 1 - upper, upper


def binomial_term(hits: float, misses: float, *, p: float, q: float) -> float:
    """Return the chance of that many hits and misses; real numbers are allowed for them.

    Parameters
    ----------
    hits, misses : float
        Positive.
    p, q : float
        Chance of a hit and of a miss, with sum 1.

    Returns
    -------
    float

    Notes
    -----
    Loader, as in `stirling_error`.
    """
    n = hits + misses
    errors = stirling_error(n) - stirling_error(hits) - stirling_error(misses)
    apart = deviance(hits, n * p) + deviance(misses, n * q)
    return math.exp(errors - apart) * math.sqrt(n / (2 * math.pi * hits * misses))


def _beta_fraction(a: float, b: float, x: float) -> float:
    """Return I_x(a, b) over x^a (1 - x)^b / (a B(a, b))."""
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1) or TINY)
    fraction = d
    for m in range(1, MOST_STEPS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        step = 1.0
        for top in (even, odd):
            d = 1 / (1 + top * d or TINY)
            c = 1 + top / c or TINY
            step = c * d
            fraction *= step
        if abs(step - 1) < 2e-16:
            break
    return fraction

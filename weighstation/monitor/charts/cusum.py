"""The cumulative sum: small shifts add up until they show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.charts.signals import Numbers, Rule, Signal
from weighstation.monitor.given import positive
from weighstation.monitor.weights import floats, kept
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.monitor.weights import Floats

_CHUNK = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Cusum:
    """A tabular CUSUM, in the unit of its weights.

    Parameters
    ----------
    high, low : (n,) array of float, grams
        Sums of what is heavier and lighter than the target by more than the allowance; both from
        0 up.
    limit : float, grams
        A sum above it signals.
    signals : tuple of Signal
        Where a sum comes to lie above the limit; while it stays there, no more.
    """

    high: Floats
    low: Floats
    limit: float
    signals: tuple[Signal, ...]


def cusum(  # noqa: PLR0913 - the paper's parameters
    x: Iterable[float],
    *,
    target: float,
    sigma: float,
    k: float,
    h: float,
    head_start: float = 0.0,
    numbers: Sequence[int] | None = None,
) -> Cusum:
    """Return the two-sided tabular CUSUM of a run of weights.

    Parameters
    ----------
    x : (n,) iterable of float, grams
        At least one.
    target : float, grams
    sigma : float, grams
        Spread of single weights.
    k, h : float
        Allowance and limit, in ``sigma``.
    head_start : float
        Where both sums start, in ``sigma``; half of ``h`` is usual where a start is suspect.
    numbers : (n,) sequence of int or None
        What the points are called in the sentences; None counts them from 1.

    Returns
    -------
    Cusum

    Raises
    ------
    NotEnoughDataError
        If there is no weight.
    SpecificationError
        If a number makes no sense, or a weight is not a finite number.

    Notes
    -----
    high_i = max(0, high_(i-1) + x_i - target - k sigma), low_i = max(0, low_(i-1) + target - x_i
    - k sigma); a signal where one is above h sigma. Page, Biometrika 41 (1954) 100; head start:
    Lucas and Crosier, Technometrics 24 (1982) 199 (both from memory); NIST/SEMATECH e-Handbook of
    Statistical Methods, doi:10.18434/M32189, section 6.3.2.3.

    Examples
    --------
    >>> sums = cusum([324.925, 324.675], target=325, sigma=1, k=0.3175, h=4.1959)
    >>> [round(float(low), 4) for low in sums.low]
    [0.0, 0.0075]
    """
    sizes = checked_sums(target=target, sigma=sigma, k=k, h=h, head_start=head_start)
    allowance, limit, start = sizes
    errors = floats(x, what="A CUSUM") - target
    names = Numbers(numbers, len(errors))
    high = _sums(errors - allowance, start)
    low = _sums(-errors - allowance, start)
    signals = sorted(
        (*_above(high, limit, 1, names), *_above(low, limit, -1, names)),
        key=lambda signal: signal.index,
    )
    return Cusum(kept(high), kept(low), limit, tuple(signals))


def checked_sums(
    *, target: float, sigma: float, k: float, h: float, head_start: float
) -> tuple[float, float, float]:
    """Return allowance, limit and start in the unit of the weights.

    Parameters
    ----------
    target, sigma : float, grams
    k, h, head_start : float
        In ``sigma``.

    Returns
    -------
    (3,) tuple of float, grams

    Raises
    ------
    SpecificationError
        If one makes no sense.
    """
    positive(sigma, "sigma")
    positive(h, "h")
    if not (is_number(target, k) and k >= 0):
        raise SpecificationError("target must be a finite number, and k one from 0 up.")
    if not (is_number(head_start) and 0 <= head_start < h):
        raise SpecificationError(
            f"head_start must be from 0 up and below h, not {in_words(head_start)}."
        )
    return k * sigma, h * sigma, head_start * sigma


def _sums(steps: Floats, start: float) -> Floats:
    """Return the sums that never fall below 0, in chunks so that no digits are lost on the way."""
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    sums = np.empty(len(steps))
    carried = start
    for begin in range(0, len(steps), _CHUNK):
        walk = np.cumsum(steps[begin : begin + _CHUNK]) + carried
        lowest = np.minimum(np.minimum.accumulate(walk), 0.0)
        sums[begin : begin + _CHUNK] = walk - lowest
        carried = float(sums[min(begin + _CHUNK, len(steps)) - 1])
    return sums


def _above(sums: Floats, limit: float, side: int, names: Numbers) -> list[Signal]:
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    above = sums > limit
    begins = np.flatnonzero(above & ~np.concatenate(([False], above[:-1])))
    zeros = np.concatenate(([-1], np.flatnonzero(sums == 0)))
    firsts = zeros[np.searchsorted(zeros, begins) - 1] + 1
    found = []
    for index, first in zip(begins.tolist(), firsts.tolist(), strict=True):
        text = sum_text(names.span(first, index), side)
        found.append(Signal(index, Rule.SUM_OF_DEVIATIONS, text, first, side))
    return found


def sum_text(span: str, side: int) -> str:
    """Return the sentence of a sum that has come above its limit.

    Parameters
    ----------
    span : str
        Which points, in words.
    side : int
        1 where they are heavy, -1 where they are light.

    Returns
    -------
    str
    """
    which = "heavier" if side > 0 else "lighter"
    return f"{span} have together been {which} than the target by more than chance."

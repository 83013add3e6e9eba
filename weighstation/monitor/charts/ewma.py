"""The exponentially weighted moving average: a chart that remembers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.charts.signals import Signal, beyond_limits
from weighstation.monitor.given import positive
from weighstation.monitor.weights import floats, kept
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.monitor.weights import Floats

_BLOCK = 32
_DOUBLE = 54 * math.log(2)
"""1 and 1 - 2^-54 are one double."""


@dataclass(frozen=True, slots=True, eq=False)
class Ewma:
    """An EWMA chart, in the unit of its weights.

    Parameters
    ----------
    centre : float, grams
        The target.
    lower, upper : (n,) array of float, grams
        Control limits at each point.
    points : (n,) array of float, grams
        z1 to zn; the start z0 is the target and is no point.
    signals : tuple of Signal
        Points beyond the limits.
    """

    centre: float
    lower: Floats
    upper: Floats
    points: Floats
    signals: tuple[Signal, ...]


def ewma(  # noqa: PLR0913 - the paper's parameters
    x: Iterable[float],
    *,
    lam: float,
    L: float,  # noqa: N803 - the papers' letter
    target: float,
    sigma: float,
    steady: bool = False,
    numbers: Sequence[int] | None = None,
) -> Ewma:
    """Return the EWMA chart of a run of weights.

    Parameters
    ----------
    x : (n,) iterable of float, grams
        At least one.
    lam : float
        Weight of the newest, above 0 and at most 1.
    L : float
        Width of the limits in standard deviations of the average.
    target : float, grams
        Where it starts, and the centre line.
    sigma : float, grams
        Spread of single weights.
    steady : bool
        The limits that hold in the long run at every point, instead of each point's own.
    numbers : (n,) sequence of int or None
        What the points are called in the sentences; None counts them from 1.

    Returns
    -------
    Ewma

    Raises
    ------
    NotEnoughDataError
        If there is no weight.
    SpecificationError
        If ``lam``, ``L`` or ``sigma`` make no sense, or a weight is not a finite number.

    Notes
    -----
    z_i = lam x_i + (1 - lam) z_(i-1); limits target +/- L sigma root(lam / (2 - lam)), and before
    the long run times root(1 - (1 - lam)^(2 i)). NIST/SEMATECH e-Handbook of Statistical Methods,
    doi:10.18434/M32189, section 6.3.2.4; Lucas and Saccucci, Technometrics 32 (1990) 1.

    Examples
    --------
    >>> chart = ewma([52.0, 47.0, 53.0], lam=0.3, L=3, target=50, sigma=2.0539)
    >>> [round(float(point), 2) for point in chart.points]
    [50.6, 49.52, 50.56]
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    checked_weight(lam)
    width = positive(L, "L") * positive(sigma, "sigma") * math.sqrt(lam / (2 - lam))
    if not is_number(target):
        raise SpecificationError(f"target must be a finite number, not {in_words(target)}.")
    values = floats(x, what="An EWMA chart")
    points = _averages(values - target, lam) + target
    reach = np.full(len(values), width)
    if not steady:
        ages = np.arange(1, min(len(values), _settled(lam)) + 1, dtype=float)
        reach[: len(ages)] *= np.sqrt(1 - (1 - lam) ** (2 * ages))
    lower, upper = target - reach, target + reach
    noun = "average to piece"
    signals = beyond_limits(points, lower=lower, upper=upper, numbers=numbers, noun=noun)
    return Ewma(float(target), kept(lower), kept(upper), kept(points), signals)


def checked_weight(lam: float) -> None:
    """Refuse a weight of the newest that makes no average.

    Parameters
    ----------
    lam : float

    Raises
    ------
    SpecificationError
        If it is not above 0 and at most 1.
    """
    if not (is_number(lam) and 0 < lam <= 1):
        raise SpecificationError(f"lam must be above 0 and at most 1, not {in_words(lam)}.")


def _settled(lam: float) -> int:
    """Return the age from which a limit differs by nothing that a double could hold."""
    return 1 if lam == 1 else math.ceil(-_DOUBLE / (2 * math.log1p(-lam)))


def _averages(errors: Floats, lam: float) -> Floats:
    """Return the averages from a start of 0."""
    return _faded_sums(lam * errors, 1 - lam)


def _faded_sums(steps: Floats, fade: float) -> Floats:
    """Return sums in which all that came before fades by a factor at each step.

    Blocks are each a product of matrices from a start of 0; what is carried into them is again such
    a sum, of the blocks' last places.
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    ages = np.arange(_BLOCK)[:, None] - np.arange(_BLOCK)
    weights = np.where(ages >= 0, fade ** np.maximum(ages, 0.0), 0.0)
    padded = np.zeros(math.ceil(len(steps) / _BLOCK) * _BLOCK)
    padded[: len(steps)] = steps
    blocks = padded.reshape(-1, _BLOCK) @ weights.T
    if len(blocks) > 1:
        carried = _faded_sums(blocks[:-1, -1], fade**_BLOCK)
        blocks[1:] += carried[:, None] * (fade * weights[:, 0])
    return blocks.ravel()[: len(steps)]

"""Weights as they come -> an array of finite numbers, or one plain sentence why not."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


def floats(x: Iterable[float], *, what: str, least: int = 1) -> Floats:
    """Return numbers as an array of their own.

    Parameters
    ----------
    x : (n,) iterable of float, grams
    what : str
        What they are for, as the sentence begins: "An individuals chart".
    least : int
        How many there must be.

    Returns
    -------
    (n,) array of float64, grams

    Raises
    ------
    NotEnoughDataError
        If there are fewer.
    SpecificationError
        If they are not in one row, or one of them is not a finite number.
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    try:
        row = np.array(x if hasattr(x, "__len__") else list(x), dtype=np.float64)
    except (TypeError, ValueError) as exc:
        raise SpecificationError(f"{what} takes one row of numbers.") from exc
    if row.ndim != 1:
        raise SpecificationError(f"{what} takes one row of numbers.")
    if len(row) < least:
        raise too_few(len(row), what=what, need=least)
    if not _all_finite(row):
        raise SpecificationError(f"{what} takes finite numbers only.")
    return row


def too_few(have: int, *, what: str, need: int) -> NotEnoughDataError:
    """Return the error for fewer weights than it takes.

    Parameters
    ----------
    have : int
    what : str
        What they are for, as the sentence begins.
    need : int

    Returns
    -------
    NotEnoughDataError
    """
    weights = "1 weight" if need == 1 else f"{need} weights"
    there = "there is 1" if have == 1 else f"there are {have}"
    text = f"{what} needs at least {weights}, and {there}."
    return NotEnoughDataError(text, have=have, need=need)


def _all_finite(row: Floats) -> bool:
    """Say whether all are finite; where their sum is, they are, and no flags are needed."""
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    with np.errstate(all="ignore"):
        return math.isfinite(row.sum()) or bool(np.isfinite(row).all())


def kept(row: Floats) -> Floats:
    """Return an array that cannot be changed any more.

    Parameters
    ----------
    row : (n,) array of float64

    Returns
    -------
    (n,) array of float64
    """
    row.flags.writeable = False
    return row


def steady_mean(row: Floats) -> float:
    """Return the mean, exact where all values are equal, so that no equal run signals.

    Parameters
    ----------
    row : (n,) array of float64, grams
        At least one.

    Returns
    -------
    float, grams
    """
    return float(row[0] + (row - row[0]).mean())


def positive(number: float, name: str) -> float:
    """Return a number that has to be finite and above zero.

    Parameters
    ----------
    number : float
    name : str

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If it is not.
    """
    if not (math.isfinite(number) and number > 0):
        raise SpecificationError(f"{name} must be a number above zero, not {number}.")
    return float(number)

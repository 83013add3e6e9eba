"""Weights as they come -> an array of finite numbers, or one plain sentence why not."""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

MOST = 1e100
"""Squares of what lies beyond, and sums of them, need not be numbers any more."""


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
    except (TypeError, ValueError, OverflowError) as exc:
        raise _no_row(what) from exc
    if row.ndim != 1:
        raise _no_row(what)
    if len(row) < least:
        raise too_few(len(row), what=what, need=least)
    if len(row) and not (row.min() >= -MOST and row.max() <= MOST):
        raise not_finite(what)
    return row


def plain_floats(x: Iterable[float], *, what: str, least: int = 1) -> tuple[float, ...]:
    """Return numbers as a tuple, on the standard library alone.

    Parameters
    ----------
    x : (n,) iterable of float, grams
    what : str
        What they are for, as the sentence begins.
    least : int
        How many there must be.

    Returns
    -------
    (n,) tuple of float, grams

    Raises
    ------
    NotEnoughDataError
        If there are fewer.
    SpecificationError
        If they are not in one row, or one of them is not a finite number.
    """
    if isinstance(x, (str, bytes, Mapping, AbstractSet)):
        raise _no_row(what)
    try:
        row = tuple(map(float, x))
    except (TypeError, ValueError, OverflowError) as exc:
        raise _no_row(what) from exc
    if len(row) < least:
        raise too_few(len(row), what=what, need=least)
    if not all(-MOST <= value <= MOST for value in row):
        raise not_finite(what)
    return row


def _no_row(what: str) -> SpecificationError:
    return SpecificationError(f"{what} takes one row of numbers.")


def not_finite(what: str) -> SpecificationError:
    """Return the error for numbers of which one is none, or too great to be squared.

    Parameters
    ----------
    what : str
        What they are for, as the sentence begins.

    Returns
    -------
    SpecificationError
    """
    return SpecificationError(f"{what} takes finite numbers only, none beyond {MOST:g}.")


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


def steady_mean(row: Floats, *, weights: Floats | None = None) -> float:
    """Return the mean, exact where all values are equal, so that no equal run signals.

    Parameters
    ----------
    row : (n,) array of float64, grams
        At least one.
    weights : (n,) array of float64 or None
        How much each counts; None is all the same.

    Returns
    -------
    float, grams
    """
    import numpy as np  # noqa: PLC0415 - never when the package is imported

    return float(row[0] + np.average(row - row[0], weights=weights))

"""Where in its band a piece stands, on a ruler that every screen draws alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.specification import Limits

BEYOND = 2.5
"""The ruler reaches this many times the wider limit to both sides of the scaling weight."""


def place_on_ruler(error_mg: int, limits: Limits) -> float:
    """Return where an error stands: 0 at the left end, 1 at the right one, beyond them outside.

    Parameters
    ----------
    error_mg : int, milligrams
        Net minus scaling weight.
    limits : Limits

    Returns
    -------
    float

    Examples
    --------
    >>> from weighstation.specification import Limits
    >>> place_on_ruler(0, Limits(740_000, 8_000, 8_000))
    0.5
    """
    reach_mg = BEYOND * max(limits.under_mg, limits.over_mg, 1)
    return (error_mg / reach_mg + 1) / 2

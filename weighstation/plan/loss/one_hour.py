"""A loaf weighed before its hour is up -> what it will weigh then."""

from __future__ import annotations

from weighstation.errors import SpecificationError
from weighstation.plan import given
from weighstation.quantities import in_words, is_number

ONE_HOUR_MIN = 60.0
"""When a loaf's weight counts, in minutes out of the oven; a common rule, and not everywhere."""


def one_hour_share(minutes_out: float, *, cooling_loss_per_h: float | None) -> float:
    """Return what share of its weight a loaf will have one hour out of the oven.

    Parameters
    ----------
    minutes_out : float, minutes
        Out of the oven when it was weighed, from 0 to 60.
    cooling_loss_per_h : float or None
        Share of the weight out of the oven that is lost in the first hour; None where it is not
        known.

    Returns
    -------
    float

    Raises
    ------
    SpecificationError
        If it was not weighed at one hour and the loss is not known, if it was weighed later, or a
        number is none.

    Notes
    -----
    ``(1 - c) / (1 - c m / 60)``: the loss is taken as even over the first hour, which it is not
    quite; a loaf loses more in its first minutes. That cooling takes 1 to 2 % is common practice,
    no source, and no default. Later the loss is far slower (a 4 lb loaf 1.95 % in a day: Grocers'
    Goods, about 1885, read in excerpts), so nothing is worked back from there.

    Examples
    --------
    >>> round(one_hour_share(15, cooling_loss_per_h=0.016), 5)
    0.98795
    """
    if not is_number(minutes_out) or not 0 <= minutes_out <= ONE_HOUR_MIN:
        raise SpecificationError(
            "Weights count at one hour out of the oven, and"
            f" {in_words(minutes_out)} minutes cannot be turned into that.",
            hint="Weigh within the first hour, best at its end.",
        )
    if minutes_out == ONE_HOUR_MIN:
        return 1.0
    if cooling_loss_per_h is None:
        raise SpecificationError(
            f"These loaves were {minutes_out:g} minutes out of the oven, and what they lose until"
            " one hour is not known.",
            hint="Weigh at one hour, or give the cooling loss of the first hour.",
        )
    lost = given.fraction(cooling_loss_per_h, "A cooling loss")
    return (1 - lost) / (1 - lost * minutes_out / ONE_HOUR_MIN)

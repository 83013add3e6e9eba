"""A dough that would take too long -> what makes it fit, as values with words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from weighstation.monitor.given import checked_number
from weighstation.plan.clock.pace import CLOSE, TimeLimit, largest_dough
from weighstation.plan.proof.fermentation import slowed

MOST_COOLER_C = 4.0
"""By how many degrees a cooler dough is suggested at most; house figure: beyond that it is another
ferment and not the same one slower."""

MOST_SCALERS = 4
"""How many are suggested at most to cut one dough at the same time; house figure."""


class Remedy(Enum):
    """What makes a dough fit its time."""

    SPLIT_MIX = "split the mix"
    SECOND_SCALER = "second scaler"
    COOLER_DOUGH = "cooler dough"


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One way to stay within the time of a dough.

    Parameters
    ----------
    remedy : Remedy
    text : str
        One plain sentence.
    """

    remedy: Remedy
    text: str


def before_mixing(
    pieces: int, *, every_s: float, limit: TimeLimit, dough_c: float | None = None
) -> tuple[Suggestion, ...]:
    """Return what makes a dough fit its time that is not mixed yet.

    Parameters
    ----------
    pieces : int
        That it is to make.
    every_s : float, seconds
        One scaler's pace, positive.
    limit : TimeLimit
    dough_c : float, degrees Celsius, or None
        Temperature that it is meant to have.

    Returns
    -------
    tuple of Suggestion
        Empty if it fits what is aimed at.

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    A cooler dough is one at which the scaling takes no more of the ferment than the limit does now,
    by the square law, down to half a degree. Own arithmetic.

    Examples
    --------
    >>> for each in before_mixing(90, every_s=12, limit=TimeLimit(), dough_c=26):
    ...     print(each.text)
    Split the mix in 2 of up to 45 pieces, the next one ready 9 min after the one before.
    Put 2 scalers to it.
    Mix it 2 C cooler, to 24 C: while it is cut it then ferments no further than a dough that fits.
    """
    fits = largest_dough(every_s, limit_s=limit.aim_s)
    if pieces <= fits:
        return ()
    needed = pieces * every_s / limit.aim_s
    found = []
    if fits:
        mixes = math.ceil(pieces / fits)
        each = math.ceil(pieces / mixes)
        text = (
            f"Split the mix in {mixes} of up to {each} pieces, the next one ready"
            f" {each * every_s / 60:.0f} min after the one before."
        )
        found.append(Suggestion(Remedy.SPLIT_MIX, text))
    found += _more_scalers(needed)
    return (*found, *_cooler(needed, dough_c))


def while_cutting(pieces_left: int, *, every_s: float, left_s: float) -> tuple[Suggestion, ...]:
    """Return what makes a dough fit its time that is being cut.

    Parameters
    ----------
    pieces_left : int
        Still to be cut.
    every_s : float, seconds
        One scaler's pace, positive.
    left_s : float, seconds
        To the end of its limit; negative beyond it.

    Returns
    -------
    tuple of Suggestion
        Empty if all that is left fits.

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Examples
    --------
    >>> for each in while_cutting(80, every_s=12, left_s=600):
    ...     print(each.text)
    Put 2 scalers to it.
    Put the dough for the last 30 pieces in the cold, covered, until the others are cut.
    """
    checked_number(left_s)
    checked_number(pieces_left)
    fits = largest_dough(every_s, limit_s=max(0.0, left_s))
    over = pieces_left - fits
    if over <= 0:
        return ()
    many = "piece" if over == 1 else f"{over} pieces"
    text = f"Put the dough for the last {many} in the cold, covered, until the others are cut."
    scalers = _more_scalers(pieces_left * every_s / left_s) if left_s > 0 else ()
    return (*scalers, Suggestion(Remedy.COOLER_DOUGH, text))


def _more_scalers(needed: float) -> tuple[Suggestion, ...]:
    scalers = math.ceil(needed - CLOSE)
    if scalers > MOST_SCALERS:
        return ()
    return (Suggestion(Remedy.SECOND_SCALER, f"Put {scalers} scalers to it."),)


def _cooler(needed: float, dough_c: float | None) -> tuple[Suggestion, ...]:
    if dough_c is None:
        return ()
    cooler_c = math.floor(2 * slowed(dough_c, times=needed)) / 2
    if dough_c - cooler_c > MOST_COOLER_C:
        return ()
    text = (
        f"Mix it {dough_c - cooler_c:g} C cooler, to {cooler_c:g} C: while it is cut it then"
        " ferments no further than a dough that fits."
    )
    return (Suggestion(Remedy.COOLER_DOUGH, text),)

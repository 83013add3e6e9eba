"""What is asked about, and how rarely an honest bench is asked."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

ALPHA = 1e-5
"""Chance that one kind is flagged in a week of one person at one product that was honest.

Ten years of three products and four people are 6,240 such weeks: 0.06 false flags of a kind are
expected, one or more in 6 % of such decades, two or more in 0.2 % (Poisson). Where a kind is made
of several tests they share it out (Bonferroni's inequality).
"""

FEWEST = 30
"""Weights below which nothing is said; house figure."""


class FlagKind(Enum):
    """What about the weights or lines is asked."""

    NEAT = "too neat"
    EVEN = "too even"
    LATE = "entered late"
    CLOCK = "clock stepped"
    REPEATED = "repeated"
    INSIDE = "just inside"


@dataclass(frozen=True, slots=True)
class Flag:
    """A question to the record.

    Parameters
    ----------
    kind : FlagKind
    text : str
        One plain sentence.
    n : int
        Weights or lines that were looked at.
    figures : dict of str to float
        What the sentence rests on; units are in the names.
    p : float or None
        Upper bound of the chance that an honest bench leaves so much behind; None where no chance
        is asked about, because the lines say it themselves.
    count : int or None
        Weights or lines that it is about.
    alpha : float or None
        What ``p`` was held against.
    """

    kind: FlagKind
    text: str
    n: int
    figures: Mapping[str, float]
    p: float | None = None
    count: int | None = None
    alpha: float | None = None


def marks_of(weights_mg: Sequence[int], division_mg: int) -> list[int]:
    """Return weights as whole divisions.

    Parameters
    ----------
    weights_mg : (n,) sequence of int, milligrams
    division_mg : int, milligrams

    Returns
    -------
    list of int

    Raises
    ------
    SpecificationError
        If the division is not above 0.
    """
    if division_mg <= 0:
        raise SpecificationError("The division must be above 0.")
    return [round(each_mg / division_mg) for each_mg in weights_mg]


def grams(mass_mg: float) -> str:
    """Return a mass as it stands in a sentence.

    Parameters
    ----------
    mass_mg : float, milligrams

    Returns
    -------
    str
    """
    return f"{mass_mg / 1000:.10g} g"


def rarely(p: float) -> str:
    """Return a small chance as it stands in a sentence.

    Parameters
    ----------
    p : float

    Returns
    -------
    str

    Examples
    --------
    >>> rarely(2.4e-7), rarely(0.0)
    ('less than 1 in 1 million', 'less than 1 in 1 million million')
    """
    power = 12 if p <= 1e-12 else math.floor(-math.log10(p))
    words = {5: "100,000", 6: "1 million", 7: "10 million", 8: "100 million"}
    words |= {9: "1,000 million", 10: "10,000 million", 11: "100,000 million"}
    return f"less than 1 in {words.get(power, '1 million million' if power > 8 else 10**power)}"

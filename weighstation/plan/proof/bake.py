"""Weights of pieces -> how much longer or shorter they bake, and which do not suit their load."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.quantities import in_words, is_number

if TYPE_CHECKING:
    from collections.abc import Sequence

LEAST_EXPONENT = 0.55
"""Fitted to published times of loaves at one temperature: 1 lb 30 to 35 min, 2 lb 45 to 50, 3 lb
about 60 (authors of bread books, "Larger loaves", 2011, read)."""

MOST_EXPONENT = 2 / 3
"""Heat that goes in by diffusion: the time goes with the square of a length, and that with the cube
root of the mass (textbook of heat transfer, from memory)."""

EVEN_SHARE = 0.05
"""How far pieces of one load may be off; common practice, no source. Within 2 % nobody sees it."""

_CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class BakeTime:
    """How long a piece of another weight bakes.

    Parameters
    ----------
    usual_min : float, minutes
        What the usual weight takes.
    by_crust_min : float, minutes
        With the exponent 0.55.
    by_heat_min : float, minutes
        With the exponent 2/3.
    """

    usual_min: float
    by_crust_min: float
    by_heat_min: float

    @property
    def by_crust_pct(self) -> float:
        """Change in percent with the exponent 0.55."""
        return 100 * (self.by_crust_min / self.usual_min - 1)

    @property
    def by_heat_pct(self) -> float:
        """Change in percent with the exponent 2/3."""
        return 100 * (self.by_heat_min / self.usual_min - 1)

    @property
    def text(self) -> str:
        """One plain sentence."""
        low, high = sorted((self.by_crust_min - self.usual_min, self.by_heat_min - self.usual_min))
        if max(abs(low), abs(high)) < 0.5:
            return f"It bakes as long as usual, {self.usual_min:g} min."
        way = "longer" if high > 0 else "shorter"
        near, far = sorted((abs(low), abs(high)))
        return f"It bakes {near:.1f} to {far:.1f} min {way} than {self.usual_min:g} min."


def bake_time(usual_min: float, *, usual_g: float, piece_g: float) -> BakeTime:
    """Return how long a piece of another weight bakes, in the same shape and at the same heat.

    Parameters
    ----------
    usual_min : float, minutes
        Positive.
    usual_g : float, grams
        Weight that takes so long, positive.
    piece_g : float, grams
        Positive.

    Returns
    -------
    BakeTime

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    t = t0 (m / m0)^p with p from 0.55 to 2/3, as the two constants say. A long piece of one length,
    or dough in one and the same tin, changes more: up to p = 1 (own reasoning).

    Examples
    --------
    >>> bake_time(30, usual_g=800, piece_g=840).text
    'It bakes 0.8 to 1.0 min longer than 30 min.'
    """
    for number in (usual_min, usual_g, piece_g):
        if not (is_number(number) and number > 0):
            raise SpecificationError(
                f"Times and weights of a bake are above 0, not {in_words(number)}.",
                hint="Give minutes and grams.",
            )
    ratio = piece_g / usual_g
    return BakeTime(usual_min, usual_min * ratio**LEAST_EXPONENT, usual_min * ratio**MOST_EXPONENT)


@dataclass(frozen=True, slots=True)
class Uneven:
    """A piece that does not suit its load.

    Parameters
    ----------
    index : int
        In the weights that were given, from 0.
    piece_g : float, grams
    off : float
        Share of the centre by which it is off; negative when light.
    """

    index: int
    piece_g: float
    off: float

    @property
    def text(self) -> str:
        """One plain sentence."""
        way, look = ("light", "darker") if self.off < 0 else ("heavy", "paler")
        off = f"{100 * abs(self.off):.1f} % {way}"
        return f"{self.piece_g:g} g is {off} for this load and bakes {look}."


@dataclass(frozen=True, slots=True)
class EvenBake:
    """Whether the pieces of one load bake alike.

    Parameters
    ----------
    centre_g : float, grams
        What they are held against.
    uneven : tuple of Uneven
        Those farther off than is allowed, in the order given.
    """

    centre_g: float
    uneven: tuple[Uneven, ...]


def even_bake(
    weights_g: Sequence[float], *, centre_g: float | None = None, share: float = EVEN_SHARE
) -> EvenBake:
    """Return which pieces of one load are too light or too heavy to bake like the others.

    Parameters
    ----------
    weights_g : (n,) sequence of float, grams
        Of the pieces, at least one.
    centre_g : float, grams, or None
        What the time of the bake is set for; None takes their median.
    share : float
        How far off is allowed, the limit included; from 0 to below 1.

    Returns
    -------
    EvenBake

    Raises
    ------
    NotEnoughDataError
        If there is no piece.
    SpecificationError
        If a weight or the share makes no sense.

    Notes
    -----
    Weight is not all: at the door of an oven pieces bake paler and lose less (news report of
    official weighings, read in an excerpt).

    Examples
    --------
    >>> for piece in even_bake([800, 805, 720, 798, 802]).uneven:
    ...     print(piece.text)
    720 g is 10.0 % light for this load and bakes darker.
    """
    if not len(weights_g):
        raise NotEnoughDataError("A load holds at least one piece.", have=0, need=1)
    given = [*weights_g] if centre_g is None else [*weights_g, centre_g]
    if not (is_number(*given, share) and min(given) > 0 and 0 <= share < 1):
        raise SpecificationError(
            "Weights are above 0 g, and the share that is allowed is from 0 to below 1.",
            hint="Leave out what was not weighed.",
        )
    centre = float(median(weights_g)) if centre_g is None else float(centre_g)
    off = ((float(weight_g), float(weight_g) / centre - 1) for weight_g in weights_g)
    uneven = (
        Uneven(index, weight_g, by)
        for index, (weight_g, by) in enumerate(off)
        if abs(by) > share + _CLOSE
    )
    return EvenBake(centre, tuple(uneven))

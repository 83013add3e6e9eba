"""What goes missing between bowl and shelf -> scaling weight, and back.

"Loss" has two bases in the trade. A loss of 12 % *of the dough* means that 100 g of dough become
88 g of bread; "allow 60 g for 500 g of bread" is 12 % *of the bread*, and less. A `Loss` holds the
first, can be given as either, and is asked for either.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Self

from weighstation.errors import SpecificationError
from weighstation.plan import given


@dataclass(frozen=True, slots=True)
class Loss:
    """What one stage costs.

    Parameters
    ----------
    of_dough : float
        Fraction of the weight going in, from 0 up and below 1.
    stage : str
        Where it goes: oven, cooling, shelf, fermentation, handling.

    Raises
    ------
    SpecificationError
        If it is no such fraction.

    Examples
    --------
    >>> round(Loss(0.12).of_bread, 4)
    0.1364
    """

    of_dough: float
    stage: str = ""

    def __post_init__(self) -> None:
        """Refuse what is no fraction."""
        what = f"The loss '{self.stage}'" if self.stage else "A loss"
        object.__setattr__(self, "of_dough", given.fraction(self.of_dough, what))

    @property
    def of_bread(self) -> float:
        """The same as a fraction of what comes out, ``a = L / (1 - L)``."""
        return self.of_dough / (1 - self.of_dough)

    @classmethod
    def on_bread(cls, fraction: float, *, stage: str = "") -> Self:
        """Return the loss that is said as a fraction of what comes out.

        Parameters
        ----------
        fraction : float
            From 0 up, such as 60 / 500 for "60 g for 500 g of bread".
        stage : str

        Returns
        -------
        Loss

        Raises
        ------
        SpecificationError
            If it is no number from 0 up.

        Notes
        -----
        ``L = a / (1 + a)``, arithmetic.

        Examples
        --------
        >>> round(Loss.on_bread(50 / 500).of_dough, 4)
        0.0909
        """
        allowed = given.number(fraction, "A loss of bread")
        return cls(allowed / (1 + allowed), stage)

    @classmethod
    def between(cls, before_g: float, after_g: float, *, stage: str = "") -> Self:
        """Return the loss between two weighings of the same goods.

        Parameters
        ----------
        before_g, after_g : float, grams
            Of one piece, or the sums of several.
        stage : str

        Returns
        -------
        Loss

        Raises
        ------
        SpecificationError
            If a weight makes no sense, or it grew.

        Examples
        --------
        >>> round(Loss.between(335, 255, stage="oven").of_dough, 3)
        0.239
        """
        before = given.number(before_g, "The weight before", positive=True)
        after = given.number(after_g, "The weight after", positive=True)
        if after > before:
            raise SpecificationError(
                f"{after_g} g came out of {before_g} g, and goods do not grow.",
                hint="See whether the two weights were taken for each other.",
            )
        return cls(1 - after / before, stage)


Losses = Loss | float | Iterable[Loss | float]
"""One loss or several in the order in which they come; a bare number is a fraction of the dough."""


@dataclass(frozen=True, slots=True)
class ScalingWeight:
    """What a piece of dough should weigh, and what becomes of it.

    Parameters
    ----------
    scaling_g : float, grams
    baked_g : float, grams
        What is left after the last stage.
    losses : (n,) tuple of Loss
        In their order.
    after_g : (n,) tuple of float, grams
        What is left after each stage.
    """

    scaling_g: float
    baked_g: float
    losses: tuple[Loss, ...]
    after_g: tuple[float, ...]

    @property
    def loss(self) -> Loss:
        """All stages as one."""
        return Loss(1 - _kept(self.losses))


def scaling_weight(baked_g: float, losses: Losses) -> ScalingWeight:
    """Return the scaling weight of a loaf that should weigh so much in the end.

    Parameters
    ----------
    baked_g : float, grams
        At the moment that the last loss ends: out of the oven, cooled, or at sale.
    losses : Loss, float, or several
        Oven, cooling, shelf.

    Returns
    -------
    ScalingWeight

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Notes
    -----
    ``baked / ((1 - L1)(1 - L2)...)``: each stage loses from what the one before left, so stages
    multiply and never add. Common practice, no source; the arithmetic is in trade textbooks.

    Examples
    --------
    >>> round(scaling_weight(800, 0.12).scaling_g, 1)
    909.1
    >>> stages = [Loss(0.105, "oven"), Loss(0.015, "cooling"), Loss(0.01, "shelf")]
    >>> round(scaling_weight(800, stages).scaling_g, 1)
    916.6
    """
    baked = given.number(baked_g, "A baked weight", positive=True)
    each = listed(losses)
    scaling_g = baked / _kept(each)
    after = tuple(scaling_g * _kept(each[: place + 1]) for place in range(len(each)))
    return ScalingWeight(scaling_g, baked, each, after)


def weight_before(after_g: float, losses: Losses) -> float:
    """Return what must go in for so much to come out: dough in the bowl for dough on the bench.

    Parameters
    ----------
    after_g : float, grams
    losses : Loss, float, or several
        Fermentation and handling, for the bowl.

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Examples
    --------
    >>> bench = [Loss(0.01, "fermentation"), Loss(0.01, "handling")]
    >>> round(weight_before(43_636.4, bench), 1)
    44522.4
    """
    return given.number(after_g, "A weight") / _kept(listed(losses))


def weight_after(before_g: float, losses: Losses) -> float:
    """Return what comes out of so much: the loaf of a piece, the dough on the bench of a bowl.

    Parameters
    ----------
    before_g : float, grams
    losses : Loss, float, or several

    Returns
    -------
    float, grams

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Examples
    --------
    >>> round(weight_after(901.6, 0.12), 1)
    793.4
    """
    return given.number(before_g, "A weight") * _kept(listed(losses))


def listed(losses: Losses) -> tuple[Loss, ...]:
    """Return losses one by one, however they were given.

    Parameters
    ----------
    losses : Loss, float, or several

    Returns
    -------
    (n,) tuple of Loss

    Raises
    ------
    SpecificationError
        If one is no fraction from 0 up and below 1.
    """
    several = losses if isinstance(losses, Iterable) and not isinstance(losses, str) else (losses,)
    return tuple(each if isinstance(each, Loss) else Loss(each) for each in several)


def _kept(losses: tuple[Loss, ...]) -> float:
    return math.prod(1 - loss.of_dough for loss in losses)

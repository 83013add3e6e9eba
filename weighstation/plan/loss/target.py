"""Declared weight, own loss, own spread -> the scaling weight, and what a gram more costs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import given
from weighstation.plan.loss.known_loss import SAID_BY
from weighstation.quantity import least_aim

if TYPE_CHECKING:
    from weighstation.plan.loss.forecast import Interval
    from weighstation.plan.loss.known_loss import KnownLoss
    from weighstation.plan.loss.oven_loss import Carry, LossLaw
    from weighstation.quantity import Aim, QuantityRule


class Bound(StrEnum):
    """What asks for the scaling weight."""

    MEAN = "mean"
    T1 = "t1"
    T2 = "t2"
    FLOOR = "floor"


_ASKS = {
    Bound.MEAN: "the mean asks for it",
    Bound.T1: "the share of short pieces asks for it",
    Bound.T2: "that none is far short asks for it",
    Bound.FLOOR: "the floor of the house asks for it",
}


@dataclass(frozen=True, slots=True)
class Declared:
    """What is promised of the baked loaf.

    Parameters
    ----------
    weight_g : float, grams
        The declared weight.
    rule : str or QuantityRule
        The rule of average quantity that it is sold under.
    risk : float
        Chance that a batch fails that is aimed so, above 0 and below a half.
    """

    weight_g: float
    rule: str | QuantityRule
    risk: float = 0.05


@dataclass(frozen=True, slots=True)
class Evenness:
    """The spread that this bench and oven really have.

    Parameters
    ----------
    sd_g : float, grams
        Of single baked loaves within a batch.
    batch_size : int or None
        Loaves in a batch that is judged by its own mean; None judges the mean of the long run.
    batch_sd_g : float, grams
        Of the means from batch to batch.
    """

    sd_g: float
    batch_size: int | None = None
    batch_sd_g: float = 0.0


@dataclass(frozen=True, slots=True)
class Week:
    """What a week makes of a gram.

    Parameters
    ----------
    pieces : int
    dough_price_per_kg : float
        What a kilogram of dough costs: the floor of what overweight costs.
    bread_price_per_kg : float or None
        What a kilogram of bread sells for; counts only where more could be sold.
    """

    pieces: int
    dough_price_per_kg: float
    bread_price_per_kg: float | None = None


@dataclass(frozen=True, slots=True)
class GramCost:
    """What one gram more costs a week, in the currency of the prices.

    Parameters
    ----------
    scaled : float
        A gram more of scaling weight, in dough.
    baked : float
        A gram more of baked weight, in the dough that it takes.
    baked_at_price : float or None
        The same gram as bread that could have been sold.
    """

    scaled: float
    baked: float
    baked_at_price: float | None


@dataclass(frozen=True, slots=True)
class ScalingTarget:
    """The scaling weight for a declared weight.

    Parameters
    ----------
    declared : Declared
    aim : Aim
        The lowest lawful mean of the baked loaves.
    law : LossLaw
        Which law of loss made dough of it.
    bound_by : Bound
        What asks for it.
    least_scaling_g : float, grams
        No plan may scale lighter than this.
    scaling_g : float, grams
        The same, rounded up to what the scale shows.
    interval_g : (low, high) tuple of float, grams, or None
        Where the scaling weight for the aim may lie, as far as the loss is known; None for losses
        of stages, which nobody measured.
    carry : Carry
        What a gram of scaling error does to the baked loaf.
    gram : GramCost or None
        What a gram more costs a week; None where no week was given.
    """

    declared: Declared
    aim: Aim
    law: LossLaw
    bound_by: Bound
    least_scaling_g: float
    scaling_g: float
    interval_g: Interval | None
    carry: Carry
    gram: GramCost | None

    def require(self, scaling_g: float) -> None:
        """Refuse a plan that would go below the least scaling weight.

        Parameters
        ----------
        scaling_g : float, grams

        Raises
        ------
        SpecificationError
            If it is lighter.
        """
        if not scaling_g >= self.least_scaling_g:
            raise SpecificationError(
                f"{scaling_g:.2f} g are below the least scaling weight of"
                f" {self.least_scaling_g:.2f} g for {given.plain(self.declared.weight_g)} g"
                f" declared ({_ASKS[self.bound_by]}).",
                hint="Make fewer pieces of this dough.",
            )

    @property
    def text(self) -> str:
        """What was found, in plain sentences."""
        sure = ""
        if self.interval_g is not None:
            low, high = self.interval_g
            sure = f", somewhere between {low:.0f} and {high:.0f} g"
        found = (
            f"For {given.plain(self.declared.weight_g)} g declared, loaves should average"
            f" {self.aim.aim_g:.1f} g; by {SAID_BY[self.law]} that takes pieces of"
            f" {self.least_scaling_g:.1f} g{sure} ({_ASKS[self.bound_by]})."
        )
        cost = ""
        if self.gram is not None:
            cost = f" Each gram more costs {self.gram.scaled:.2f} a week in dough."
        return (
            f"{found} Scale {given.plain(self.scaling_g)} g.{cost}"
            " This is arithmetic and no legal proof."
        )


def scaling_target(
    declared: Declared,
    *,
    loss: KnownLoss,
    evenness: Evenness,
    floor_g: float = 0.0,
    division_g: float = 1.0,
    week: Week | None = None,
) -> ScalingTarget:
    """Return the scaling weight whose loaves keep a declared weight.

    Parameters
    ----------
    declared : Declared
    loss : KnownLoss
        The own loss decides where it is enough, the losses of the stages otherwise.
    evenness : Evenness
        Of the baked loaves.
    floor_g : float, grams
        A scaling weight of the house below which nothing is planned; 0 for none.
    division_g : float, grams
        Of the scale at the bench.
    week : Week or None
        For what a gram more costs.

    Returns
    -------
    ScalingTarget

    Raises
    ------
    NotEnoughDataError
        If too little was weighed, and nothing is said of the stages.
    SpecificationError
        If a number makes no sense, the rule is unknown, or the scaling weight is outside what the
        own loss was learned from.

    Notes
    -----
    `weighstation.quantity.least_aim` through the law of loss that stands, and no lighter than the
    floor. The uncertainty of the loss is shown and not added: what is added for the wander from
    batch to batch is there already. A gram costs pieces x price / 1000; a gram of bread takes
    1 / carry of dough (arithmetic).

    Examples
    --------
    >>> from weighstation.plan import KnownLoss
    >>> found = scaling_target(
    ...     Declared(800, "eu-76-211"), loss=KnownLoss(stages=0.12), evenness=Evenness(8)
    ... )
    >>> round(found.least_scaling_g, 2), found.scaling_g, found.bound_by.value
    (909.86, 910.0, 't1')
    """
    aim = least_aim(
        given.number(declared.weight_g, "A declared weight", positive=True),
        evenness.sd_g,
        rule=declared.rule,
        batch_size=evenness.batch_size,
        batch_sd_g=evenness.batch_sd_g,
        risk=declared.risk,
    )
    at_g, interval_g = loss.scaling_g(aim.aim_g)
    floor = given.number(floor_g, "A floor")
    least_g = max(at_g, floor)
    return ScalingTarget(
        declared=declared,
        aim=aim,
        law=loss.law,
        bound_by=Bound.FLOOR if floor > at_g else Bound(aim.binding.value),
        least_scaling_g=least_g,
        scaling_g=_rounded_up(least_g, given.number(division_g, "A division", positive=True)),
        interval_g=interval_g,
        carry=loss.carry,
        gram=None if week is None else gram_cost(week, carry=loss.carry),
    )


def gram_cost(week: Week, *, carry: Carry) -> GramCost:
    """Return what one gram more costs a week.

    Parameters
    ----------
    week : Week
    carry : Carry
        Grams of bread for a gram of dough.

    Returns
    -------
    GramCost

    Raises
    ------
    SpecificationError
        If a number makes no sense.

    Examples
    --------
    >>> from weighstation.plan import Carry, LossLaw
    >>> cost = gram_cost(Week(4000, 0.3408), carry=Carry(1 / 1.0624, (0.9, 1), LossLaw.LINE))
    >>> round(12 * cost.baked, 2)
    17.38
    """
    pieces = given.count(week.pieces, "A week's pieces")
    dough = given.number(week.dough_price_per_kg, "A price of dough")
    per_g = given.number(carry.per_g, "A carry", positive=True)
    bread = week.bread_price_per_kg
    return GramCost(
        scaled=pieces * dough / 1000,
        baked=pieces * dough / 1000 / per_g,
        baked_at_price=None
        if bread is None
        else pieces * given.number(bread, "A price of bread") / 1000,
    )


def _rounded_up(weight_g: float, division_g: float) -> float:
    """Return the next step of the scale that is not lighter, by more than rounding of floats."""
    steps = math.ceil(round(weight_g / division_g, 9))
    return round(steps * division_g, 6)

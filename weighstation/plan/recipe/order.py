"""Ordered loaves -> pieces, scaling weights, dough on the bench and in the bowl, ingredients."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import given
from weighstation.plan.recipe.formula import Formula, formula
from weighstation.plan.recipe.losses import weight_after, weight_before
from weighstation.plan.recipe.stages import NOTHING_LOST

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from weighstation.plan.recipe.stages import Stages


@dataclass(frozen=True, slots=True)
class Ordered:
    """One product of an order.

    Parameters
    ----------
    name : str
    pieces : int
        At least 1.
    scaling_g : float, grams
        Scaling weight; `scaling_weight` works it out from a loaf.
    stages : Stages
        Its losses, before the bench and after it.

    Raises
    ------
    SpecificationError
        If a number makes no sense.
    """

    name: str
    pieces: int
    scaling_g: float
    stages: Stages = NOTHING_LOST

    def __post_init__(self) -> None:
        """Refuse what cannot be ordered."""
        whose = f"of '{self.name}'"
        object.__setattr__(self, "pieces", given.count(self.pieces, f"The number {whose}", least=1))
        scaling_g = given.number(self.scaling_g, f"The scaling weight {whose}", positive=True)
        object.__setattr__(self, "scaling_g", scaling_g)

    @property
    def dough_g(self) -> float:
        """All pieces together, on the bench."""
        return self.pieces * self.scaling_g

    @property
    def bowl_g(self) -> float:
        """What has to be mixed for them."""
        return weight_before(self.dough_g, self.stages.bench)

    @property
    def baked_g(self) -> float | None:
        """What a loaf weighs in the end; None where nothing is said of its losses."""
        return weight_after(self.scaling_g, self.stages.loaf) if self.stages.loaf else None


@dataclass(frozen=True, slots=True)
class OrderedDough:
    """The dough that an order takes.

    Parameters
    ----------
    orders : (n,) tuple of Ordered
    bench_g : float, grams
        All pieces together: what has to lie on the bench.
    bowl_g : float, grams
        What has to be mixed for it.
    formula : Formula or None
        What goes into the bowl, where percentages were given.
    """

    orders: tuple[Ordered, ...]
    bench_g: float
    bowl_g: float
    formula: Formula | None

    @property
    def pieces(self) -> int:
        """How many there are of all products."""
        return sum(ordered.pieces for ordered in self.orders)

    @property
    def baked_share(self) -> float | None:
        """Goods in the end as a fraction of what was mixed; None where a loaf is not known."""
        baked = [ordered.pieces * ordered.baked_g for ordered in self.orders if ordered.baked_g]
        return math.fsum(baked) / self.bowl_g if len(baked) == len(self.orders) else None


def dough_for_orders(
    orders: Iterable[Ordered],
    *,
    percentages: Mapping[str, float] | None = None,
    flours: Collection[str] | None = None,
    liquids: Collection[str] | None = None,
) -> OrderedDough:
    """Return the dough that an order takes: all its products are made of this one dough.

    Parameters
    ----------
    orders : iterable of Ordered
    percentages : mapping of str to float, or None
        Name of each ingredient to its percentage of the flour.
    flours, liquids : collection of str or None
        As `formula` takes them.

    Returns
    -------
    OrderedDough

    Raises
    ------
    SpecificationError
        If nothing is ordered, a number makes no sense, or the formula is none.

    Notes
    -----
    The sum over the products of pieces x scaling weight / ((1 - L1)(1 - L2)...), with what each
    loses before it is a piece: common practice, no source.

    Examples
    --------
    >>> from weighstation.plan import Loss, Stages, scaling_weight
    >>> stages = Stages(bench=(Loss(0.02),), loaf=(Loss(0.12),))
    >>> scaling = scaling_weight(800, stages.loaf)
    >>> loaves = Ordered("Farmhouse loaf", 48, scaling.scaling_g, stages)
    >>> percentages = {"flour": 100, "water": 65, "salt": 2, "yeast": 1}
    >>> found = dough_for_orders([loaves], percentages=percentages)
    >>> [round(grams, 1) for grams in (loaves.scaling_g, found.bench_g, found.bowl_g)]
    [909.1, 43636.4, 44526.9]
    >>> round(found.formula.flour_g, 1)
    26504.1
    """
    listed = tuple(orders)
    if not listed:
        raise SpecificationError("Nothing is ordered.", hint="Give at least one product.")
    bench_g = math.fsum(ordered.dough_g for ordered in listed)
    bowl_g = math.fsum(ordered.bowl_g for ordered in listed)
    made_of = None
    if percentages is not None:
        made_of = formula(percentages, bowl_g, flours=flours, liquids=liquids)
    return OrderedDough(listed, bench_g, bowl_g, made_of)

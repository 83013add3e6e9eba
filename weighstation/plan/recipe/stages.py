"""What a product says of its losses -> those before the bench, and those after it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan.recipe.losses import Loss

if TYPE_CHECKING:
    from weighstation.specification import Product

ON_THE_WAY_TO_THE_BENCH = ("fermentation", "handling")
"""Stages that dough goes through before it is scaled; what follows happens to pieces."""


@dataclass(frozen=True, slots=True)
class Stages:
    """The losses of a product, each of what the one before it left.

    Parameters
    ----------
    bench : tuple of Loss
        From the bowl to the bench: fermentation, handling.
    loaf : tuple of Loss
        From the piece of dough to the loaf: oven, cooling, shelf.
    """

    bench: tuple[Loss, ...] = ()
    loaf: tuple[Loss, ...] = ()


NOTHING_LOST = Stages()


def stages_of(product: Product) -> Stages:
    """Return what a product says of its losses.

    Parameters
    ----------
    product : Product

    Returns
    -------
    Stages
        Empty on a side of which nothing was said.

    Examples
    --------
    >>> from weighstation.specification import Limits, LossBasis, Product, StageLosses
    >>> said = StageLosses(LossBasis.BREAD, handling_pct=1, oven_pct=12)
    >>> found = stages_of(Product("Loaf", Limits(909_000, 9_000, 9_000), losses=said))
    >>> [(loss.stage, round(loss.of_dough, 4)) for loss in (*found.bench, *found.loaf)]
    [('handling', 0.0099), ('oven', 0.1071)]
    """
    said = {} if product.losses is None else product.losses.of_dough
    each = [Loss(of_dough, stage) for stage, of_dough in said.items()]
    return Stages(
        bench=tuple(loss for loss in each if loss.stage in ON_THE_WAY_TO_THE_BENCH),
        loaf=tuple(loss for loss in each if loss.stage not in ON_THE_WAY_TO_THE_BENCH),
    )

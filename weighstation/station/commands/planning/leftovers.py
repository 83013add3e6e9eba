"""What is left over of a dough -> what this shop can make of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.plan import uses_of_leftover
from weighstation.quantities import grams

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.plan import Choice, LeftoverUse
    from weighstation.specification import Catalogue, Product


@dataclass(frozen=True, slots=True)
class Leftovers:
    """What can be made of the rest of a dough.

    Parameters
    ----------
    product : Product
        For what its dough costs.
    smaller : tuple of Product
        Of the same dough.
    next_flour_g : float, grams, or None
        Flour of the next mix; None where nobody knows.
    """

    product: Product
    smaller: tuple[Product, ...]
    next_flour_g: float | None

    def uses(self, choice: Choice, *, over_g: float) -> tuple[LeftoverUse, ...]:
        """Return what can be done with what a choice leaves over.

        Parameters
        ----------
        choice : Choice
        over_g : float, grams
            How much more a piece may weigh; 0 where that is used up.

        Returns
        -------
        tuple of LeftoverUse
        """
        goods, cost = self._goods(choice.rest_g), self.product.dough_cost_per_kg
        return uses_of_leftover(
            choice,
            cost_per_kg=None if cost is None else float(cost),
            over_g=over_g,
            smaller_g=None if goods is None else grams(goods.limits.target_mg),
            next_flour_g=self.next_flour_g,
        )

    def smaller_of(self, choice: Choice) -> str:
        """Return the name of the smaller goods that the rest of a choice makes.

        Parameters
        ----------
        choice : Choice

        Returns
        -------
        str
            Empty where it makes none.
        """
        goods = self._goods(choice.rest_g)
        return "" if goods is None else goods.name

    def _goods(self, rest_g: float) -> Product | None:
        """Return the smaller goods that leave the least, the larger of two that leave the same."""
        fitting = [each for each in self.smaller if grams(each.limits.target_mg) <= rest_g]
        return min(
            fitting,
            key=lambda each: (
                round(rest_g % grams(each.limits.target_mg), 3),
                -each.limits.target_mg,
            ),
            default=None,
        )


def smaller_goods(catalogue: Catalogue, products: Sequence[Product]) -> tuple[Product, ...]:
    """Return the other products of a dough that are smaller than all that are cut from it.

    Parameters
    ----------
    catalogue : Catalogue
    products : sequence of Product
        Of one dough.

    Returns
    -------
    tuple of Product
    """
    dough = products[0].dough
    if dough is None:
        return ()
    least_mg = min(product.limits.target_mg for product in products)
    return tuple(
        each
        for each in catalogue.products
        if (each.dough or "").casefold() == dough.casefold() and each.limits.target_mg < least_mg
    )

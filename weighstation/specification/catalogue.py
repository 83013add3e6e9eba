"""The products of a shop, found by their names."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal

    from weighstation.specification.product import Product


class DecimalSign(StrEnum):
    """What stands between whole and part of a number that a person reads."""

    POINT = "."
    COMMA = ","


class DayOrder(StrEnum):
    """How a day is written for a person."""

    YEAR_FIRST = "year-month-day"
    DAY_FIRST = "day-month"


@dataclass(frozen=True, slots=True)
class ShopOven:
    """The oven of a shop, whatever is baked in it.

    Parameters
    ----------
    places : int
        Pieces in one load, where a product does not say its own.
    cycle_min : float, minutes
        From one load in to the next one in.
    """

    places: int
    cycle_min: float


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The products of a shop.

    Parameters
    ----------
    currency : str
        Its code by ISO 4217.
    products : tuple of Product
    prices_per_kg : mapping of str to Decimal
        What ingredients cost, by their names.
    oven : ShopOven or None
    show_people : bool
        Whether reports tell people apart; only where the shop chose to.
    decimal : DecimalSign
    days : DayOrder
    bowl_kg : float, kilograms, or None
        How much dough the bowl holds; None where nobody said.
    """

    currency: str
    products: tuple[Product, ...]
    prices_per_kg: Mapping[str, Decimal] = field(default_factory=dict, hash=False)
    oven: ShopOven | None = None
    show_people: bool = False
    decimal: DecimalSign = DecimalSign.POINT
    days: DayOrder = DayOrder.YEAR_FIRST
    bowl_kg: float | None = None

    def product(self, name: str) -> Product:
        """Return the product of that name, its case ignored.

        Parameters
        ----------
        name : str

        Returns
        -------
        Product

        Raises
        ------
        SpecificationError
            If there is none.
        """
        for product in self.products:
            if product.name.casefold() == name.casefold():
                return product
        known = ", ".join(f"'{product.name}'" for product in self.products)
        raise SpecificationError(f"There is no product '{name}'.", hint=f"Choose one of {known}.")

"""The products of a shop, found by their names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from weighstation.specification.product import Product


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The products of a shop.

    Parameters
    ----------
    currency : str
        Currency code or sign, as it is to be printed.
    products : tuple of Product
    """

    currency: str
    products: tuple[Product, ...]

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

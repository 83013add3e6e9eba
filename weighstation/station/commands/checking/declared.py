"""A scale and the products of the shop -> which declared weights it is fine enough to check."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.metrology import division_suits_law
from weighstation.quantities import grams
from weighstation.quantity import tolerable_deficiency
from weighstation.station.commands.shop.quantity_rules import rule_for

if TYPE_CHECKING:
    from weighstation.quantity import QuantityRule
    from weighstation.specification import Product
    from weighstation.station.commands.shop.home import Home

_PARTS = {5: "a fifth", 6: "a sixth"}


@dataclass(frozen=True, slots=True)
class Declared:
    """Whether a scale is fine enough for the declared weight of a product.

    Parameters
    ----------
    product : str
    declared_g : float, grams
    rule : QuantityRule
    division_g : float, grams
        Of the scale.
    deficiency_g : float, grams
        The tolerable deficiency T by the rule.
    """

    product: str
    declared_g: float
    rule: QuantityRule
    division_g: float
    deficiency_g: float

    @property
    def suits(self) -> bool:
        """Whether the division is no more than the rule's part of T."""
        return division_suits_law(
            str(self.division_g),
            tolerance_g=str(self.deficiency_g),
            least_divisions=self.rule.least_divisions,
        )

    @property
    def largest_division_g(self) -> float:
        """The rule's part of T, in grams."""
        return self.deficiency_g / self.rule.least_divisions

    @property
    def text(self) -> str:
        """One plain sentence, where the scale is too coarse."""
        parts = self.rule.least_divisions
        part = _PARTS.get(parts, f"one part in {parts}")
        return (
            f"A division of {self.division_g:g} g is too coarse to check the declared"
            f" {self.declared_g:g} g of '{self.product}': {self.rule.name} takes"
            f" {self.largest_division_g:.3g} g at most, {part} of the {self.deficiency_g:g} g that"
            f" a loaf may be short ({self.rule.sure['scale']}); weigh its loaves on a finer scale."
        )


@dataclass(frozen=True, slots=True)
class DeclaredWeights:
    """How a scale suits what a shop declares.

    Parameters
    ----------
    found : tuple of Declared
        In the order of the products file.
    refused : tuple of str
        One sentence for each that no rule could be held against.
    """

    found: tuple[Declared, ...] = ()
    refused: tuple[str, ...] = ()

    @property
    def texts(self) -> tuple[str, ...]:
        """One plain sentence for each that the scale is too coarse for, or that was not seen."""
        return (*(each.text for each in self.found if not each.suits), *self.refused)


def declared_weights(home: Home, division_g: float) -> DeclaredWeights:
    """Return how a scale suits what the shop declares.

    Parameters
    ----------
    home : Home
    division_g : float, grams

    Returns
    -------
    DeclaredWeights
        Empty where there is no products file.
    """
    if not home.products_path.exists():
        return DeclaredWeights()
    try:
        products = home.catalogue().products
    except SpecificationError as exc:
        return DeclaredWeights(refused=(f"No declared weight was looked at. {exc.sentence}",))
    found: list[Declared] = []
    refused: list[str] = []
    for product in products:
        try:
            found += _declared(product, home, division_g)
        except SpecificationError as exc:
            refused.append(f"What '{product.name}' declares was not looked at. {exc.sentence}")
    return DeclaredWeights(tuple(found), tuple(refused))


def _declared(product: Product, home: Home, division_g: float) -> tuple[Declared, ...]:
    if product.declared_mg is None:
        return ()
    rule, declared_g = rule_for(product, home), grams(product.declared_mg)
    deficiency_g = tolerable_deficiency(declared_g, rule=rule)
    return (Declared(product.name, declared_g, rule, division_g, deficiency_g),)

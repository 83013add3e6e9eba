"""What planning needs of a product: formula, losses, dusting flour, proof and oven."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

COST_STEP = Decimal("0.0001")
"""A price that is worked out is rounded to this, half to even."""


@dataclass(frozen=True, slots=True)
class BakersFormula:
    """A dough in baker's percentages: every ingredient in percent of all flour.

    Parameters
    ----------
    percentages : mapping of str to float
        By ingredient, as they were written; each above 0.
    flours : tuple of str
        Which of them are flour; 100 together.
    """

    percentages: Mapping[str, float] = field(hash=False)
    flours: tuple[str, ...]

    def cost_per_kg(self, prices_per_kg: Mapping[str, Decimal]) -> Decimal | None:
        """Return what the ingredients of a kilogram of dough cost.

        Parameters
        ----------
        prices_per_kg : mapping of str to Decimal
            By ingredient.

        Returns
        -------
        Decimal or None
            In the currency of the prices, to four decimals; None where a price is missing.

        Notes
        -----
        ``sum(price percent) / sum(percent)``, arithmetic. Labour, energy and losses are not in it.

        Examples
        --------
        >>> formula = BakersFormula({"flour": 100, "water": 60}, ("flour",))
        >>> formula.cost_per_kg({"flour": Decimal("0.80"), "water": Decimal(0)})
        Decimal('0.5000')
        """
        if not self.percentages.keys() <= prices_per_kg.keys():
            return None
        parts = {name: Decimal(str(pct)) for name, pct in self.percentages.items()}
        money = sum((prices_per_kg[name] * pct for name, pct in parts.items()), Decimal(0))
        return (money / sum(parts.values(), Decimal(0))).quantize(COST_STEP)


class LossBasis(Enum):
    """What a loss is a percentage of: what goes into a stage, or what comes out of it.

    A loss of 12 % of the dough leaves 88 g of 100; 12 % of the bread, as in "allow 60 g for a loaf
    of 500 g", leaves 89.3 g.
    """

    DOUGH = "dough"
    BREAD = "bread"


@dataclass(frozen=True, slots=True)
class StageLosses:
    """What goes missing from bowl to shelf, stage by stage.

    Parameters
    ----------
    basis : LossBasis
        Of all of them.
    fermentation_pct, handling_pct : float, percent, or None
        Between the bowl and the bench; None where it was not said.
    oven_pct, cooling_pct, shelf_pct : float, percent, or None
        Between the bench and the sale.
    """

    basis: LossBasis
    fermentation_pct: float | None = None
    handling_pct: float | None = None
    oven_pct: float | None = None
    cooling_pct: float | None = None
    shelf_pct: float | None = None

    @property
    def of_dough(self) -> dict[str, float]:
        """The losses that were said, as fractions of what goes into each stage, in their order.

        From percent of what comes out it is ``a / (1 + a)``, arithmetic.
        """
        said = {
            "fermentation": self.fermentation_pct,
            "handling": self.handling_pct,
            "oven": self.oven_pct,
            "cooling": self.cooling_pct,
            "shelf": self.shelf_pct,
        }
        return {stage: self._of_dough(pct) for stage, pct in said.items() if pct is not None}

    def _of_dough(self, pct: float) -> float:
        return pct / 100 if self.basis is LossBasis.DOUGH else pct / (100 + pct)


@dataclass(frozen=True, slots=True)
class DustingFlour:
    """What the bench is dusted with.

    Parameters
    ----------
    name : str
    allergens : tuple of str or None
        None where nobody said.
    """

    name: str
    allergens: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class FinalProof:
    """The last rise, between shaping and oven.

    Parameters
    ----------
    minutes : float
    temperature_c : float, degrees Celsius, or None
    """

    minutes: float
    temperature_c: float | None = None


@dataclass(frozen=True, slots=True)
class Bake:
    """A product in the oven.

    Parameters
    ----------
    minutes : float or None
    places : int or None
        Pieces of it in one load.
    """

    minutes: float | None = None
    places: int | None = None

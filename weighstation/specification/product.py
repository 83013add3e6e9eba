"""What is being divided, and all that a shop says of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from decimal import Decimal

    from weighstation.specification.limits import Limits
    from weighstation.specification.parts import (
        Bake,
        BakersFormula,
        DustingFlour,
        FinalProof,
        StageLosses,
    )


@dataclass(frozen=True, slots=True)
class Product:
    """What is being divided.

    Parameters
    ----------
    name : str
    limits : Limits
    declared_mg : int, milligrams, or None
        Declared weight of the baked loaf, where there is one.
    dough_cost_per_kg : Decimal or None
        Price of a kilogram of dough, in the catalogue's currency.
    is_guarded : bool
        The band is to be drawn in by what a weighing does not know.
    board_places : int or None
        Pieces on a board or a couche; 1 to 1000.
    rest_min : (2,) tuple of float, minutes, or None
        Least and most of the bench rest.
    dough_limit_min : float, minutes, or None
        How long one dough may be divided.
    dough : str or None
        Name of the dough; products that share it may share a batch.
    formula : BakersFormula or None
    losses : StageLosses or None
    allergens : tuple of str or None
        Empty where it has none, None where nobody said.
    dusting : DustingFlour or None
    proof : FinalProof or None
    oven : Bake or None
    quantity_rule : str or None
        One of `PUBLISHED_RULES`, or the name of a file of the shop's own.
    rule_text : str or None
        What that file said when a run began; None where it was not kept with one.
    sale_price_each : Decimal or None
        In the catalogue's currency.

    Notes
    -----
    What is None was not said; whoever uses it has the usual value.
    """

    name: str
    limits: Limits
    declared_mg: int | None = None
    dough_cost_per_kg: Decimal | None = None
    is_guarded: bool = False
    board_places: int | None = None
    rest_min: tuple[float, float] | None = None
    dough_limit_min: float | None = None
    dough: str | None = None
    formula: BakersFormula | None = None
    losses: StageLosses | None = None
    allergens: tuple[str, ...] | None = None
    dusting: DustingFlour | None = None
    proof: FinalProof | None = None
    oven: Bake | None = None
    quantity_rule: str | None = None
    rule_text: str | None = field(default=None, repr=False)
    sale_price_each: Decimal | None = None

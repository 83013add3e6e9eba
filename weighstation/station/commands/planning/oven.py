"""``plan oven``: pieces and an oven -> its loads, and when each should be divided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import Oven, bake_time, oven_loads
from weighstation.quantities import grams
from weighstation.report.plans.oven import OvenPlan, oven_page, oven_record
from weighstation.station.commands.planning.words import ordered_from
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.answering import ON_SCREEN, Answering

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.plan import BakeTime
    from weighstation.specification import Catalogue, Product


@dataclass(frozen=True, slots=True)
class OvenAsked:
    """The words of ``plan oven``.

    Parameters
    ----------
    product : str
        ``NAME=PIECES``.
    cut_every_s : float, seconds
        From one cut to the next; 0 where the dough is divided all at once.
    piece_mg : int, milligrams, or None
        Another weight of the pieces, for how long they bake.
    answering : Answering
    home : Path or None
    """

    product: str
    cut_every_s: float = 0.0
    piece_mg: int | None = None
    answering: Answering = ON_SCREEN
    home: Path | None = None


def run_oven(asked: OvenAsked) -> int:
    """Print the loads of an oven.

    Parameters
    ----------
    asked : OvenAsked

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If products.toml or what was typed makes no sense, or too little is said of oven and proof.
    """
    catalogue = Home.find(asked.home).catalogue()
    (ordered,) = ordered_from([asked.product], catalogue)
    product, pieces = ordered.product, ordered.pieces or 0
    oven, proof_min = _oven(product, catalogue), _proof_min(product)
    plan = OvenPlan(
        product=product.name,
        pieces=pieces,
        oven=oven,
        proof_min=proof_min,
        cut_every_s=asked.cut_every_s,
        loads=oven_loads(pieces, oven=oven, proof_min=proof_min, cut_every_s=asked.cut_every_s),
        piece_g=None if asked.piece_mg is None else grams(asked.piece_mg),
        set_g=grams(product.limits.target_mg),
        bake=_bake(asked, product),
    )
    asked.answering.give(lambda: oven_page(plan), lambda: oven_record(plan))
    return 0


def _oven(product: Product, catalogue: Catalogue) -> Oven:
    shop, own = catalogue.oven, product.oven
    places = own.places if own is not None and own.places is not None else None
    if shop is None:
        raise SpecificationError(
            "Nothing says how often the oven takes a load.",
            hint="Give an [oven] with places and cycle_min at the top of products.toml.",
        )
    return Oven(places or shop.places, shop.cycle_min)


def _proof_min(product: Product) -> float:
    if product.proof is None:
        raise SpecificationError(
            f"Nothing says how long '{product.name}' proves.",
            hint="Give it a [product.proof] with minutes in products.toml.",
        )
    return product.proof.minutes


def _bake(asked: OvenAsked, product: Product) -> BakeTime | None:
    if asked.piece_mg is None:
        return None
    if product.oven is None or product.oven.minutes is None:
        raise SpecificationError(
            f"Nothing says how long '{product.name}' bakes.",
            hint="Give it a [product.oven] with minutes in products.toml, or leave out --weight.",
        )
    return bake_time(
        product.oven.minutes,
        usual_g=grams(product.limits.target_mg),
        piece_g=grams(asked.piece_mg),
    )

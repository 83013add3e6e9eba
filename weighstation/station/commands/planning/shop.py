"""What a shop knows of a product when it plans."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import KnownLoss, stages_of, travels
from weighstation.quantities import grams

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.plan import OvenLoss
    from weighstation.specification import Catalogue, Product
    from weighstation.station.commands.planning.words import Asked


def known_loss(product: Product, own: OvenLoss | None = None) -> KnownLoss:
    """Return what is known of what a product loses between scale and sale.

    Parameters
    ----------
    product : Product
    own : OvenLoss or None
        Learned from its baked loaves.

    Returns
    -------
    KnownLoss
        Its own loss decides as soon as it is enough, the losses of its stages until then.
    """
    return KnownLoss(own, stages_of(product).loaf)


def stages_alone(loss: KnownLoss) -> KnownLoss:
    """Return what is known without an own loss, as for a weight that it was not learned from.

    Parameters
    ----------
    loss : KnownLoss

    Returns
    -------
    KnownLoss
    """
    return KnownLoss(stages=loss.stages)


def bakes_to_g(loss: KnownLoss, scaling_g: float) -> float | None:
    """Return what a scaling weight bakes to.

    Parameters
    ----------
    loss : KnownLoss
    scaling_g : float, grams

    Returns
    -------
    float, grams, or None
        By the stages where the own loss was not learned from pieces of this weight; None where
        nothing is known.
    """
    if not loss.is_known:
        return None
    try:
        return loss.reach(scaling_g, wanted_g=scaling_g).by[0].baked_g
    except SpecificationError:
        return bakes_to_g(stages_alone(loss), scaling_g) if loss.own else None


def declared_g(product: Product) -> float | None:
    """Return the declared weight of a product.

    Parameters
    ----------
    product : Product

    Returns
    -------
    float, grams, or None
    """
    return None if product.declared_mg is None else grams(product.declared_mg)


def require_losses(product: Product, loss: KnownLoss) -> None:
    """Refuse a product of which nothing says what a loaf loses.

    Parameters
    ----------
    product : Product
    loss : KnownLoss
        What is known of it.

    Raises
    ------
    SpecificationError
        If nothing does.
    """
    if not loss.is_known:
        raise SpecificationError(
            f"Nothing says what '{product.name}' loses in the oven.",
            hint="Give it a [product.losses] with basis and oven_pct in products.toml.",
        )


def refuse_too_much(dough_g: float, catalogue: Catalogue, what: str) -> None:
    """Refuse more dough than the bowl holds.

    Parameters
    ----------
    dough_g : float, grams
    catalogue : Catalogue
    what : str
        What is so much, to begin the sentence with.

    Raises
    ------
    SpecificationError
        If it does not fit.
    """
    bowl_kg = catalogue.bowl_kg
    if bowl_kg is not None and dough_g > bowl_kg * 1000:
        mixes = math.ceil(dough_g / (bowl_kg * 1000))
        raise SpecificationError(
            f"{what} is {dough_g / 1000:.1f} kg, and the bowl holds {bowl_kg:g} kg.",
            hint=f"Mix it in {mixes} parts and plan each, or mend bowl_kg in products.toml.",
        )


def dough_of(product: Product) -> str:
    """Return the name of the dough of a product: its own where it shares none.

    Parameters
    ----------
    product : Product

    Returns
    -------
    str
    """
    return product.dough or product.name


def by_dough(asked: Iterable[Asked]) -> tuple[tuple[Asked, ...], ...]:
    """Return products by the dough that they share, the largest pieces of each first.

    Parameters
    ----------
    asked : iterable of Asked

    Returns
    -------
    tuple of tuple of Asked
    """
    found: dict[str, list[Asked]] = {}
    for each in asked:
        key = each.product.dough.casefold() if each.product.dough else f"={each.product.name}"
        found.setdefault(key, []).append(each)
    return tuple(
        tuple(sorted(some, key=lambda each: -each.product.limits.target_mg))
        for some in found.values()
    )


def changeovers(products: Sequence[Product]) -> tuple[str, ...]:
    """Return what may not travel from one product to the next, as they are cut one after another.

    Parameters
    ----------
    products : sequence of Product
        In the order of cutting.

    Returns
    -------
    tuple of str
        Plain sentences, each once.
    """
    said = (sentence for pair in pairwise(products) for sentence in travels(*pair))
    return tuple(dict.fromkeys(said))

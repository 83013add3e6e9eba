"""What a shop knows of a product when it plans."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.plan import KnownLoss, stages_of
from weighstation.quantities import grams

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.specification import Product
    from weighstation.station.commands.planning.words import Asked


def known_loss(product: Product) -> KnownLoss:
    """Return what is known of what a product loses between scale and sale.

    Parameters
    ----------
    product : Product

    Returns
    -------
    KnownLoss
        The losses of its stages; an oven's own loss takes baked loaves, and none are on record.
    """
    return KnownLoss(stages=stages_of(product).loaf)


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


def require_losses(product: Product) -> None:
    """Refuse a product of which nothing says what a loaf loses.

    Parameters
    ----------
    product : Product

    Raises
    ------
    SpecificationError
        If nothing does.
    """
    if not known_loss(product).is_known:
        raise SpecificationError(
            f"Nothing says what '{product.name}' loses in the oven.",
            hint="Give it a [product.losses] with basis and oven_pct in products.toml.",
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


def allergen_caution(products: Sequence[Product]) -> str:
    """Return what to mind where products of one dough do not name the same allergens.

    Parameters
    ----------
    products : sequence of Product

    Returns
    -------
    str
        Empty where they do, or where nobody said.
    """
    said = [product for product in products if product.allergens is not None]
    named = [{allergen.casefold() for allergen in product.allergens or ()} for product in said]
    shared = set.intersection(*named) if named else set()
    more = [
        f"'{product.name}' names {', '.join(sorted(own - shared))}"
        for product, own in zip(said, named, strict=True)
        if own - shared
    ]
    if not more or len(said) < 2:
        return ""
    return (
        f"Not the same allergens: {'; '.join(more)}. Cut and shape what has more of them last, and"
        " let none of its trim go back into the dough."
    )

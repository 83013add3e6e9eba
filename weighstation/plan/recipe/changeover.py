"""What was divided and what comes next -> what may not travel from one to the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.specification import Product


def travels(from_product: Product, to_product: Product) -> tuple[str, ...]:
    """Return what may not travel to the next product: allergens, trim, bench flour.

    Parameters
    ----------
    from_product : Product
        What was divided last.
    to_product : Product
        What is divided next.

    Returns
    -------
    tuple of str
        Plain sentences, what can hurt most first; empty where it is the same product, or nothing
        is in the way. What nobody said is taken for the worse, unless nobody speaks of allergens
        at all.

    Notes
    -----
    Trim goes into no other recipe, old dough neither, and bench flour counts as an ingredient:
    common practice, no source. It is no food-safety control: the shop's own allergen plan is.

    Examples
    --------
    >>> from weighstation.specification import Limits, Product
    >>> band = Limits(70_000, 2_000, 2_000)
    >>> roll = Product("Sesame roll", band, dough="milk", allergens=("wheat", "sesame"))
    >>> for sentence in travels(roll, Product("Roll", band, dough="milk", allergens=("wheat",))):
    ...     print(sentence)
    'Sesame roll' has sesame, and 'Roll' has not: clean bench, scale and tools first.
    Keep trim of 'Sesame roll' out of 'Roll': it may carry sesame.
    """
    if _are_one(from_product.name, to_product.name):
        return ()
    carried = _carried(from_product, to_product)
    said = (
        _allergens(from_product, to_product, carried),
        _trim(from_product, to_product, carried),
        _bench_flour(from_product, to_product),
    )
    return tuple(sentence for sentence in said if sentence)


def _allergens(last: Product, to: Product, carried: tuple[str, ...]) -> str:
    if _is_unsaid(last, to):
        return (
            f"Nobody said what allergens '{last.name}' has: clean bench, scale and tools before"
            f" '{to.name}'."
        )
    if not carried:
        return ""
    other = (
        f"'{to.name}' has not" if to.allergens is not None else f"nobody said what '{to.name}' has"
    )
    return f"'{last.name}' has {_listed(carried)}, and {other}: clean bench, scale and tools first."


def _trim(last: Product, to: Product, carried: tuple[str, ...]) -> str:
    keep_out = f"Keep trim of '{last.name}' out of '{to.name}'"
    is_one = _is_one_dough(last, to)
    if is_one is False:
        return f"{keep_out}: it is another dough."
    if carried:
        return f"{keep_out}: it may carry {_listed(carried)}."
    if is_one is None or _is_unsaid(last, to):
        return (
            f"Trim of '{last.name}' goes into '{to.name}' only if both are one dough with the same"
            " allergens."
        )
    return ""


def _bench_flour(last: Product, to: Product) -> str:
    if last.dusting is None:
        return ""
    flour = f"Scrape up the {last.dusting.name} on the bench, without dust"
    if to.dusting is None:
        return f"{flour}, before '{to.name}'."
    if _are_one(last.dusting.name, to.dusting.name):
        return ""
    return f"{flour}: '{to.name}' is dusted with {to.dusting.name}."


def _is_unsaid(last: Product, to: Product) -> bool:
    """Tell whether the shop speaks of allergens, but not of those of the last product."""
    return last.allergens is None and to.allergens is not None


def _is_one_dough(last: Product, to: Product) -> bool | None:
    """Tell whether both are of one dough; None where that was not said."""
    if last.dough is not None and to.dough is not None:
        return _are_one(last.dough, to.dough)
    if last.formula is not None and to.formula is not None:
        return last.formula.percentages == to.formula.percentages
    return None


def _carried(last: Product, to: Product) -> tuple[str, ...]:
    """Return the allergens of one that the other does not name, in their order."""
    named = {allergen.casefold() for allergen in _all_allergens(to)}
    every = dict.fromkeys(_all_allergens(last))
    return tuple(allergen for allergen in every if allergen.casefold() not in named)


def _all_allergens(product: Product) -> tuple[str, ...]:
    of_flour = product.dusting.allergens if product.dusting else None
    return (*(product.allergens or ()), *(of_flour or ()))


def _are_one(name: str, other: str) -> bool:
    return name.strip().casefold() == other.strip().casefold()


def _listed(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last

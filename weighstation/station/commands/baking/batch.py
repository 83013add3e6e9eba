"""A product or a run that was named -> the batch that baked loaves are of."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.page.tables import named
from weighstation.station.commands.baking.baked import newest_of
from weighstation.station.stores import run_chain

if TYPE_CHECKING:
    from weighstation.specification import Product
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.stores import Store


@dataclass(frozen=True, slots=True)
class Divided:
    """The batch that the loaves are of.

    Parameters
    ----------
    run : str
        Its newest run.
    runs : tuple of str
        All of them.
    product : Product
        As promised.
    raw_mg : dict of int to int, milligrams
        Its counted pieces, by number.
    """

    run: str
    runs: tuple[str, ...]
    product: Product
    raw_mg: dict[int, int]


def nothing_divided() -> SpecificationError:
    """Return the error where there is no batch at all.

    Returns
    -------
    SpecificationError
    """
    return SpecificationError(
        "Nothing was divided here yet, so there is no batch that a loaf could be of.",
        hint="Divide one first: its pieces are what the loaves are held against.",
    )


def batch_meant(store: Store, product: str, batch: str) -> Divided:
    """Return the batch that is meant.

    Parameters
    ----------
    store : Store
    product : str
        Its name; empty where it does not matter.
    batch : str
        One of its runs; empty for the newest.

    Returns
    -------
    Divided

    Raises
    ------
    SpecificationError
        If there is none, or it is of another product.
    """
    newest = newest_of(store)
    if not newest:
        raise nothing_divided()
    run = newest.get(batch or _run_of_product(store, product), "")
    if not run:
        raise SpecificationError(
            f"There is no batch '{batch}' in the journal.",
            hint="'weighstation journal show' lists the lines; a batch goes by one of its runs.",
        )
    promised = store.started(run).product
    if product and product.casefold() != promised.name.casefold():
        raise SpecificationError(
            f"Batch {batch} is of {promised.name}, not of {product}.",
            hint="Leave out the product or the batch.",
        )
    runs = tuple(state.run for state in run_chain(store, run))
    pieces = [piece for each in runs for piece in store.pieces(each)]
    return Divided(run, runs, promised, {piece.number: piece.final_mg for piece in pieces})


def _run_of_product(store: Store, name: str) -> str:
    """Return the newest run, of a product where one is named."""
    runs = [state for state in store.runs() if name.casefold() in ("", state.product.casefold())]
    if not runs:
        known = dict.fromkeys(state.product for state in store.runs())
        raise SpecificationError(
            f"No batch of '{name}' was divided here.", hint=f"There are batches of {named(known)}."
        )
    return runs[-1].run


def with_declared(found: Divided, home: Home) -> Divided:
    """Return a batch with the declared weight that is known of it now, and say where none is.

    Parameters
    ----------
    found : Divided
    home : Home

    Returns
    -------
    Divided

    Raises
    ------
    SpecificationError
        If no piece of it counts, or products.toml has faults.
    """
    if not found.raw_mg:
        raise SpecificationError(
            f"No piece of batch {found.run} counts, so no loaf can be of it.",
            hint="Name another with --batch.",
        )
    known = home.product(found.product.name)  # its faults are said before a loaf is weighed
    if found.product.declared_mg is not None:
        return found
    declared_mg = None if known is None else known.declared_mg
    if declared_mg is None:
        sys.stderr.write(
            f"{found.product.name} has no declared weight: nothing is held against one until you"
            " write declared_g into products.toml.\n"
        )
    return replace(found, product=replace(found.product, declared_mg=declared_mg))

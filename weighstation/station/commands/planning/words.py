"""What was typed of an order -> products and numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.specification import Catalogue, Product

MOST_ORDERED = 100_000
"""More pieces than a bench divides in a month of nights."""
_NUMBER = re.compile(r"[0-9]+")


@dataclass(frozen=True, slots=True)
class Asked:
    """A product that was asked for.

    Parameters
    ----------
    product : Product
    pieces : int or None
        How many; None where nobody said.
    """

    product: Product
    pieces: int | None


def ordered_from(words: Sequence[str], catalogue: Catalogue) -> tuple[Asked, ...]:
    """Return an order, every product with its number.

    Parameters
    ----------
    words : sequence of str
        Each ``NAME=PIECES``.
    catalogue : Catalogue

    Returns
    -------
    tuple of Asked

    Raises
    ------
    SpecificationError
        If a product is unknown or named twice, or its number is missing or none.
    """
    found = asked_from(words, catalogue)
    for asked in found:
        if asked.pieces is None:
            name = asked.product.name
            raise SpecificationError(
                f"How many of '{name}' are ordered?", hint=f'Write it as in "{name}=48".'
            )
    return found


def asked_from(words: Sequence[str], catalogue: Catalogue) -> tuple[Asked, ...]:
    """Return products, each with its number where one was typed.

    Parameters
    ----------
    words : sequence of str
        Each ``NAME`` or ``NAME=PIECES``.
    catalogue : Catalogue

    Returns
    -------
    tuple of Asked

    Raises
    ------
    SpecificationError
        If a product is unknown or named twice, or its number is none.
    """
    found = tuple(_asked(word, catalogue) for word in words)
    names = [asked.product.name for asked in found]
    for name in names:
        if names.count(name) > 1:
            raise SpecificationError(
                f"'{name}' is named twice.", hint="Name each product once, with all its pieces."
            )
    return found


def _asked(word: str, catalogue: Catalogue) -> Asked:
    """Return what a word asks for; a name may have an equals sign in it."""
    name, sign, number = word.rpartition("=")
    if not sign or any(
        product.name.casefold() == word.casefold() for product in catalogue.products
    ):
        return Asked(catalogue.product(word.strip()), None)
    return Asked(catalogue.product(name.strip()), _pieces(number.strip(), name.strip()))


def _pieces(number: str, name: str) -> int:
    if not _NUMBER.fullmatch(number) or not 1 <= int(number) <= MOST_ORDERED:
        raise SpecificationError(
            f"'{number}' is no number of '{name}' to order.",
            hint=f'Give a whole number from 1 to {MOST_ORDERED}, as in "{name}=48".',
        )
    return int(number)

"""The products file -> the little of it that a page needs before anything is reckoned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.specification import parse_catalogue

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True, slots=True)
class Shop:
    """What a page is to know of a shop.

    Parameters
    ----------
    products : tuple of str
    shows_people : bool
        Whether it chose to tell people apart.
    currency : str
    decimal : str
        Between whole and part of a number that a person reads.
    """

    products: tuple[str, ...] = ()
    shows_people: bool = False
    currency: str = ""
    decimal: str = "."


def shop_in(folder: Path) -> Shop:
    """Return the shop of a home; one that chose nothing where its file is missing or has faults.

    Parameters
    ----------
    folder : Path

    Returns
    -------
    Shop
    """
    try:
        text = (folder / "products.toml").read_text(encoding="utf-8-sig")
        found = parse_catalogue(text)
    except (OSError, UnicodeDecodeError, SpecificationError):
        return Shop()
    names = tuple(product.name for product in found.products)
    return Shop(names, found.show_people, found.currency, found.decimal.value)

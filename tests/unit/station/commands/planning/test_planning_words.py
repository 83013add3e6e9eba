"""What was typed of an order."""

from __future__ import annotations

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import Catalogue, Limits, Product
from weighstation.station.commands.planning.words import asked_from, ordered_from

BAND = Limits(740_000, 8_000, 8_000)
NAMES = ("Country loaf", "Roll", "Half=half")
SHOP = Catalogue("EUR", tuple(Product(name, BAND) for name in NAMES))


def test_a_number_follows_the_last_equals_sign() -> None:
    found = ordered_from(["country LOAF = 48", "Half=half=3"], SHOP)

    assert [("Country loaf", 48), ("Half=half", 3)] == [
        (each.product.name, each.pieces) for each in found
    ]


def test_without_a_number_a_product_is_only_named() -> None:
    found = asked_from(["Roll", "half=HALF"], SHOP)

    assert [("Roll", None), ("Half=half", None)] == [
        (each.product.name, each.pieces) for each in found
    ]


@pytest.mark.parametrize("word", ["Roll=0", "Roll=-1", "Roll=1e3", "Roll=\N{SUPERSCRIPT TWO}"])
def test_what_is_no_number_of_pieces_is_refused(word: str) -> None:
    with pytest.raises(SpecificationError, match="is no number of 'Roll' to order"):
        asked_from([word], SHOP)


def test_a_product_is_named_once_whatever_its_case() -> None:
    with pytest.raises(SpecificationError, match="'Roll' is named twice"):
        asked_from(["Roll", "roll=3"], SHOP)


def test_an_order_has_numbers() -> None:
    with pytest.raises(SpecificationError, match="How many of 'Roll' are ordered"):
        ordered_from(["Country loaf=3", "Roll"], SHOP)

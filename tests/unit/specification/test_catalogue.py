"""A product is found by its name, or the names that there are are said."""

from __future__ import annotations

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import Catalogue, Limits, Product

CATALOGUE = Catalogue(
    "EUR",
    (
        Product("Country loaf", Limits(740_000, 8_000, 12_500)),
        Product("Roll", Limits(73_200, 2_000, 2_000)),
    ),
)


def test_a_product_is_found_whatever_the_case_of_its_name() -> None:
    assert CATALOGUE.product("COUNTRY LOAF").limits.target_mg == 740_000


def test_an_unknown_product_is_answered_with_the_known_ones() -> None:
    with pytest.raises(SpecificationError) as caught:
        CATALOGUE.product("baguette")

    expected = "There is no product 'baguette'. Choose one of 'Country loaf', 'Roll'."
    assert expected == caught.value.sentence

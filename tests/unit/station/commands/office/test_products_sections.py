"""A products file key by key: each fault of ``parse_catalogue`` beside the key that it is of."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.specification import parse_catalogue
from weighstation.station.commands.office.products import sections_of
from weighstation.station.commands.shop.first_products import FIRST_PRODUCTS

FAULTY = (
    FIRST_PRODUCTS.replace("under_g = 5 ", "under_g = -5 ", 1)
    .replace("rest_min = [15, 20]", 'rest_min = [20, 15]\ncolour = "red"')
    .replace('currency = "EUR" ', 'curency = "EUR" ', 1)
    .replace("places = 90", 'places = "many"')
    .replace('"wheat flour" = 80', '"wheat flour" = 70')
)


def beside(text: str) -> dict[tuple[str, str], int]:
    """Return how many faults stand beside each key that has some."""
    return {
        (section.name, field.key): len(field.faults)
        for section in sections_of(text)
        for field in section.fields
        if field.faults
    }


def test_each_fault_stands_beside_its_key() -> None:
    assert {
        ("", "currency"): 1,
        ("", "curency"): 1,
        ("Tin loaf", "under_g"): 1,
        ("Hearth loaf", "rest_min"): 1,
        ("Hearth loaf", "colour"): 1,
        ("Hearth loaf", "formula.flours"): 1,
        ("Sesame roll", "oven.places"): 1,
    } == beside(FAULTY)


def test_a_good_file_is_shown_whole() -> None:
    shop, *products = sections_of(FIRST_PRODUCTS)
    said = {field.key: field.value for field in products[0].fields}

    assert 0 == sum(section.faults for section in (shop, *products))
    assert ["Tin loaf", "Hearth loaf", "Sesame roll"] == [each.name for each in products]
    assert "920" == said["scaling_weight_g"]
    assert "10, 15" == said["rest_min"]
    assert "wheat flour" == said["dusting.name"]


@pytest.mark.parametrize("text", ["currency = 3,4", "[" * 3000, "product = 3", "[product]\n", ""])
def test_what_is_no_file_of_products_says_so(text: str) -> None:
    found = sections_of(text)

    assert 1 <= sum(section.faults for section in found)


@given(st.text(max_size=200))
def test_no_fault_is_lost_whatever_is_added(more: str) -> None:
    """As many faults are shown as the file has by the parser that every command uses."""
    text = f"{FAULTY}\n{more}"
    try:
        parse_catalogue(text)
        count = 0
    except SpecificationError as exc:
        count = len(exc.faults) or 1

    assert count == sum(beside(text).values())

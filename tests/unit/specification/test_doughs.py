"""A dough has one formula and, out of prices, one cost."""

from __future__ import annotations

from decimal import Decimal

from full_shop import FULL

from weighstation.specification import (
    parse_catalogue,
)


def test_products_of_one_dough_share_its_formula_and_cost() -> None:
    loaf, small = parse_catalogue(FULL).products

    assert (loaf.formula, loaf.dough_cost_per_kg) == (small.formula, small.dough_cost_per_kg)
    assert small.quantity_rule == "our-own.toml"


def test_a_dough_cost_that_is_given_stands() -> None:
    text = FULL.replace("dough =", "dough_cost_per_kg = 1.2\ndough =", 1)
    loaf, small = parse_catalogue(text).products

    assert (Decimal("1.2"), Decimal("0.4929")) == (loaf.dough_cost_per_kg, small.dough_cost_per_kg)


def test_a_formula_without_any_price_has_no_cost() -> None:
    head, _, tail = FULL.partition("[prices_per_kg]")
    text = head + "[oven]" + tail.partition("[oven]")[2]

    assert [None, None] == [product.dough_cost_per_kg for product in parse_catalogue(text).products]

"""A products file that says all that can be said, and the faults of one that is spoilt."""

from __future__ import annotations

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import parse_catalogue

LOAF = "product 1 ('Country loaf')"
SMALL = "product 2 ('Small country loaf')"
FULL = """
currency = "EUR"

[prices_per_kg]
"wheat flour" = 0.8
"rye flour" = "0.95"
water = 0
salt = 0.4

[oven]
places = 24
cycle_min = 40

[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
dough = "Country"
allergens = ["wheat", "rye"]
quantity_rule = "oiml-r87"
sale_price_each = "3.40"

[product.formula]
flours = ["wheat flour", "rye flour"]
"wheat flour" = 80
water = 68
"rye flour" = 20
salt = 2

[product.losses]
basis = "bread"
handling_pct = 1
oven_pct = 12
cooling_pct = 1.5

[product.dusting]
name = "rye flour"
allergens = ["rye"]

[product.proof]
minutes = 55
temperature_c = 27

[product.oven]
minutes = 40
places = 20

[[product]]
name = "Small country loaf"
scaling_weight_g = 370
under_g = 5
over_g = 5
dough = "country"
quantity_rule = "our-own.toml"
"""


def faults_of(text: str) -> tuple[str, ...]:
    """Return every fault that a products file is refused for."""
    with pytest.raises(SpecificationError) as caught:
        parse_catalogue(text)
    return caught.value.faults


def spoilt(old: str, new: str) -> str:
    """Return the file with one line another."""
    assert old in FULL
    return FULL.replace(old, new, 1)

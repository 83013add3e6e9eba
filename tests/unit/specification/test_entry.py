"""A product is taken with all that planning needs, or refused with product and key."""

from __future__ import annotations

from decimal import Decimal

import pytest
from full_shop import FULL, LOAF, SMALL, faults_of, spoilt

from weighstation.specification import (
    Bake,
    BakersFormula,
    DustingFlour,
    FinalProof,
    Limits,
    LossBasis,
    Product,
    ShopOven,
    StageLosses,
    parse_catalogue,
)

IN_BOUNDS = "must be a number, 0 or more and less than a million"


def test_all_that_planning_needs_is_taken() -> None:
    catalogue = parse_catalogue(FULL)
    loaf = catalogue.product("Country loaf")

    assert catalogue.oven == ShopOven(24, 40.0)
    assert catalogue.prices_per_kg == {
        "wheat flour": Decimal("0.8"),
        "rye flour": Decimal("0.95"),
        "water": Decimal(0),
        "salt": Decimal("0.4"),
    }
    assert loaf == Product(
        "Country loaf",
        Limits(740_000, 8_000, 8_000),
        dough_cost_per_kg=Decimal("0.4929"),  # (80 0.80 + 20 0.95 + 2 0.40) / 170, by hand
        dough="Country",
        formula=BakersFormula(
            {"wheat flour": 80.0, "water": 68.0, "rye flour": 20.0, "salt": 2.0},
            ("wheat flour", "rye flour"),
        ),
        losses=StageLosses(LossBasis.BREAD, handling_pct=1.0, oven_pct=12.0, cooling_pct=1.5),
        allergens=("wheat", "rye"),
        dusting=DustingFlour("rye flour", ("rye",)),
        proof=FinalProof(55.0, 27.0),
        oven=Bake(40.0, 20),
        quantity_rule="oiml-r87",
        sale_price_each=Decimal("3.40"),
    )


@pytest.mark.parametrize(
    ("old", "new", "faults"),
    [
        (
            "salt = 0.4",
            "saltt = 0.4",
            (
                (
                    f"{LOAF}: prices_per_kg has no 'salt', which is in the formula"
                    " (did you mean 'saltt'?)"
                ),
                (
                    f"{SMALL}: prices_per_kg has no 'salt', which is in the"
                    " formula (did you mean 'saltt'?)"
                ),
            ),
        ),
        ("salt = 0.4", "salt = -1", (f"prices_per_kg.salt {IN_BOUNDS}",)),
        (
            "places = 24",
            "places = 0",
            ("oven.places must be a whole number from 1 to 10000",),
        ),
        ("cycle_min = 40", "", ("oven.cycle_min is missing",)),
        (
            "[oven]",
            "[owen]",
            ("'owen' is not known at the top of the file (did you mean 'oven'?)",),
        ),
        (
            '"rye flour" = 20',
            '"rye flour" = 10',
            (f"{LOAF}: formula.flours must be 100 together, and are 90",),
        ),
        (
            '"rye flour"]',
            '"rye"]',
            (f"{LOAF}: formula.flours has 'rye', which is not in the formula",),
        ),
        (
            '"rye flour"]',
            '"rye flours"]',
            (
                (
                    f"{LOAF}: formula.flours has 'rye flours', which is not in the"
                    " formula (did you mean 'rye flour'?)"
                ),
            ),
        ),
        (
            'flours = ["wheat flour", "rye flour"]',
            "",
            ((f'{LOAF}: formula.flours is missing: name them, like flours = ["wheat flour"]'),),
        ),
        (
            "water = 68",
            "water = 0",
            (f"{LOAF}: formula.water must be a number above 0 and at most 1000",),
        ),
        (
            "water = 68",
            "water = 68\nboard_places = 8",
            (
                (
                    f"{LOAF}: 'board_places' stands under [product.formula] and"
                    " belongs above that line"
                ),
            ),
        ),
        (
            'basis = "bread"',
            "",
            (
                (
                    f'{LOAF}: losses.basis is missing: write "dough" for percent of'
                    ' what goes into a stage, "bread" for what comes out of it'
                ),
            ),
        ),
        (
            'basis = "bread"',
            'basis = "flour"',
            (f'{LOAF}: losses.basis must be "dough" or "bread"',),
        ),
        (
            "oven_pct = 12",
            "oven_pct = 100",
            (f"{LOAF}: losses.oven_pct must be a number from 0 and below 100",),
        ),
        (
            "oven_pct = 12",
            "ovn_pct = 12",
            ((f"{LOAF}: 'losses.ovn_pct' is not known (did you mean 'oven_pct'?)"),),
        ),
        (
            'allergens = ["rye"]',
            'allergens = ["soya"]',
            ((f"{LOAF}: dusting.allergens has 'soya', and allergens must name it too"),),
        ),
        (
            'allergens = ["wheat", "rye"]',
            'allergens = "wheat"',
            ((f'{LOAF}: allergens must be a list of texts, each once, like ["gluten", "sesame"]'),),
        ),
        (
            "minutes = 55",
            "",
            (f"{LOAF}: proof.minutes is missing",),
        ),
        (
            "temperature_c = 27",
            "temperature_c = 80",
            (f"{LOAF}: proof.temperature_c must be a number from 0 to 50",),
        ),
        (
            '"oiml-r87"',
            '"oiml-r78"',
            (
                (
                    f'{LOAF}: quantity_rule must be "eu-76-211", "nist-hb133",'
                    ' "oiml-r87" or the name of a file that ends in .toml'
                ),
            ),
        ),
        (
            "[product.proof]\nminutes = 55",
            "[product.proof]\nminutes = 55\n[[product.prooof]]",
            (f"{LOAF}: 'prooof' is not known (did you mean 'proof'?)",),
        ),
        (
            "[product.oven]",
            "[[product.oven]]",
            (f"{LOAF}: oven must be a table, written [product.oven]",),
        ),
        (
            'dough = "country"',
            'dough = "country"\nformula = { flours = ["rye flour"], "rye flour" = 100 }',
            (
                (
                    f"{SMALL}: formula is another than that of product 1"
                    " ('Country loaf'), and both are of the dough 'country'"
                ),
            ),
        ),
    ],
)
def test_a_fault_of_what_planning_needs_is_named_with_product_and_key(
    old: str, new: str, faults: tuple[str, ...]
) -> None:
    assert faults_of(spoilt(old, new)) == faults


def test_faults_of_all_kinds_are_named_together() -> None:
    spoilt = FULL.replace("places = 24", "places = 0.5").replace("salt = 0.4", "malt = 0.4")
    spoilt = spoilt.replace("water = 68", 'water = "much"').replace('"our-own.toml"', '""')

    assert faults_of(spoilt) == (
        "oven.places must be a whole number from 1 to 10000",
        f"{LOAF}: formula.water must be a number above 0 and at most 1000",
        (f"{LOAF}: prices_per_kg has no 'salt', which is in the formula (did you mean 'malt'?)"),
        (
            f'{SMALL}: quantity_rule must be "eu-76-211", "nist-hb133",'
            ' "oiml-r87" or the name of a file that ends in .toml'
        ),
        (f"{SMALL}: prices_per_kg has no 'salt', which is in the formula (did you mean 'malt'?)"),
    )

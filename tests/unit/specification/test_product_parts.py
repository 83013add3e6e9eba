"""A formula has a cost, and a loss one meaning whichever basis it was given on."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.plan import Loss
from weighstation.specification import BakersFormula, LossBasis, StageLosses

WORKSHEET = BakersFormula({"flour": 100, "water": 67, "salt": 2, "yeast": 1}, ("flour",))
PRICES = {
    "flour": Decimal("0.55"),
    "water": Decimal("0.002"),
    "salt": Decimal("0.30"),
    "yeast": Decimal("2.20"),
}


def test_a_kilogram_costs_what_its_ingredients_cost() -> None:
    """Percentages of a published worksheet (scribd.com/doc/79999339); prices invented.

    By hand for 28,470 g: flour 16,747.06 g, water 11,220.53, salt 334.94, yeast 167.47 cost 9.2109
    + 0.0224 + 0.1005 + 0.3684 = 9.7022, and that over 28.47 kg is 0.3408.
    """
    assert Decimal("0.3408") == WORKSHEET.cost_per_kg(PRICES)


def test_losses_are_those_that_planning_works_out_in_another_way() -> None:
    losses = StageLosses(LossBasis.BREAD, oven_pct=12, cooling_pct=1.5)

    assert losses.of_dough == pytest.approx(
        {"oven": Loss.on_bread(0.12).of_dough, "cooling": Loss.on_bread(0.015).of_dough}
    )


@given(st.decimals("0.01", 100, places=4), st.decimals("0.01", 100, places=4))
def test_a_kilogram_costs_no_more_than_its_dearest_and_no_less_than_its_cheapest(
    flour: Decimal, water: Decimal
) -> None:
    cost = BakersFormula({"flour": 100, "water": 70}, ("flour",)).cost_per_kg(
        {"flour": flour, "water": water}
    )

    assert cost is not None
    assert min(flour, water) <= cost <= max(flour, water)


def test_without_a_price_there_is_no_cost() -> None:
    assert WORKSHEET.cost_per_kg({"flour": Decimal(1)}) is None


def test_a_cost_is_rounded_once_half_to_even() -> None:
    formula = BakersFormula({"flour": 100}, ("flour",))

    assert Decimal("0.5000") == formula.cost_per_kg({"flour": Decimal("0.50005")})
    assert Decimal("0.5002") == formula.cost_per_kg({"flour": Decimal("0.50015")})


@pytest.mark.parametrize(
    ("basis", "oven_pct", "of_dough"),
    [
        # "Scaling or portioning dough", a textbook: allow 50 to 65 g for 500 g of bread, read in an
        # excerpt; 50 of 550 g and 65 of 565 g of dough.
        (LossBasis.BREAD, 10.0, 0.0909),
        (LossBasis.BREAD, 13.0, 0.1150),
        (LossBasis.DOUGH, 12.0, 0.12),
        (LossBasis.BREAD, 0.0, 0.0),
    ],
)
def test_a_loss_is_told_as_a_fraction_of_what_goes_in(
    basis: LossBasis, oven_pct: float, of_dough: float
) -> None:
    losses = StageLosses(basis, oven_pct=oven_pct)

    assert pytest.approx(of_dough, abs=5e-5) == losses.of_dough["oven"]


def test_losses_stand_in_the_order_of_the_stages_and_only_those_that_were_said() -> None:
    losses = StageLosses(LossBasis.DOUGH, shelf_pct=1, fermentation_pct=0, oven_pct=10)

    assert ["fermentation", "oven", "shelf"] == list(losses.of_dough)

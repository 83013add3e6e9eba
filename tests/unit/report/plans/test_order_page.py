"""The page of an order."""

from __future__ import annotations

from decimal import Decimal

import pytest

from weighstation.plan import Loss, Ordered, Stages, dough_for_orders
from weighstation.report.page.page import Grid
from weighstation.report.page.tables import SheetTable
from weighstation.report.plans.order import DoughOrder, order_page, order_record

PERCENTAGES = {"wheat": 80.0, "rye": 20.0, "water": 65.0, "salt": 2.0, "yeast": 1.0}


def mixed(pieces: int, cost_per_kg: Decimal | None = None, *, stages: Stages) -> DoughOrder:
    dough = dough_for_orders(
        [Ordered("Loaf", pieces, 1000, stages)],
        percentages=PERCENTAGES,
        flours=("wheat", "rye"),
    )
    assert dough.formula is not None
    return DoughOrder("white", dough, PERCENTAGES, dough.formula, cost_per_kg, {}, {})


def test_the_rows_of_the_bowl_end_with_all_of_it() -> None:
    page = order_page([mixed(10, stages=Stages())], currency="EUR")
    bowl = page.parts[-1]

    assert isinstance(bowl, Grid)
    assert ("all", "168 %", "10 000.0 g") == bowl.rows[-1]
    assert ["wheat", "rye", "water", "salt", "yeast", "all"] == [row[0] for row in bowl.rows]


def test_each_loss_is_shown_on_both_bases_with_what_it_leaves() -> None:
    stages = Stages((Loss(0.02, "handling"),), (Loss(0.12, "oven"),))
    page = order_page([mixed(10, stages=stages)], currency="EUR")
    chain = page.parts[1]

    assert isinstance(chain, Grid)
    assert (
        ("in the bowl", "", "", "10 204.1 g"),
        ("  handling", "2.0 %", "2.0 %", "10 000.0 g"),
        ("a piece", "", "", "1000 g"),
        ("  oven", "12.0 %", "13.6 %", "880 g"),
    ) == chain.rows


def test_without_a_price_it_is_said_what_to_give() -> None:
    about = order_page([mixed(10, stages=Stages())], currency="EUR").parts[-2]

    assert isinstance(about, SheetTable)
    assert "give prices_per_kg in products.toml" == about.rows[-1].note
    assert "Flour in all" == about.rows[1].label


@pytest.mark.parametrize(("pieces", "is_heavy"), [(25, False), (26, True)])
def test_more_than_a_person_lifts_is_said(pieces: int, is_heavy: bool) -> None:
    record = order_record([mixed(pieces, Decimal("0.34"), stages=Stages())], currency="EUR")
    cautions = record["cautions"]

    assert isinstance(cautions, list)
    assert is_heavy == any("nobody lifts" in caution for caution in cautions)

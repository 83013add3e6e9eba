"""What bench flour does to a piece, as a page and a record."""

from __future__ import annotations

import json

import pytest

from weighstation.plan import bench_flour
from weighstation.report.page.tables import SheetTable
from weighstation.report.plans.flour import FlourPlan, flour_page, flour_record


def plan(flour_g: float, hydration_pct: float | None = 70.0) -> FlourPlan:
    """A piece of 500 g of a formula of 172 % with 70 % water: the trade's example (calculated)."""
    found = bench_flour(500, flour_g, sum_pct=172, hydration_pct=hydration_pct or 70)
    return FlourPlan("Hearth loaf", 500 + flour_g, hydration_pct, found)


def said(each: FlourPlan) -> dict[str, str]:
    (table,) = flour_page(each).parts
    assert isinstance(table, SheetTable)
    return {row.label: row.said for row in table.rows}


@pytest.mark.parametrize(
    ("flour_g", "hydration_pct"), [(1, "69.8 %"), (3, "69.3 %"), (5, "68.8 %")]
)
def test_the_hydration_that_is_left(flour_g: float, hydration_pct: str) -> None:
    found = said(plan(flour_g))

    assert (hydration_pct, "500 g") == (found["Hydration"], found["Of that, dough"])
    assert f"{flour_g} g" == found["Bench flour"]


def test_little_flour_is_left_as_it_is_and_much_is_dusted_thinner() -> None:
    """Up to 1 % of the dough is good, above 2 % a fault (common practice, no source)."""
    assert "Good: leave it as it is." == flour_page(plan(5)).conclusion
    assert "dust more thinly" in flour_page(plan(11)).conclusion
    assert flour_page(plan(11)).conclusion.startswith("Too much: ")
    assert any("allergens" in caution for caution in flour_page(plan(5)).cautions)


def test_a_formula_without_water_has_no_hydration() -> None:
    bare = plan(5, None)

    assert "\N{EM DASH}" == said(bare)["Hydration"]
    assert json.loads(json.dumps(flour_record(bare)))["product"] == "Hearth loaf"


def test_the_record_has_grams_and_percent() -> None:
    record = flour_record(plan(5))

    assert (505.0, 5.0, 500.0) == (record["scaling_g"], record["flour_g"], record["dough_g"])

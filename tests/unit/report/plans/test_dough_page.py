"""The page of a dough on hand."""

from __future__ import annotations

from weighstation.plan import Choice, Short, uses_of_leftover
from weighstation.report.page.page import Grid
from weighstation.report.plans.dough import Cut, Dividing, DoughPlan, dough_page, dough_record

LOAF = Cut("Loaf", 48, None, 909.0, 909.0, (899.91, 918.09), None, None)
ROLL = Cut("Roll", 37, 30, 60.5, 60.0, (58.0, 62.0), 49.6, 50.0)
LEFT = Choice(48, 909.0, 548.0, 920.4)


def one(*, short: Short | None = None) -> DoughPlan:
    uses = uses_of_leftover(LEFT, cost_per_kg=None, over_g=9.09, smaller_g=60)
    return DoughPlan(
        44_180, (Dividing((LOAF,), 548, 920.4, uses, "Roll"),), 0, short, "EUR", ("Mind this.",)
    )


def test_one_product_has_both_counts_and_what_is_out_of_reach() -> None:
    page = dough_page(one(short=Short(49, 901.6, 365.5)))
    counts, uses = page.parts

    assert isinstance(counts, Grid)
    assert isinstance(uses, Grid)
    assert ("48", "909 g", "0.0 g", "548 g", "\N{EM DASH}", "\N{EM DASH}") == counts.rows[0]
    assert counts.remark == (
        "All of it in 48 pieces would be 920.4 g each, out of the band."
        " 49 pieces would weigh 901.6 g each: 365.5 g of dough are missing for that."
    )
    assert ["spread over the pieces", "smaller goods: Roll", "test piece"] == [
        row[0] for row in uses.rows
    ]
    assert {"\N{EM DASH}"} == {row[-1] for row in uses.rows}
    assert 'weighstation divide "Loaf" --dough 44180 --pieces 48' == page.next_step


def test_several_products_stand_in_the_order_of_cutting() -> None:
    plan = DoughPlan(20_400, (Dividing((LOAF, ROLL), 0, 0, ()),), 0, None, "EUR")
    page = dough_page(plan)
    (portions,) = page.parts

    assert isinstance(portions, Grid)
    assert ("Roll", "37", "30", "60.5 g", "+0.5 g", "49.6 g", "50 g") == portions.rows[1]
    assert "Nothing is left over." == portions.remark
    assert "48 Loaf at 909 g, 37 Roll at 60.5 g: nothing left over." == page.conclusion
    assert "" == page.next_step
    assert any("no legal proof" in caution for caution in page.cautions)


def test_each_use_says_what_to_mind_once() -> None:
    cautions = dough_page(one()).cautions

    assert "Mind this." == cautions[0]
    assert 4 == len(cautions)
    assert cautions[-1].startswith("Test piece: ")


def test_the_record_has_a_figure_for_everything() -> None:
    record = dough_record(one())

    assert None is record["short"]
    assert [0, 44_180.0] == [record["best"], record["dough_g"]]

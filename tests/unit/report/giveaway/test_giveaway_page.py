"""A statement as a person and as a program reads it."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from datetime import UTC, date
from decimal import Decimal

import pytest
from rich.console import Console

from report.giveaway.giveaway_rows import BASIS, PRODUCT, row
from weighstation.report.giveaway import AsOf, RunRow, Span, Statement, savings, statement
from weighstation.report.giveaway.page import statement_page
from weighstation.report.giveaway.record import statement_record
from weighstation.report.page.local import Local
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import SheetTable
from weighstation.report.page.text import print_page

SPAN, AS_OF = Span(date(2026, 3, 2), date(2026, 3, 8), UTC), AsOf(9, "ab" * 32)
RYE = replace(PRODUCT, name="Rye", dough="rye")


def found(*rows: RunRow, shows_people: bool = False) -> Statement:
    return statement(rows, span=SPAN, as_of=AS_OF, shows_people=shows_people)


WEEK = found(row([3000, -1000, 20_000, -30_000]), row([1000, 1000], product=RYE))


def grid(page: Page, title: str) -> list[list[str]]:
    (part,) = (part for part in page.parts if part.title == title)
    assert isinstance(part, Grid)
    return [list(cells) for cells in part.rows]


def said(page: Page) -> dict[str, str]:
    (part,) = (part for part in page.parts if part.title == "All pieces")
    assert isinstance(part, SheetTable)
    return {each.label: each.said for each in part.rows}


def test_causes_stand_in_their_order_and_add_up_in_print() -> None:
    """By hand: 6 pieces; label to oven 2 g, to lawful 3 g, to the scale 4 g each."""
    rows = grid(statement_page(WEEK), "Why")

    assert ["12 g", "18 g", "24 g", "4 g", "20 g", "−30 g", "48 g"] == [cells[1] for cells in rows]  # noqa: RUF001 - a true minus
    for column in (2, 3):
        coins = [Decimal(cells[column].replace("−", "-")) for cells in rows]  # noqa: RUF001 - the same
        assert coins[-1] == sum(coins[:-1])


def test_a_column_has_one_unit_and_adds_up_in_it() -> None:
    """By hand: 6000 pieces, 2, 3 and 4 g a piece to the scale, 1 g off; 60 kg together."""
    rows = grid(statement_page(found(row([1000] * 6000))), "Why")
    printed = [cells[1] for cells in rows]

    assert ["12.00 kg", "18.00 kg", "24.00 kg", "6.00 kg", "0.00 kg"] == printed[:5]
    kg = [Decimal(each.removesuffix(" kg")) for each in printed]
    assert kg[-1] == sum(kg[:-1]) == 60


def test_causes_say_which_of_them_are_the_give_away_and_what_is_assumed() -> None:
    """By hand: 2 g of two loaves; a roll has no label, so the first three leave it out."""
    assumed = replace(BASIS, knows_oven=False)
    rows = (row([3000, -1000], basis=assumed), row([1000], product=ROLL, basis=None))
    (why,) = (part for part in statement_page(found(*rows)).parts if part.title == "Why")
    (bare,) = (part for part in statement_page(found(rows[1])).parts if part.title == "Why")

    assert "The last three are the give-away of 3 g." in why.remark
    assert "above the label, of the 2 pieces with a label." in why.remark
    assert "Country loaf: too few baked loaves were weighed to know how unevenly" in why.remark
    assert "too few" not in grid_remark(statement_page(WEEK))
    assert bare.remark.startswith("At cost is")


def grid_remark(page: Page) -> str:
    return next(part.remark for part in page.parts if part.title == "Why")


def test_both_usual_figures_are_named() -> None:
    """Mean over the scaling weight: -6 g of 6 x 740 g; the sum of the overs alone: 25 g."""
    told = said(statement_page(WEEK))

    assert "−0.14 %" == told["Give-away"]  # noqa: RUF001 - a true minus
    assert "25 g" == told["Overs only"]
    assert ("1", "1") == (told["Above the band"], told["Light"])


def test_numbers_and_days_are_written_as_the_shop_writes() -> None:
    page = statement_page(WEEK, Local(",", is_day_first=True))

    assert "Give-away, 02.03.2026 to 08.03.2026" == page.title
    assert "−0,14 %" == said(page)["Give-away"]  # noqa: RUF001 - a true minus


def test_what_to_do_and_what_it_rests_on_have_the_shop_s_sign_too() -> None:
    """By hand: in the band (3 - 1 + 1 + 1) g of 4 pieces; names of a shop stay as they are."""
    named = replace(PRODUCT, name="Loaf 1.5")
    basis = replace(BASIS, said_by="A spread of 4.2 g.")
    shop = found(row([3000, -1000, 1000, 1000], product=named, basis=basis))
    every = savings(shop, Local(","))
    page = statement_page(shop, Local(","))
    (law,) = (part for part in page.parts if part.title == "What the law asks for")

    assert any("'Loaf 1.5'" in each.change and "+1,0 g" in each.change for each in every)
    assert law.remark.endswith(" A spread of 4,2 g.")


ROLL = replace(PRODUCT, name="Roll", declared_mg=60_000)
NO_RANGE = replace(
    BASIS, lawful_interval_mg=None, no_range="Too few lots: 2, and it takes 5. It is 1.5."
)


def test_a_loaf_and_a_roll_have_no_mean_together_and_it_is_said_why() -> None:
    """By hand: (3 - 1) g of 2 x 740 g are 0.14 percent; each product has a mean of its own."""
    mixed = found(row([3000, -1000]), row([1000], product=ROLL, basis=None))
    page, record = statement_page(mixed), json.loads(json.dumps(statement_record(mixed)))
    (whole,) = (part for part in page.parts if isinstance(part, SheetTable))
    (mean,) = (each for each in whole.rows if each.label == "Mean")

    assert "—" == mean.said
    assert "products of different weights have no common mean" in mean.note
    assert [["Country loaf", "2", "741.0 g", "+1.0 g"], ["Roll", "1", "741.0 g", "+1.0 g"]] == [
        cells[:4] for cells in grid(page, "By product")
    ]
    keys = ("mean_g", "sd_g", "over_sum_expected_g")
    assert [None] * 3 == [record[key] for key in keys]
    assert [741.0, 741.0] == [each["mean_g"] for each in record["products"]]
    by_weekday = grid(statement_page(found(*two_days())), "By weekday")
    assert [["Monday", "3", "+0.14 %"], ["Tuesday", "1", "+0.14 %"]] == [
        cells[:3] for cells in by_weekday
    ]


def two_days() -> tuple[RunRow, ...]:
    monday_ms = 1_772_409_600_000  # 2026-03-02, UTC
    return (
        row([3000, -1000], began_utc_ms=monday_ms),
        row([1000], product=ROLL, basis=None, began_utc_ms=monday_ms),
        row([1000], began_utc_ms=monday_ms + 86_400_000),
    )


def test_products_of_one_declared_weight_have_a_mean() -> None:
    record = statement_record(WEEK)

    assert 739.0 == record["mean_g"]  # -6 g of 6 x 740 g
    assert isinstance(record["sd_g"], float)


def test_a_lawful_weight_has_its_range_in_print_or_the_reason_why_not() -> None:
    rows = (row([1000]), row([1000], product=RYE, basis=NO_RANGE))
    page, record = statement_page(found(*rows), Local(",")), statement_record(found(*rows))
    (law,) = (part for part in page.parts if part.title == "What the law asks for")

    assert [
        ["Country loaf", "731,0 g", "736,0 g", "735,0 and 737,0 g"],
        ["Rye", "731,0 g", "736,0 g", "not known"],
    ] == grid(page, "What the law asks for")
    assert "Rye: Too few lots: 2, and it takes 5. It is 1,5." in law.remark
    assert "Country loaf, Rye: Said so." in law.remark
    known, unknown = json.loads(json.dumps(record["bases"]))
    assert (735.0, 737.0, 0.95, None) == tuple(known[key] for key in RANGE_KEYS)
    assert (None, None, None, NO_RANGE.no_range) == tuple(unknown[key] for key in RANGE_KEYS)


RANGE_KEYS = ("lawful_scaling_low_g", "lawful_scaling_high_g", "confidence", "no_interval")


def test_parts_add_up_where_there_is_no_range() -> None:
    record = json.loads(json.dumps(statement_record(found(row([3000, 9000], basis=NO_RANGE)))))

    over = record["over_label"]
    assert over["giveaway_g"] == sum(over["parts"].values()) == 2 * 9 + 12


def test_where_no_price_was_promised_there_is_no_money() -> None:
    bare = replace(PRODUCT, dough_cost_per_kg=None, sale_price_each=None)
    page = statement_page(found(row([2000], product=bare)))
    record = statement_record(found(row([2000], product=bare)))

    assert [["Country loaf", "1", "742.0 g", "+2.0 g", "2 g"]] == grid(page, "By product")
    assert ("1 piece", "1 piece") == (said(page)["Without cost"], said(page)["Without price"])
    assert (None, None) == (record["money"], record["money_at_price"])
    assert "Days like these would save 4 g of dough" in page.conclusion


def test_a_product_without_a_price_has_none_beside_one_that_has() -> None:
    bare = replace(RYE, dough_cost_per_kg=None, sale_price_each=None)
    rows = grid(statement_page(found(row([2000]), row([2000], product=bare))), "By product")

    assert ["Rye", "1", "742.0 g", "+2.0 g", "2 g", "—", "—"] == rows[1]
    assert "—" not in rows[0]


def test_without_a_label_there_is_no_lawful_part_and_no_caution() -> None:
    page = statement_page(found(row([2000], basis=None)))

    assert 4 == len(grid(page, "Why"))
    assert () == page.cautions
    assert "1 piece" == said(page)["Without label"]
    assert statement_record(found(row([2000], basis=None)))["over_label"] is None


def test_what_is_to_be_minded_stands_before_the_caution_and_in_the_record() -> None:
    said = "3 pieces in 1 run were entered from week.csv: no scale here weighed them."
    minded = statement([row([1000])], span=SPAN, as_of=AS_OF, minded=(said,))

    assert said == statement_page(minded).cautions[0]
    assert [said] == statement_record(minded)["mind"]


def test_what_is_off_by_nothing_has_nothing_to_save() -> None:
    page = statement_page(found(row([0], basis=None)))

    assert "Nothing was given away that a change would save." == page.conclusion


@pytest.mark.parametrize("columns", [60, 80])
def test_it_fits_a_terminal(columns: int) -> None:
    out = io.StringIO()
    print_page(statement_page(WEEK), Console(file=out, width=columns))

    assert max(map(len, out.getvalue().splitlines())) <= columns
    assert "as of line 9, head abababababababab" in out.getvalue()


def test_the_record_has_the_keys_that_others_rely_on_and_its_parts_add_up() -> None:
    record = json.loads(json.dumps(statement_record(WEEK)))

    keys = "pieces mean_g sd_g light over_sum_g giveaway_g giveaway_pct money currency parts"
    for each in (record, *record["products"]):
        assert set(keys.split()) <= set(each)
        assert each["giveaway_g"] == pytest.approx(sum(each["parts"].values()), abs=1e-9)
        over = each["over_label"]
        assert over["giveaway_g"] == pytest.approx(sum(over["parts"].values()), abs=1e-9)
    assert {"line": 9, "head": "ab" * 32} == record["as_of"]
    assert -6.0 == record["giveaway_g"]
    assert record["giveaway_g"] == sum(each["giveaway_g"] for each in record["products"])


def test_people_are_in_it_only_where_the_shop_chose_to() -> None:
    rows = (row([1000], person="AB"), row([2000], person="CD"))

    assert "person" not in statement_record(found(*rows))["by"]  # type: ignore[operator]
    shown = statement_page(found(*rows, shows_people=True))
    assert ["AB", "CD"] == [cells[0] for cells in grid(shown, "By person")]

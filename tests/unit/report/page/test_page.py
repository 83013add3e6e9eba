"""Weights, money and shares as a page of planning has them."""

from __future__ import annotations

import json
from decimal import Decimal

from weighstation.plan import Loss
from weighstation.report.page.page import (
    Grid,
    Page,
    column_of,
    figure,
    grams_of,
    loss_record,
    money_of,
    page_record,
    percent_of,
)
from weighstation.report.page.tables import SheetRow, SheetTable


def test_large_weights_stand_in_groups_of_three() -> None:
    assert ["9999.9 g", "10 000.0 g", "1 234 567.0 g"] == column_of([9999.9, 10_000, 1_234_567])


def test_what_rounds_to_a_whole_number_shows_none() -> None:
    assert ("900 g", "0 g", "\N{MINUS SIGN}5 g") == (
        grams_of(899.96),
        grams_of(-0.01),
        grams_of(-5),
    )


def test_money_has_two_decimals_and_its_currency() -> None:
    assert ("0.34 EUR", "\N{MINUS SIGN}1.50 EUR", "1.00") == (
        money_of(Decimal("0.3408"), "EUR"),
        money_of(-1.5, "EUR"),
        money_of(1, ""),
    )


def test_a_loss_is_told_on_both_bases() -> None:
    """12 % of the dough is 13.64 % of the bread, a = L / (1 - L): own arithmetic."""
    record = loss_record(Loss(0.12, "oven"), 800.0)

    assert ("oven", 0.12, 0.136364, 800.0) == tuple(record.values())
    assert "13.6 %" == percent_of(Loss(0.12).of_bread)


def test_no_figure_is_none() -> None:
    assert (None, 0.123) == (figure(None), figure(Decimal("0.1234")))


def test_another_program_can_tell_tables_with_columns_from_those_with_labels() -> None:
    grid = Grid("By product", ("", "pieces"), (("Bap", "12"),))
    sheet = SheetTable("All pieces", (SheetRow("Pieces", "12"),))
    record = json.loads(json.dumps(page_record(Page("Week", (grid, sheet), ("Mind this.",)))))

    assert ["Bap", "12"] == record["parts"][0]["rows"][0]
    assert ["heads" in part for part in record["parts"]] == [True, False]
    assert {"label": "Pieces", "said": "12", "note": ""} == record["parts"][1]["rows"][0]
    assert ["Mind this."] == record["cautions"]

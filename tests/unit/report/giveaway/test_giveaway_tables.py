"""The tables that every export is written from, and the workbook that is written of them."""

from __future__ import annotations

import io
import json
import math
from dataclasses import replace
from datetime import UTC, date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import openpyxl
import pandas as pd
import pytest

from report.giveaway.giveaway_rows import PRODUCT, row
from weighstation.report.giveaway import AsOf, Part, Span, statement
from weighstation.report.giveaway.bench_model import Reckoned
from weighstation.report.giveaway.page import statement_page
from weighstation.report.giveaway.record import statement_record
from weighstation.report.giveaway.tables import (
    DEFINITIONS,
    cause_table,
    level_table,
    outcome_table,
    run_table,
)
from weighstation.report.giveaway.what_if import Outcome
from weighstation.report.giveaway.workbook import workbook

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

SPAN, AS_OF = Span(date(2026, 3, 2), date(2026, 3, 8), UTC), AsOf(9, "ab" * 32)
EVIL = '=HYPERLINK("https://example.org","Rye")'
RYE = replace(PRODUCT, name=EVIL, dough="@rye", sale_price_each=None)
MONDAY_MS, TUESDAY_MS = 1_772_424_600_000, 1_772_511_000_000  # 2 and 3 March 2026, 04:10 UTC
FOUND = statement(
    [
        row([3000, -1000, 20_000, -30_000], began_utc_ms=MONDAY_MS),
        row([1000, 1000], product=RYE, basis=None, began_utc_ms=TUESDAY_MS),
    ],
    span=SPAN,
    as_of=AS_OF,
)


def levels() -> dict[tuple[str, str], dict[str, Any]]:
    rows: list[dict[str, Any]] = level_table(FOUND).to_dict("records")  # type: ignore[assignment]
    return {(row["level"], row["name"]): row for row in rows}


def test_the_levels_are_the_record_in_rows() -> None:
    """What another program reads as JSON stands in the table too, figure for figure."""
    record: dict[str, Any] = json.loads(json.dumps(statement_record(FOUND)))
    products = {each["name"]: each for each in record["products"]}
    loaf = products["Country loaf"]
    for line, said in ((levels()["all", "all"], record), (levels()["product", loaf["name"]], loaf)):
        for key in ("pieces", "light", "heavy", "dough_g", "over_sum_g", "giveaway_g"):
            assert said[key] == line[key]
        for part, grams in said["parts"].items():
            assert grams == line[f"{part}_g"]
        assert float(said["money"]) == line["giveaway_at_cost"]
    assert sum(record["why"].values()) == pytest.approx(
        record["giveaway_g"]
        + sum(
            grams
            for each in record["products"]
            for part, grams in (each["over_label"] or {"parts": {}})["parts"].items()
            if part not in record["parts"]
        )
    )
    assert loaf["over_label"]["giveaway_g"] == levels()["product", "Country loaf"]["over_label_g"]


def test_parts_of_a_row_add_up_and_stay_empty_where_a_label_is_missing() -> None:
    """By hand: -8 g of four loaves, and 9 g a piece from the label to the scaling weight."""
    loaf, rye = levels()["product", "Country loaf"], levels()["product", EVIL]

    assert 4 * 9 - 8 == loaf["over_label_g"] == sum(loaf[f"{part.value}_g"] for part in Part)
    assert 2 == rye["giveaway_g"] == rye["mean_off_aim_g"]
    for key in ("over_label_g", "oven_spread_g", "giveaway_at_price"):
        assert math.isnan(rye[key])


def test_every_column_of_the_levels_is_told_what_it_is() -> None:
    assert list(DEFINITIONS) == sorted(level_table(FOUND).columns, key=list(DEFINITIONS).index)
    assert set(DEFINITIONS) == set(level_table(FOUND).columns)


def test_causes_and_runs_have_a_row_each() -> None:
    causes, runs = cause_table(FOUND), run_table(FOUND)

    assert {"all": 3, "Country loaf": 6, EVIL: 3} == dict(causes["product"].value_counts())
    assert -2 == causes[causes["product"] == "Country loaf"]["dough_g_per_piece"][-3:].sum()
    assert ["2026-03-02 04:10:00", "2026-03-03 04:10:00"] == list(map(str, runs["began"]))
    assert not {"person", "initials"} & set(runs.columns)


def opened() -> dict[str, Worksheet]:
    book = openpyxl.load_workbook(io.BytesIO(workbook(FOUND, statement_page(FOUND))))
    return {sheet.title: sheet for sheet in book.worksheets}


def test_the_workbook_has_its_sheets_with_frozen_heads_and_its_last_line() -> None:
    sheets = opened()

    assert ["Statement", "Causes", "By product", "By dough", "By weekday", "Runs"] == list(sheets)
    for sheet in sheets.values():
        assert sheet.freeze_panes
        told = [cell.value for cells in sheet.iter_rows(max_col=1) for cell in cells]
        assert "as of line 9, head abababababababab" in told


def test_a_name_that_is_a_formula_stays_text_in_the_workbook() -> None:
    cells = [c for sheet in opened().values() for line in sheet.iter_rows() for c in line]
    named = [cell for cell in cells if cell.value in (EVIL, "@rye")]

    assert {"s"} == {cell.data_type for cell in named}
    assert 3 < len(named)
    assert "f" not in {cell.data_type for cell in cells}
    assert [] == [cell for cell in cells if cell.hyperlink]


def test_figures_of_the_workbook_are_numbers_with_a_format_and_a_unit() -> None:
    sheet = opened()["Statement"]
    rows = {str(line[0].value): line for line in sheet.iter_rows() if line[2].value is not None}
    name, figure, unit, _ = rows["give-away at cost"]

    assert ("give-away at cost", "EUR", "n") == (name.value, unit.value, figure.data_type)
    assert pytest.approx(-6 * 0.92 / 1000, abs=1e-4) == figure.value
    assert "#,##0.00" == figure.number_format
    assert 6 == rows["pieces"][1].value
    assert 10 < max(each.width for each in sheet.column_dimensions.values())


def test_a_run_s_beginning_is_a_date_in_the_workbook() -> None:
    cell = opened()["Runs"]["A2"]

    assert ("d", "2026-03-02 04:10:00") == (cell.data_type, str(cell.value))


def test_the_same_statement_gives_the_same_workbook() -> None:
    page = statement_page(FOUND)

    assert workbook(FOUND, page) == workbook(FOUND, page)


def test_a_loaf_and_a_roll_have_no_mean_together_and_none_a_piece() -> None:
    roll = replace(PRODUCT, name="Roll", declared_mg=60_000)
    mixed = statement([row([1000]), row([3000], product=roll)], span=SPAN, as_of=AS_OF)
    whole, *each = level_table(mixed)[["level", "mean_g", "sd_g"]].to_dict("records")
    causes = cause_table(mixed).set_index(["product", "cause"])["dough_g_per_piece"]

    assert [True, True] == [bool(pd.isna(whole[key])) for key in ("mean_g", "sd_g")]
    assert [741.0, 743.0] == [one["mean_g"] for one in each if one["level"] == "product"]
    assert math.isnan(causes["all", "mean_off_aim"])
    assert [1.0, 3.0] == [causes[name, "mean_off_aim"] for name in ("Country loaf", "Roll")]


def test_what_was_reckoned_anew_has_its_price_of_dough() -> None:
    bare = Outcome(PRODUCT.limits, Reckoned(0.5, 0.5, 0.0, 1.0, None), None, 5000, None, None, None)
    table = outcome_table({"bare": bare, "dear": replace(bare, cost_per_kg=Decimal("1.20"))})

    bare_price, price = table["dough_a_kg_at_cost"]
    assert math.isnan(bare_price)
    assert (1.20, 0.006) == (price, table["dough_at_cost"][1])

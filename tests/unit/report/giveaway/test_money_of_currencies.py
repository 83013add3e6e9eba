"""Money has the decimals that ISO 4217 gives its currency: yen none, Kuwaiti dinars three."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import UTC, date
from decimal import Decimal

import openpyxl
import pytest

from report.giveaway.giveaway_rows import PRODUCT, row
from weighstation.report.giveaway import AsOf, Span, Statement, statement
from weighstation.report.giveaway.page import statement_page
from weighstation.report.giveaway.workbook import workbook
from weighstation.report.page.local import Local
from weighstation.report.page.page import Grid, money_of

PLACES = [("EUR", 2), ("JPY", 0), ("KWD", 3)]


def found(currency: str) -> Statement:
    dear = replace(PRODUCT, dough_cost_per_kg=Decimal(345), sale_price_each=Decimal(400))
    rows = [replace(row([3000, 9100, -2000], product=dear), currency=currency)]
    span = Span(date(2026, 3, 2), date(2026, 3, 8), UTC)
    return statement(rows, span=span, as_of=AsOf(7, "ab" * 32))


def places_of(text: str) -> int:
    return len(text.partition(".")[2])


@pytest.mark.parametrize(("currency", "places"), PLACES)
def test_an_amount_has_the_decimals_of_its_currency(currency: str, places: int) -> None:
    for said in (Local().money(Decimal("2.5"), currency), money_of(2.5, currency)):
        amount, code = said.split(" ")

        assert (places, currency) == (places_of(amount), code)


@pytest.mark.parametrize(("currency", "places"), PLACES)
def test_the_causes_have_them_and_add_up(currency: str, places: int) -> None:
    (why,) = (part for part in statement_page(found(currency)).parts if part.title == "Why")
    assert isinstance(why, Grid)
    *causes, together = [cells[2] for cells in why.rows]

    assert {places} == {places_of(cell) for cell in (*causes, together)}
    assert Decimal(together) == sum(Decimal(cell.replace("\N{MINUS SIGN}", "-")) for cell in causes)


@pytest.mark.parametrize(
    ("currency", "form"), [("EUR", "#,##0.00"), ("JPY", "#,##0"), ("KWD", "#,##0.000")]
)
def test_a_workbook_shows_them_too(currency: str, form: str) -> None:
    week = found(currency)
    book = openpyxl.load_workbook(io.BytesIO(workbook(week, statement_page(week))))
    forms = {
        cells[1].number_format
        for cells in book["Statement"].iter_rows()
        if cells[2].value == currency
    }

    assert {form} == forms

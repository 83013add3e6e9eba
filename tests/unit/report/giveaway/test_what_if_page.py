"""Days as they would have been, as a person, a program and a spreadsheet read them."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from datetime import UTC, date
from decimal import Decimal

import openpyxl
import pytest

from report.giveaway.giveaway_rows import pieces, row
from weighstation.monitor import Moments
from weighstation.plan import KnownLoss, bench_spread
from weighstation.quantity import published_rule
from weighstation.report.giveaway import AsOf, Known, Span, statement
from weighstation.report.giveaway.bench_model import bench_model
from weighstation.report.giveaway.page import statement_page, with_what_if
from weighstation.report.giveaway.record import what_if_record
from weighstation.report.giveaway.what_if import Change, Days, bands, what_if
from weighstation.report.giveaway.workbook import workbook
from weighstation.report.page.local import Local
from weighstation.report.page.page import Grid, Page
from weighstation.specification import Limits

LIMITS = Limits(740_000, 8000, 8000)
CUTS = [
    replace(piece, touches=number % 2, ms=4000 + 3000 * (number % 2))
    for number, piece in enumerate(pieces([1000 * (n % 9 - 3) for n in range(60)]))
]
KNOWN = Known(
    650_000,
    published_rule("eu-76-211"),
    KnownLoss(stages=0.11),
    bench_spread([Moments(48, 0.5, 47 * 16.0)] * 5, band_g=16),
)
DAYS = Days(bench_model(CUTS, LIMITS), LIMITS, 1000, KNOWN, Decimal("0.92"), Decimal(24))
BARE = replace(DAYS, known=None, cost_per_kg=None, wage_per_h=None)
FOUND = statement(
    [row(of=tuple(CUTS))],
    span=Span(date(2026, 3, 2), date(2026, 3, 8), UTC),
    as_of=AsOf(9, "ab" * 32),
)


def page_of(days: Days, change: Change, local: Local | None = None) -> Page:
    is_sweep = days.known is not None
    return with_what_if(statement_page(FOUND), FOUND, days, change, local=local, is_sweep=is_sweep)


def grid(page: Page, title: str) -> Grid:
    (part,) = (part for part in page.parts if part.title.startswith(title))
    assert isinstance(part, Grid)
    return part


def test_as_it_is_and_as_asked_stand_side_by_side_in_the_shop_s_way() -> None:
    """By hand: 2 g less of 60 pieces are 120 g, at 0.92 a kilogram 11 cents."""
    found = grid(page_of(DAYS, Change(aim_mg=738_000), Local(",")), "What if")
    rows = {label: cells for label, *cells in found.rows}

    assert ["740,0 g", "738,0 g"] == rows["scaling weight"]
    assert ["732,0 to 748,0 g", "730,0 to 746,0 g"] == rows["band"]
    assert "It would have saved 0,11 EUR, dough and labour." in found.remark


@pytest.mark.parametrize(
    ("days", "change", "said"),
    [
        (BARE, Change(aim_mg=738_000), "It would have saved 120 g of dough."),
        (BARE, Change(aim_mg=741_000), "It would have cost another 60 g of dough."),
        (DAYS, Change(aim_mg=700_000), "is below the least lawful one."),
        (replace(DAYS, wage_per_h=None), Change(aim_mg=738_000), "0.11 EUR, dough alone."),
    ],
)
def test_the_conclusion_follows_from_what_is_known(days: Days, change: Change, said: str) -> None:
    assert said in grid(page_of(days, change), "What if").remark


def test_bands_are_compared_and_the_cheapest_is_named_where_there_is_a_price() -> None:
    priced = grid(page_of(replace(DAYS, wage_per_h=None), Change()), "How tight")
    bare = grid(page_of(replace(DAYS, cost_per_kg=None), Change()), "How tight")

    assert len(bands(DAYS)) == len(priced.rows)
    assert "Labour has no price here: give --wage." in priced.remark
    assert (6, 5, "") == (len(priced.heads), len(bare.heads), bare.remark)


def test_a_program_gets_both_and_every_band() -> None:
    record = json.loads(json.dumps(what_if_record(DAYS, Change(aim_mg=738_000))))
    bare = json.loads(json.dumps(what_if_record(BARE, Change())))

    assert [740.0, 738.0] == [record[key]["scaling_weight_g"] for key in ("as_it_is", "as_asked")]
    assert len(bands(DAYS)) == len(record["bands"])
    assert 3.0 == pytest.approx(record["touch_s"])
    assert (None, []) == (bare["as_asked"]["lawful_scaling_g"], bare["bands"])


def test_a_spreadsheet_gets_a_sheet_of_them() -> None:
    outcomes = {"as it is": what_if(BARE, Change()), "as asked": what_if(DAYS, Change())}
    book = openpyxl.load_workbook(io.BytesIO(workbook(FOUND, statement_page(FOUND), outcomes)))
    heads, *rows = book["What if"].iter_rows(values_only=True)

    assert ("name", "scaling weight, g", "under, g", "over, g") == heads[:4]
    assert [("as it is", 740), ("as asked", 740)] == [line[:2] for line in rows[:2]]
    assert "dough at cost, EUR" in heads

"""Days as they would have been, as a person, a program and a spreadsheet read them."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from datetime import UTC, date
from decimal import Decimal

import openpyxl
import pytest

from report.giveaway.giveaway_rows import PRODUCT, pieces, row
from weighstation.monitor import Moments
from weighstation.plan import KnownLoss, bench_spread
from weighstation.quantity import published_rule
from weighstation.report.giveaway import AsOf, Known, Span, statement
from weighstation.report.giveaway.bench_model import bench_model
from weighstation.report.giveaway.page import statement_page, with_what_if
from weighstation.report.giveaway.record import what_if_record
from weighstation.report.giveaway.what_if import Change, Days, bands, what_if
from weighstation.report.giveaway.what_if_page import bands_grid
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
    assert (6, 5) == (len(priced.heads), len(bare.heads))
    assert "Dough has no price here: give --dough-cost" in bare.remark


def test_where_nothing_is_known_of_other_bands_it_says_so() -> None:
    nothing = bands_grid(BARE, bands(BARE), local=Local(), currency="EUR", name="Loaf")

    assert () == nothing.rows
    assert nothing.remark.startswith("What other bands would do is not known")


def test_how_flat_the_curve_is_around_its_best_stands_in_one_sentence() -> None:
    """A step of the scale is 1 g on 60 pieces, at 0.92 a kilogram 6 cents; the rest by hand."""
    flat = grid(page_of(replace(DAYS, wage_per_h=None), Change()), "How tight")
    same = grid(page_of(DAYS, Change()), "How tight")
    costs = [Decimal(cells[-1]) for cells in flat.rows]
    dear = replace(DAYS, wage_per_h=Decimal(900))
    steep = bands_grid(dear, bands(dear)[:4], local=Local(), currency="EUR", name="Loaf")

    assert [Decimal("0.05"), Decimal("0.08")] == [each - min(costs) for each in costs[2:4]]
    assert (
        "The cheapest of these is ± 2.0 g, but all from ± 1.0 g to ± 3.0 g cost at most 0.05 EUR"
        " (0.13 %) more, which is less than 0.06 EUR, a step of the scale on every piece"
        in flat.remark
    )
    assert "is ± 16.0 g, and all from ± 5.0 g to ± 16.0 g cost the same." in same.remark
    assert "is ± 4.0 g: the bands beside it cost more by over 0.06 EUR" in steep.remark


def test_today_s_column_keeps_today_s_price() -> None:
    """By hand: 60 pieces of 740 g and the same spread; the price alone is 28 cents a kilogram."""
    dearer = Change(aim_mg=738_000, cost_per_kg=Decimal("1.20"))
    found = grid(page_of(DAYS, dearer), "What if")
    rows = {label: cells for label, *cells in found.rows}
    dough_kg = what_if(DAYS, Change()).dough_mg / 1e6

    assert ["0.92 EUR", "1.20 EUR"] == rows["a kilogram of dough"]
    assert f"{dough_kg * 0.92:.2f} EUR" == rows["cost of dough"][0]
    alone = f"{dough_kg * 0.28:.2f} EUR"
    assert f"The other price of dough alone would have cost another {alone}." in found.remark
    same = grid(page_of(DAYS, Change(cost_per_kg=Decimal("1.20"))), "What if").remark
    assert f"It would have cost another {alone}, dough and labour." in same
    assert "alone would" not in same


def test_a_price_where_there_was_none_stands_beside_none() -> None:
    found = grid(page_of(BARE, Change(cost_per_kg=Decimal(2))), "What if")
    rows = {label: cells for label, *cells in found.rows}

    assert ["—", "2.00 EUR"] == rows["a kilogram of dough"]
    assert "It would have saved 0 g of dough." in found.remark


def test_pieces_that_are_left_out_are_said_on_the_page_and_in_the_record() -> None:
    days = replace(DAYS, otherwise=12)
    said = "Left out are 12 of 72 pieces: 12 had another scaling weight, band or label"
    page, record = page_of(days, Change(aim_mg=738_000)), what_if_record(days, Change())

    assert all(said in grid(page, title).remark for title in ("What if", "How tight"))
    assert {"scaled_otherwise": 12, "first_cut_unknown": 0, "text": days.left_out} == (
        record["left_out"]
    )
    assert what_if_record(DAYS, Change())["left_out"]["text"] is None  # type: ignore[index]


def test_a_program_gets_both_and_every_band() -> None:
    record = json.loads(json.dumps(what_if_record(DAYS, Change(aim_mg=738_000))))
    bare = json.loads(json.dumps(what_if_record(BARE, Change())))

    assert [740.0, 738.0] == [record[key]["scaling_weight_g"] for key in ("as_it_is", "as_asked")]
    assert len(bands(DAYS)) == len(record["bands"])
    assert 3.0 == pytest.approx(record["touch_s"])
    assert (None, []) == (bare["as_asked"]["lawful_scaling_g"], bare["bands"])
    assert bare["bands_alike"] is None
    widths = [record["bands_alike"][key] for key in ("from_g", "cheapest_g", "to_g")]
    assert sorted(widths) == widths
    assert ["0.92", None] == [each["as_it_is"]["dough_cost_per_kg"] for each in (record, bare)]


def test_a_spreadsheet_gets_a_sheet_of_them() -> None:
    outcomes = {"as it is": what_if(BARE, Change()), "as asked": what_if(DAYS, Change())}
    book = openpyxl.load_workbook(io.BytesIO(workbook(FOUND, statement_page(FOUND), outcomes)))
    heads, *rows = book["What if"].iter_rows(values_only=True)

    assert ("name", "scaling weight, g", "under, g", "over, g") == heads[:4]
    assert [("as it is", 740), ("as asked", 740)] == [line[:2] for line in rows[:2]]
    assert "dough at cost, EUR" in heads


def test_it_says_which_bands_are_left_out_and_that_no_wage_is_counted() -> None:
    """Nobody touched a piece; first cuts lie 3 g below to 5 g above: from 5 g on all are in."""
    cuts = pieces([1000 * (n % 9 - 3) for n in range(60)])
    days = replace(DAYS, model=bench_model(cuts, LIMITS))
    found = bands_grid(days, bands(days), local=Local(), currency="EUR", name="Country loaf")

    assert "± 5.0 g" == found.rows[0][0]
    assert "Bands narrower than ± 5.0 g are left out: no piece" in found.remark
    assert "How long a touch takes is not known of these days" in found.remark
    told = grid(page_of(DAYS, Change(aim_mg=738_000)), "What if").remark
    assert "How long a touch takes" not in told


def test_where_every_band_is_told_none_is_left_out() -> None:
    found = bands_grid(DAYS, bands(DAYS), local=Local(), currency="EUR", name="Country loaf")

    assert 16 == len(found.rows)
    assert "left out" not in found.remark


def test_a_price_that_is_only_asked_has_the_currency_of_the_shop() -> None:
    """No run has a price; Kuwait's dinar has three decimals (ISO 4217)."""
    bare = replace(PRODUCT, dough_cost_per_kg=None, sale_price_each=None)
    found = statement(
        [replace(row(of=tuple(CUTS), product=bare), currency="KWD")],
        span=FOUND.span,
        as_of=FOUND.as_of,
    )
    days = replace(DAYS, cost_per_kg=None, wage_per_h=None)
    page = with_what_if(statement_page(found), found, days, Change(cost_per_kg=Decimal("1.2")))
    rows = {label: cells for label, *cells in grid(page, "What if").rows}

    assert "" == found.currency
    assert ["—", "1.200 KWD"] == rows["a kilogram of dough"]

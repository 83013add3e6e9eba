"""What an owner is told to do: what the law needs first, then what saves most, and surest."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import UTC, date
from typing import Any, cast

import openpyxl
import pytest
from rich.console import Console

from report.giveaway.giveaway_rows import BASIS, PRODUCT, row
from weighstation.report.giveaway import AsOf, Part, RunRow, Span, Statement, savings, statement
from weighstation.report.giveaway.advice import advice, urgent
from weighstation.report.giveaway.page import statement_page
from weighstation.report.giveaway.record import statement_record
from weighstation.report.giveaway.too_light import too_light
from weighstation.report.giveaway.workbook import workbook
from weighstation.report.page.local import Local
from weighstation.report.page.page_html import page_html
from weighstation.report.page.text import print_page

LIGHT = replace(BASIS, oven_mg=737_000, lawful_mg=745_000, lawful_interval_mg=(744_000, 746_000))
"""5 g above the scaling weight of 740 g, and surely so; 8 g of them for uneven scaling."""
RYE = replace(PRODUCT, name="Rye")


def found(*rows: RunRow) -> Statement:
    at = AsOf(9, "ab" * 32)
    return statement(rows, span=Span(date(2026, 3, 2), date(2026, 3, 8), UTC), as_of=at)


def test_what_is_too_light_for_the_law_is_said_before_any_saving() -> None:
    week = found(row([1000, 1000], basis=LIGHT))

    (text,) = urgent(week, Local(","))
    assert text.startswith(
        "First of all: 'Country loaf' is scaled at 740,0 g, below its least lawful weight of"
        " 745,0 g: loaves may be too light for their label. Scale it heavier, or more evenly,"
    )
    told = cast("list[dict[str, Any]]", statement_record(week)["too_light"])
    assert [("Country loaf", 740.0, 745.0, True)] == [tuple(each.values())[:4] for each in told]


@pytest.mark.parametrize("interval_mg", [(739_000, 751_000), None])
def test_where_nobody_can_be_sure_it_says_that_it_may_be(
    interval_mg: tuple[int, int] | None,
) -> None:
    unsure = replace(LIGHT, lawful_interval_mg=interval_mg)
    (each,) = too_light(found(row([1000], basis=unsure)))

    assert not each.is_sure
    assert "may be 745.0 g, which is more. Weigh baked loaves to be sure" in each.said()


def test_what_was_scaled_too_light_before_and_is_mended_is_not_said() -> None:
    """The older run was promised a lawful weight of 745 g, the newer 736 g; 740 g were scaled."""
    assert () == too_light(found(row([1000], basis=LIGHT), row([1000])))
    assert () == too_light(found(row([1000], basis=None)))


@pytest.mark.parametrize(
    ("oven_mg", "lawful_mg", "each_mg"),
    [(737_000, 745_000, 3000), (737_000, 739_000, 2000), (742_000, 745_000, 0)],
)
def test_evener_scaling_saves_no_more_than_the_scaling_weight_can_come_down(
    oven_mg: int, lawful_mg: int, each_mg: int
) -> None:
    """By hand: with equal pieces 737 g are lawful, which is 3 g below the 740 g scaled, not 8 g.

    Where 742 g would be lawful of equal pieces, 740 g cannot come down at all.
    """
    basis = replace(BASIS, oven_mg=oven_mg, lawful_mg=lawful_mg)
    found_ = savings(found(row([0, 0], basis=basis)))
    mg = sum(each.amount.mg for each in found_ if each.part is Part.BENCH_SPREAD)

    assert 2 * each_mg == mg


def test_on_a_product_that_is_too_light_nothing_is_saved_first() -> None:
    """9 g heavy on each loaf that is too light, 1 g on each rye: the rye comes first."""
    rows = [row([7000, 7000], basis=LIGHT)] * 3 + [row([1000, 1000], basis=None, product=RYE)] * 3
    every = savings(found(*rows))

    assert ["Rye"] == [each.product for each in every if not each.waits]
    assert "Rye" == every[0].product
    assert every[0].amount.mg < max(each.amount.mg for each in every)


def test_after_what_is_at_most_saved_comes_what_is_surest() -> None:
    """By hand: 6 g a piece at most for the oven; 1 g on each of 6 pieces is shown, 6 g at 0.92."""
    basis = replace(BASIS, oven_mg=737_000, lawful_mg=740_000)
    told = advice(found(*[row([1000, 1000], basis=basis)] * 3), Local())

    assert "Even out the oven for 'Country loaf'. Days like these would save at most 0.03" in told
    assert "What is surest: Cut 'Country loaf' nearer to its scaling weight" in told
    assert told.endswith("Days like these would save 0.01 EUR.")


def test_where_nothing_is_sure_only_what_is_at_most_is_said() -> None:
    basis = replace(BASIS, oven_mg=737_000, lawful_mg=740_000)
    told = advice(found(row([0, 0], basis=basis)), Local())

    assert told.endswith("Days like these would save at most 0.01 EUR.")


@pytest.mark.parametrize("part", [Part.OVEN_SPREAD, Part.BENCH_SPREAD])
def test_nobody_is_told_to_even_out_what_is_only_assumed(part: Part) -> None:
    assumed = replace(BASIS, knows_oven=False, knows_bench=False)

    assert part in {each.part for each in savings(found(row([0])))}
    assert part not in {each.part for each in savings(found(row([0], basis=assumed)))}


def test_it_stands_before_the_conclusion_on_paper_and_on_a_screen() -> None:
    week = found(row([1000, 1000], basis=LIGHT))
    page = statement_page(week)
    html = page_html(page)
    screen = io.StringIO()
    print_page(page, Console(file=screen, width=80))
    (sheet, *_) = openpyxl.load_workbook(io.BytesIO(workbook(week, page, {}))).worksheets

    for text in (html, screen.getvalue(), "\n".join(str(cell.value) for cell in sheet["A"])):
        assert -1 < text.index("First of all") < text.index("What would save most")

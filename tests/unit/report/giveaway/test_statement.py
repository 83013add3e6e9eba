"""Runs of some days -> one statement, told apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date
from zoneinfo import ZoneInfo

import pytest

from report.giveaway.giveaway_rows import PRODUCT, row
from weighstation.errors import SpecificationError
from weighstation.report.giveaway import AsOf, By, Given, Span, statement

DAY_MS = 86_400_000
MONDAY = 1_772_409_600_000  # 2026-03-02T00:00:00Z
SPAN = Span(date(2026, 3, 2), date(2026, 3, 8), UTC)
AS_OF = AsOf(120, "5425655824bc39e3" * 4)
WEEK = (
    row([4000, 2000], began_utc_ms=MONDAY, person="AB"),
    row([-1000], began_utc_ms=MONDAY + 2 * DAY_MS, product=replace(PRODUCT, name="Rye")),
    row([9000], began_utc_ms=MONDAY + 7 * DAY_MS, person="AB", product=replace(PRODUCT, dough="W")),
)


def test_every_way_of_telling_apart_adds_up_to_the_whole() -> None:
    found = statement(WEEK, span=SPAN, as_of=AS_OF, shows_people=True)

    for by in By:
        assert found.whole == sum((group.given for group in found.by(by)), Given()), by


def test_groups_stand_in_their_order_and_what_nobody_said_comes_last() -> None:
    found = statement(WEEK, span=SPAN, as_of=AS_OF, shows_people=True)

    def names(by: By) -> list[str]:
        return [group.name for group in found.by(by)]

    assert ["Country loaf", "Rye"] == names(By.PRODUCT)
    assert ["W", "not said"] == names(By.DOUGH)
    assert ["AB", "not said"] == names(By.PERSON)
    assert ["Monday", "Wednesday"] == names(By.WEEKDAY)
    assert ["2026-W10", "2026-W11"] == names(By.WEEK)
    assert ["0 to 1 h"] == names(By.DOUGH_AGE)


def test_people_are_told_apart_only_where_the_shop_chose_to() -> None:
    assert () == statement(WEEK, span=SPAN, as_of=AS_OF).by(By.PERSON)


def test_days_without_a_piece_are_refused() -> None:
    with pytest.raises(SpecificationError, match="No piece was counted from 2026-03-02 to"):
        statement([row()], span=SPAN, as_of=AS_OF)


def test_two_currencies_are_refused() -> None:
    mixed = (row([1]), replace(row([1]), currency="CHF"))

    with pytest.raises(SpecificationError, match="prices in CHF and EUR, which do not add up"):
        statement(mixed, span=SPAN, as_of=AS_OF)


def test_a_product_without_a_price_does_not_mind_a_change_of_money() -> None:
    """A run says its shop's money whether or not anything of it has a price."""
    bare = replace(PRODUCT, dough_cost_per_kg=None, sale_price_each=None)
    mixed = (row([1], product=bare), replace(row([1], product=bare), currency="CHF"), row([1]))

    assert "EUR" == statement(mixed, span=SPAN, as_of=AS_OF).currency


def test_a_day_on_which_the_clock_is_changed_is_as_long_as_it_is() -> None:
    """Central Europe went to summer time on 2026-03-29 (IANA time zone database)."""
    low, high = Span(date(2026, 3, 29), date(2026, 3, 29), ZoneInfo("Europe/Vienna")).utc_ms

    assert 23 * 3_600_000 == high - low

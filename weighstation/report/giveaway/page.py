"""A statement of give-away -> its page: tables with columns, what to mind, what to do."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G
from weighstation.report.giveaway.groups import By
from weighstation.report.giveaway.parts import (
    BENCH_PARTS,
    LABEL_PARTS,
    Amount,
    Part,
    expected_overs_mg,
)
from weighstation.report.giveaway.savings import savings
from weighstation.report.giveaway.what_if import Change, bands, what_if
from weighstation.report.giveaway.what_if_page import bands_grid, what_if_grid
from weighstation.report.page.local import Local, adding_up
from weighstation.report.page.page import Grid, Page
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted
from weighstation.specification import money_decimals

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from weighstation.report.giveaway.groups import Group
    from weighstation.report.giveaway.parts import Given
    from weighstation.report.giveaway.statement import Statement
    from weighstation.report.giveaway.what_if import Days

CAUSES = "Why"
SAID = {
    Part.OVEN_SPREAD: "the oven's spread asks for it",
    Part.BENCH_SPREAD: "the bench's spread asks for it",
    Part.AIM_ABOVE_LAWFUL: "the aim is above the lawful one",
    Part.MEAN_OFF_AIM: "the bench is off its aim",
    Part.HEAVY_OUT_OF_BAND: "boarded above the band",
    Part.LIGHT_OUT_OF_BAND: "boarded below the band",
}
"""Each cause as a row of the table."""
TITLES = {
    By.PRODUCT: "By product",
    By.DOUGH: "By dough",
    By.PERSON: "By person",
    By.DOUGH_AGE: "By age of the dough",
    By.WEEKDAY: "By weekday",
    By.WEEK: "Week by week",
}
"""What stands over each way of telling runs apart."""
CAUTION = (
    "The lawful part is arithmetic by the rule named, and no legal proof: your local code and your"
    " inspector decide."
)


def statement_page(found: Statement, local: Local | None = None) -> Page:
    """Return the page of a statement.

    Parameters
    ----------
    found : Statement
    local : Local or None
        How the shop writes numbers and days.

    Returns
    -------
    Page
    """
    how = _Words(found, local or Local())
    return Page(
        title=f"Give-away, {how.local.day(found.span.first)} to {how.local.day(found.span.last)}",
        parts=tuple(how.parts()),
        cautions=(*((CAUTION,) if found.whole.labelled else ()), *found.remarks),
        conclusion=how.conclusion(),
        as_of=found.as_of.text,
    )


def with_what_if(
    page: Page,
    found: Statement,
    days: Days,
    change: Change,
    *,
    local: Local | None = None,
    is_sweep: bool = False,
) -> Page:
    """Return a page of one product with what its days would have been.

    Parameters
    ----------
    page : Page
        As `statement_page` made it.
    found : Statement
    days : Days
    change : Change
    local : Local or None
        How the shop writes numbers.
    is_sweep : bool
        With bands from narrow to wide.

    Returns
    -------
    Page

    Raises
    ------
    SpecificationError
        If no touched piece ever lay in such a band, or the lawful aim is asked for and not known.
    """
    local = local or Local()
    currency, name = found.currency, found.rows[-1].product.name
    more = []
    if change != Change():
        was, would = what_if(days, Change()), what_if(days, change)
        more.append(what_if_grid(days, was, would, local=local, currency=currency, name=name))
    if is_sweep:
        more.append(bands_grid(days, bands(days), local=local, currency=currency, name=name))
    return replace(page, parts=(*page.parts, *more))


class _Words:
    """A statement in the words and numbers of a shop."""

    def __init__(self, found: Statement, local: Local) -> None:
        self.found = found
        self.local = local
        self.has_cost = bool(found.whole.costed)
        self.has_price = bool(found.whole.priced)

    def parts(self) -> Iterator[Grid | SheetTable]:
        yield SheetTable("All pieces", tuple(self._whole()))
        yield self._causes()
        for by, title in TITLES.items():
            groups = self.found.by(by)
            if len(groups) > 1 or (groups and by is By.PRODUCT):
                yield self._grid(title, groups)

    def conclusion(self) -> str:
        """Return the one change that would save most, with its range."""
        most = next(iter(savings(self.found, self.local)), None)
        if most is None:
            return "Nothing was given away that a change would save."
        ends, between = most.at_ends(), ""
        if most.is_most:
            return (
                f"What would save most: {most.change} Days like these would save at most"
                f" {self._saved(most.amount)}."
            )
        if ends is not None and ends[0] != ends[1]:
            low, high = (self._saved(end) for end in ends)
            between = f" ({low} to {high}, at 95 %)"
        open_ = " They do not show that it saves anything." if most.may_be_nothing else ""
        return (
            f"What would save most: {most.change} Days like these would save"
            f" {self._saved(most.amount)}{between}.{open_}"
        )

    def _saved(self, amount: Amount) -> str:
        if amount.at_cost:
            return self.local.money(amount.at_cost, self.found.currency)
        return f"{self.local.grams(amount.mg)} of dough"

    def _whole(self) -> Iterator[SheetRow]:
        whole, local = self.found.whole, self.local
        runs = counted(len(self.found.rows), "run")
        yield SheetRow("Pieces", local.number(whole.kept.n), f"in {runs}")
        yield SheetRow("Dough scaled", local.grams(whole.net_mg))
        mean_mg, sd_mg = Fraction(whole.net_mg, whole.kept.n), whole.kept.sd_mg
        spread = (
            ""
            if sd_mg is None
            else f"standard deviation {self._g(sd_mg)}, each piece less its scaling weight"
        )
        yield SheetRow("Mean", self._g(mean_mg), spread)
        share = Fraction(100 * whole.giveaway.mg, whole.target_mg)
        yield SheetRow(
            "Give-away",
            f"{self.local.signed(share, 2)} %",
            f"{self._amount(whole.giveaway)}: mean minus scaling weight, times pieces",
        )
        yield SheetRow(
            "Overs only",
            local.grams(whole.overs.mg),
            f"{self._money_of(whole.overs)}pieces above the scaling weight; light ones not set"
            f" off{self._expected()}",
        )
        if whole.over_label_mg is not None:
            over = Fraction(100 * whole.over_label_mg, whole.net_mg - whole.over_label_mg)
            yield SheetRow(
                "Over the label",
                f"{local.signed(over, 2)} %",
                f"{local.grams(whole.over_label_mg)} of dough beyond what bakes to the declared"
                " weight",
            )
        yield SheetRow("Above the band", local.number(whole.heavy), "boarded as they were")
        yield SheetRow("Light", local.number(whole.light), "below the band, boarded as they were")
        yield from self._not_known(whole)

    def _expected(self) -> str:
        """Return what overs come of mean and spread alone, product by product."""
        expected = [expected_overs_mg(group.given.kept) for group in self.found.by(By.PRODUCT)]
        known = [mg for mg in expected if mg is not None]
        if len(known) < len(expected):
            return ""
        return (
            f"; with this mean and spread, chance alone makes {self.local.grams(round(sum(known)))}"
        )

    def _not_known(self, whole: Given) -> Iterator[SheetRow]:
        for label, known, why in (
            ("Without cost", whole.costed, "no dough_cost_per_kg was promised"),
            ("Without price", whole.priced, "no sale_price_each was promised"),
            (
                "Without label",
                whole.labelled,
                "nothing declared, no rule, or nothing says what the oven takes",
            ),
        ):
            if known < whole.kept.n:
                yield SheetRow(label, counted(whole.kept.n - known, "piece"), why)

    def _causes(self) -> Grid:
        whole = self.found.whole
        shown = (*LABEL_PARTS, *BENCH_PARTS) if whole.labelled else BENCH_PARTS
        amounts = [whole.part(part) for part in shown]
        total = sum(amounts, Amount())
        rows = [(SAID[part], amount) for part, amount in zip(shown, amounts, strict=True)]
        return Grid(
            title=CAUSES,
            heads=("", "dough", *self._heads()),
            rows=(*self._rows(rows), *self._rows([("together", total)])),
            remark=" ".join(dict.fromkeys(self._bases())),
        )

    def _bases(self) -> Iterator[str]:
        names = {row.product.name for row in self.found.rows}
        for row in self.found.rows:
            if row.basis is not None:
                whose = f"{row.product.name}: " if len(names) > 1 else ""
                yield f"{whose}{self.local.sentence(row.basis.said_by)}"

    def _grid(self, title: str, groups: Sequence[Group]) -> Grid:
        rows = []
        amounts = self._rows([(group.name, group.given.giveaway) for group in groups])
        for group, (name, *cells) in zip(groups, amounts, strict=True):
            n = group.given.kept.n
            off = Fraction(group.given.giveaway.mg, n)
            known = [cell if count else NONE for cell, count in self._priced(group, cells)]
            rows.append((name, self.local.number(n), self._g(off, signed=True), *known))
        return Grid(title, ("", "pieces", "mean off", "give-away", *self._heads()), tuple(rows))

    def _priced(self, group: Group, cells: Sequence[str]) -> Iterator[tuple[str, int]]:
        """Return cells, and how many pieces of the group have such a figure."""
        given = group.given
        cost = (given.costed,) if self.has_cost else ()
        price = (given.priced,) if self.has_price else ()
        return zip(cells, (given.kept.n, *cost, *price), strict=True)

    def _heads(self) -> tuple[str, ...]:
        cost = (f"at cost, {self.found.currency}",) if self.has_cost else ()
        price = (f"at price, {self.found.currency}",) if self.has_price else ()
        return (*cost, *price)

    def _rows(self, named: Sequence[tuple[str, Amount]]) -> list[tuple[str, ...]]:
        """Return rows whose printed grams and coins add up."""
        grams = adding_up([Fraction(amount.mg, MG_PER_G) for _, amount in named], 0)
        places = money_decimals(self.found.currency)
        costs = adding_up([amount.at_cost for _, amount in named], places)
        prices = adding_up([amount.at_price for _, amount in named], places)
        return [
            (
                name,
                self.local.grams(int(weight * MG_PER_G)),
                *((self.local.number(cost, places),) if self.has_cost else ()),
                *((self.local.number(price, places),) if self.has_price else ()),
            )
            for (name, _), weight, cost, price in zip(named, grams, costs, prices, strict=True)
        ]

    def _amount(self, amount: Amount) -> str:
        return f"{self.local.grams(amount.mg)} of dough{self._worth(amount)}"

    def _money_of(self, amount: Amount) -> str:
        worth = self._worth(amount)
        return f"{worth.removeprefix(', ')}; " if worth else ""

    def _worth(self, amount: Amount) -> str:
        currency = self.found.currency
        cost = f", {self.local.money(amount.at_cost, currency)} at cost" if self.has_cost else ""
        price = (
            f", {self.local.money(amount.at_price, currency)} at price" if self.has_price else ""
        )
        return f"{cost}{price}"

    def _g(self, mg: float | Fraction, *, signed: bool = False) -> str:
        value = mg / 1000
        text = self.local.signed(value, 1) if signed else self.local.number(value, 1)
        return f"{text} g" if text != NONE else text

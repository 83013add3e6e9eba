"""A statement of give-away -> its page: tables with columns, what to mind, what to do."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G, grams
from weighstation.report.giveaway.advice import advice, urgent
from weighstation.report.giveaway.groups import By
from weighstation.report.giveaway.parts import (
    Amount,
    Part,
    expected_overs_mg,
)
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
    from weighstation.report.giveaway.rows import LabelBasis
    from weighstation.report.giveaway.statement import Statement
    from weighstation.report.giveaway.what_if import Days

CAUSES = "Why"
LAW = "What the law asks for"
SAID = {
    Part.OVEN_SPREAD: "extra for uneven baking",
    Part.BENCH_SPREAD: "extra for uneven scaling",
    Part.AIM_ABOVE_LAWFUL: "scaling weight above what that needs",
    Part.MEAN_OFF_AIM: "heavy or light within the band",
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
    "What the law asks for is worked out by the rule named, and that is no legal proof: your local"
    " code and your inspector decide."
)
_MONEY = {
    "at cost": "At cost is what that dough cost.",
    "as bread": "As bread is what that dough would have sold for.",
}
"""Heads of columns of money, and what they mean."""
_MG_PER_KG = 1000 * MG_PER_G
_EXTRA = (
    "Loaves differ, so it takes more dough than bakes to the label if enough of them are to reach"
    " it: that is the extra."
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
        cautions=(
            *found.minded,
            *((CAUTION,) if found.whole.labelled else ()),
            *found.remarks,
        ),
        conclusion=advice(found, how.local),
        urgent=urgent(found, how.local),
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
        With bands from narrow to wide, at the price and the spread that are asked for.

    Returns
    -------
    Page

    Raises
    ------
    SpecificationError
        If no touched piece ever lay in such a band, or the lawful aim is asked for and not known.
    """
    local = local or Local()
    newest = found.rows[-1]
    currency, name = found.currency or newest.currency, newest.product.name
    more = []
    if change != Change():
        was, would = what_if(days, Change()), what_if(days, change)
        more.append(what_if_grid(days, was, would, local=local, currency=currency, name=name))
    if is_sweep:
        swept = bands(days, change)
        more.append(bands_grid(days, swept, local=local, currency=currency, name=name))
    return replace(page, parts=(*page.parts, *more))


def _in_kg(amounts: Sequence[Amount]) -> bool:
    """Return whether a column of them is read in kilograms: from ten on, as elsewhere."""
    return any(abs(amount.mg) >= 10 * _MG_PER_KG for amount in amounts)


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
        yield from self._law()
        for by, title in TITLES.items():
            groups = self.found.by(by)
            if len(groups) > 1 or (groups and by is By.PRODUCT):
                yield self._grid(title, groups)

    def _whole(self) -> Iterator[SheetRow]:
        whole, local = self.found.whole, self.local
        runs = counted(len(self.found.rows), "run")
        yield SheetRow("Pieces", local.number(whole.kept.n), f"in {runs}")
        yield SheetRow("Dough scaled", local.grams(whole.net_mg))
        yield self._mean(whole)
        yield SheetRow(
            "Give-away",
            self._percent(whole),
            f"{self._amount(whole.giveaway)}: what pieces weigh above their scaling weight, light"
            " ones deducted",
        )
        yield SheetRow(
            "Overs only",
            local.grams(whole.overs.mg),
            f"{self._money_of(whole.overs)}the same, light ones not deducted{self._expected()}",
        )
        if whole.over_label_mg is not None:
            over = Fraction(100 * whole.over_label_mg, whole.net_mg - whole.over_label_mg)
            yield SheetRow(
                "Over the label",
                f"{local.signed(over, 2)} %",
                f"{local.grams(whole.over_label_mg)} of dough more than bakes to the declared"
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
            f". Pieces with this mean and spread usually make {self.local.grams(round(sum(known)))}"
        )

    def _mean(self, whole: Given) -> SheetRow:
        if whole.mean_mg is None:
            why = "products of different weights have no common mean; each has its own below"
            return SheetRow("Mean", NONE, why)
        sd_mg = whole.sd_mg
        spread = "" if sd_mg is None else f"pieces vary by {self._g(sd_mg)} (standard deviation)"
        return SheetRow("Mean", self._g(whole.mean_mg), spread)

    def _not_known(self, whole: Given) -> Iterator[SheetRow]:
        for label, known, why in (
            ("Without cost", whole.costed, "no dough_cost_per_kg was set when they were scaled"),
            ("Without price", whole.priced, "no sale_price_each was set when they were scaled"),
            (
                "Without label",
                whole.labelled,
                "no declared weight or no rule was set, or the baking loss is not known",
            ),
        ):
            if known < whole.kept.n:
                yield SheetRow(label, counted(whole.kept.n - known, "piece"), why)

    def _causes(self) -> Grid:
        whole = self.found.whole
        shown = whole.causes
        amounts = [whole.part(part) for part in shown]
        total = sum(amounts, Amount())
        rows = [(SAID[part], amount) for part, amount in zip(shown, amounts, strict=True)]
        in_kg = _in_kg([*amounts, total])
        return Grid(
            title=CAUSES,
            heads=("", "dough", *self._heads()),
            rows=(
                *self._rows(rows, in_kg=in_kg),
                *self._rows([("together", total)], in_kg=in_kg),
            ),
            remark=" ".join((*self._leads(), *(_MONEY[what] for what in self._worths()))),
        )

    def _leads(self) -> Iterator[str]:
        """Yield from where to where the causes lead, and which of them is assumed."""
        whole = self.found.whole
        if not whole.labelled:
            return
        some = ""
        if whole.labelled < whole.kept.n:
            some = f", of the {self.local.number(whole.labelled)} pieces with a label"
        yield (
            f"The last three are the give-away of {self.local.grams(whole.giveaway.mg)}. The first"
            f" three are what the scaling weight holds above the label{some}."
        )
        assumed = {
            row.product.name: None
            for row in self.found.rows
            if row.basis is not None and not row.basis.knows_oven
        }
        if assumed:
            yield (
                f"{', '.join(assumed)}: too few baked loaves were weighed to know how unevenly the"
                " oven bakes, so nothing is counted for it."
            )

    def _law(self) -> Iterator[Grid]:
        """Yield what the law asks of a piece of each product, where that is known of one."""
        bases = tuple(dict.fromkeys((row.product.name, row.basis) for row in self.found.rows))
        known = [(name, basis) for name, basis in bases if basis is not None]
        if known:
            yield Grid(
                title=LAW,
                heads=("", "bakes to the label", "least lawful", "95 % sure between"),
                rows=tuple((name, *self._lawful(basis)) for name, basis in known),
                remark=" ".join((_EXTRA, *self._rests_on(known, is_alone=len(bases) == 1))),
            )

    def _lawful(self, basis: LabelBasis) -> tuple[str, str, str]:
        """Return the dough that bakes to the label, the least lawful, and where that may lie."""
        between = "not known"
        if basis.lawful_interval_mg is not None:
            low, high = (self.local.number(grams(end), 1) for end in basis.lawful_interval_mg)
            between = f"{low} and {high} g"
        return self._g(basis.label_mg), self._g(basis.lawful_mg), between

    def _rests_on(
        self, known: Sequence[tuple[str, LabelBasis]], *, is_alone: bool
    ) -> Iterator[str]:
        """Yield what the figures rest on, and why some are not known, once for all it is said of.

        A product that stands alone need not be named.
        """
        said: dict[str, dict[str, None]] = {}
        for name, basis in known:
            for text in filter(None, (basis.no_range, basis.said_by)):
                said.setdefault(self.local.sentence(text), {})[name] = None
        for text, names in said.items():
            yield text if is_alone else f"{', '.join(names)}: {text}"

    def _grid(self, title: str, groups: Sequence[Group]) -> Grid:
        rows = []
        is_alike = all(group.given.is_alike for group in groups)
        named = [(group.name, group.given.giveaway) for group in groups]
        amounts = self._rows(named, in_kg=_in_kg([amount for _, amount in named]))
        for group, (name, *cells) in zip(groups, amounts, strict=True):
            given, n = group.given, group.given.kept.n
            known = [cell if count else NONE for cell, count in self._priced(group, cells)]
            own = self._own(given) if is_alike else (self._percent(given),)
            rows.append((name, self.local.number(n), *own, *known))
        own_heads = ("mean", "over by") if is_alike else ("over by",)
        return Grid(title, ("", "pieces", *own_heads, "give-away", *self._heads()), tuple(rows))

    def _own(self, given: Given) -> tuple[str, ...]:
        """Return the mean of pieces of one size, and how far it is above the scaling weight."""
        off_mg = Fraction(given.giveaway.mg, given.kept.n)
        return self._g(given.mean_mg or 0), self._g(off_mg, signed=True)

    def _percent(self, given: Given) -> str:
        """Return a give-away in percent: pieces of several sizes have no grams in common."""
        return f"{self.local.signed(Fraction(100 * given.giveaway.mg, given.target_mg), 2)} %"

    def _priced(self, group: Group, cells: Sequence[str]) -> Iterator[tuple[str, int]]:
        """Return cells, and how many pieces of the group have such a figure."""
        given = group.given
        cost = (given.costed,) if self.has_cost else ()
        price = (given.priced,) if self.has_price else ()
        return zip(cells, (given.kept.n, *cost, *price), strict=True)

    def _heads(self) -> tuple[str, ...]:
        return tuple(f"{what}, {self.found.currency}" for what in self._worths())

    def _worths(self) -> Iterator[str]:
        """Yield the kinds of money that are known."""
        return (
            what for what, has in zip(_MONEY, (self.has_cost, self.has_price), strict=True) if has
        )

    def _rows(self, named: Sequence[tuple[str, Amount]], *, in_kg: bool) -> list[tuple[str, ...]]:
        """Return rows whose printed weights, all in one unit, and coins add up."""
        unit, unit_mg, digits = ("kg", _MG_PER_KG, 2) if in_kg else ("g", MG_PER_G, 0)
        weights = adding_up([Fraction(amount.mg, unit_mg) for _, amount in named], digits)
        places = money_decimals(self.found.currency)
        costs = adding_up([amount.at_cost for _, amount in named], places)
        prices = adding_up([amount.at_price for _, amount in named], places)
        return [
            (
                name,
                f"{self.local.number(weight, digits)} {unit}",
                *((self.local.number(cost, places),) if self.has_cost else ()),
                *((self.local.number(price, places),) if self.has_price else ()),
            )
            for (name, _), weight, cost, price in zip(named, weights, costs, prices, strict=True)
        ]

    def _amount(self, amount: Amount) -> str:
        return f"{self.local.grams(amount.mg)} of dough{self._worth(amount)}"

    def _money_of(self, amount: Amount) -> str:
        worth = self._worth(amount)
        return f"{worth.removeprefix(', ')}: " if worth else ""

    def _worth(self, amount: Amount) -> str:
        currency = self.found.currency
        cost = f", {self.local.money(amount.at_cost, currency)} at cost" if self.has_cost else ""
        price = (
            f", {self.local.money(amount.at_price, currency)} as bread" if self.has_price else ""
        )
        return f"{cost}{price}"

    def _g(self, mg: float | Fraction, *, signed: bool = False) -> str:
        value = mg / 1000
        text = self.local.signed(value, 1) if signed else self.local.number(value, 1)
        return f"{text} g" if text != NONE else text

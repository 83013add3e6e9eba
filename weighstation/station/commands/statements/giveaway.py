"""A journal -> the statement of what was given away in some days."""

from __future__ import annotations

from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.giveaway import AsOf, Span, Statement, statement
from weighstation.report.page.local import Local
from weighstation.specification.table import near
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.rows import rows_of
from weighstation.station.commands.statements.what_if import Asked, days_of
from weighstation.station.commands.terminal.days import day_from
from weighstation.station.commands.terminal.pages import show_page, show_record
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.report.giveaway.what_if import Days
    from weighstation.report.page.page import Page
    from weighstation.station.stores import Store

WEEK_DAYS = 7


def span_from(since: str | None, until: str | None) -> Span:
    """Return the days that were asked for; the last seven where none were.

    Parameters
    ----------
    since, until : str or None
        Days as ``2026-03-02``; the first alone means up to today, the last alone a week up to it.

    Returns
    -------
    Span

    Raises
    ------
    SpecificationError
        If a day is none, lies in the future, or the span ends before it begins.
    """
    today = datetime.now().astimezone().date()
    last = day_from(until, "--to") or today
    first = day_from(since, "--from") or last - timedelta(days=WEEK_DAYS - 1)
    if first > today:
        raise SpecificationError(
            f"{first} lies in the future, and nothing was weighed there yet.",
            hint="Give a day that has been with --from.",
        )
    if last < first:
        raise SpecificationError(f"The span ends on {last}, before it begins on {first}.")
    return Span(first, last)


@dataclass(frozen=True, slots=True)
class Order:
    """What is asked of a journal.

    Parameters
    ----------
    span : Span
    product : str
        One alone; empty for all.
    asked : Asked
        What is to be reckoned anew.
    """

    span: Span
    product: str = ""
    asked: Asked = field(default_factory=Asked)


@dataclass(frozen=True, slots=True)
class Answer:
    """What was given away, and what would have been.

    Parameters
    ----------
    statement : Statement
    days : Days or None
        None where nothing is to be reckoned anew.
    """

    statement: Statement
    days: Days | None = None


def answer_of(home: Home, order: Order) -> Answer:
    """Return what was given away in a span.

    Parameters
    ----------
    home : Home
    order : Order

    Returns
    -------
    Answer

    Raises
    ------
    SpecificationError
        If nothing was weighed, the product is unknown, prices do not add up, or what is asked for
        makes no sense.
    JournalError
        If the journal cannot be read.
    """
    span, product = order.span, order.product
    with closing(open_for_reading(home.journal_path)) as store, store.one_moment():
        head = store.head()
        rows = rows_of(store, home, span, product=product)
        if product and not rows:
            raise _none_of(product, span, store, home)
        as_of = AsOf(head.seq, head.digest)
        found = statement(rows, span=span, as_of=as_of, shows_people=_shows_people(home))
        days = days_of(store, home, found.rows, order.asked) if order.asked.is_asked else None
    return Answer(found, days)


def _shows_people(home: Home) -> bool:
    """Return whether the shop chose to tell people apart; where nothing says so, it did not."""
    with suppress(SpecificationError):
        return home.products_path.exists() and home.catalogue().show_people
    return False


def _none_of(product: str, span: Span, store: Store, home: Home) -> SpecificationError:
    """Return why there is nothing of a product: mistyped, or not divided in these days."""
    known = {run.product for run in store.runs()}
    if product in known:
        return SpecificationError(
            f"No piece of '{product}' was counted from {span.first} to {span.last}.",
            hint="Choose other days with --from and --to.",
        )
    if home.products_path.exists():
        known |= {each.name for each in home.catalogue().products}
    return SpecificationError(
        f"There is no product '{product}'{near(product, known)}.",
        hint="Give its name as products.toml has it.",
    )


def run_giveaway(home: Path | None, order: Order, *, as_json: bool) -> int:
    """Print the statement.

    Parameters
    ----------
    home : Path or None
    order : Order
    as_json : bool

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If a change is asked of all products at once.
    """
    if order.asked.is_asked and not order.product:
        raise SpecificationError(
            "What would be otherwise is reckoned for one product.", hint="Name it with --product."
        )
    answer = answer_of(Home.find(home), order)
    if as_json:
        show_record(_record(answer, order))
    else:
        show_page(_page(answer, order))
    return 0


def _record(answer: Answer, order: Order) -> dict[str, object]:
    from weighstation.report.giveaway.record import statement_record, what_if_record  # noqa: PLC0415 - only here

    record = statement_record(answer.statement)
    if answer.days is None:
        return record
    return record | {"what_if": what_if_record(answer.days, order.asked.change())}


def _page(answer: Answer, order: Order) -> Page:
    from weighstation.report.giveaway.page import statement_page, with_what_if  # noqa: PLC0415 - only here

    local = Local()
    page = statement_page(answer.statement, local)
    if answer.days is None:
        return page
    return with_what_if(
        page, answer.statement, answer.days, order.asked.change(), is_sweep=order.asked.is_sweep
    )

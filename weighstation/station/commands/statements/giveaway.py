"""A journal -> the statement of what was given away in some days."""

from __future__ import annotations

from contextlib import closing
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.giveaway import AsOf, Span, Statement, statement
from weighstation.specification.table import near
from weighstation.station.commands.charting.chart import day_from
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.rows import rows_of
from weighstation.station.commands.terminal.pages import show_page, show_record
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from pathlib import Path

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
    if last < first:
        raise SpecificationError(f"The span ends on {last}, before it begins on {first}.")
    if first > today:
        raise SpecificationError(
            f"{first} lies in the future, and nothing was weighed there yet.",
            hint="Give a day that has been with --from.",
        )
    return Span(first, last)


def statement_of(home: Home, span: Span, *, product: str = "") -> Statement:
    """Return what was given away in a span.

    Parameters
    ----------
    home : Home
    span : Span
    product : str
        One alone; empty for all.

    Returns
    -------
    Statement

    Raises
    ------
    SpecificationError
        If nothing was weighed, the product is unknown, or prices do not add up.
    JournalError
        If the journal cannot be read.
    """
    with closing(open_for_reading(home.journal_path)) as store, store.one_moment():
        head = store.head()
        rows = rows_of(store, home, span, product=product)
        if product and not rows:
            raise _none_of(product, span, store, home)
    return statement(rows, span=span, as_of=AsOf(head.seq, head.digest))


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


def run_giveaway(
    home: Path | None, *, since: str | None, until: str | None, product: str, as_json: bool
) -> int:
    """Print the statement.

    Parameters
    ----------
    home : Path or None
    since, until : str or None
    product : str
    as_json : bool

    Returns
    -------
    int
        Exit code.
    """
    found = statement_of(Home.find(home), span_from(since, until), product=product)
    if as_json:
        from weighstation.report.giveaway.record import statement_record  # noqa: PLC0415 - only here

        show_record(statement_record(found))
        return 0
    from weighstation.report.giveaway.page import statement_page  # noqa: PLC0415 - the same

    show_page(statement_page(found))
    return 0

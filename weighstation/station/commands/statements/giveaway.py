"""A journal -> the statement of what was given away in some days."""

from __future__ import annotations

import json
import sys
from contextlib import closing
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.giveaway import AsOf, Span, Statement, statement
from weighstation.report.page.local import Local
from weighstation.specification import DayOrder
from weighstation.specification.table import near
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.minded import minded
from weighstation.station.commands.statements.outputs import (
    forms_of,
    written_text,
)
from weighstation.station.commands.statements.rows import rows_of
from weighstation.station.commands.statements.what_if import Asked, days_of, outcomes_of
from weighstation.station.commands.terminal.days import day_from
from weighstation.station.commands.terminal.files import write_whole
from weighstation.station.commands.terminal.pages import show_page, show_record
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from weighstation.report.giveaway.what_if import Days
    from weighstation.report.page.page import Page
    from weighstation.specification import Catalogue
    from weighstation.station.stores import Store

WEEK_DAYS = 7
_LEFT_ASIDE = (
    "Until it is mended, this statement is written with points, the year first, and nobody is told"
    " apart in it."
)


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
        typed, option = (first, "--from") if since else (last, "--to")
        raise SpecificationError(
            f"{typed} lies in the future, and nothing was weighed there yet.",
            hint=f"Give a day that has been with {option}.",
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
    head_utc_ms : int, milliseconds since 1970 UTC
        When the last line of the journal was written.
    days : Days or None
        None where nothing is to be reckoned anew.
    """

    statement: Statement
    head_utc_ms: int
    days: Days | None = None


def answer_of(home: Home, order: Order, patience: Patience, *, shows_people: bool) -> Answer:
    """Return what was given away in a span.

    Parameters
    ----------
    home : Home
    order : Order
    patience : Patience
        Is told what is being done.
    shows_people : bool
        Whether the shop chose to tell people apart.

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
        rows = rows_of(store, home, span, product=product, patience=patience)
        if product and not rows:
            raise _none_of(product, span, store, home)
        as_of = AsOf(head.seq, head.digest)
        found = statement(
            rows, span=span, as_of=as_of, shows_people=shows_people, minded=minded(store, rows)
        )
        days = None
        if order.asked.is_asked:
            patience.say("Reading pieces")
            days = days_of(store, home, found.rows, order.asked)
        head_utc_ms = next(store.entries(head.seq)).t_utc_ms
    return Answer(found, head_utc_ms, days)


def _catalogue(home: Home) -> Catalogue | None:
    """Return the products file; None where there is none, or it has faults, which are told."""
    if not home.products_path.exists():
        return None
    try:
        return home.catalogue()
    except SpecificationError as fault:
        sys.stderr.write(f"{fault.sentence} {_LEFT_ASIDE}\n")
        return None


def _none_of(product: str, span: Span, store: Store, home: Home) -> SpecificationError:
    """Return why there is nothing of a product: mistyped, or not divided in these days."""
    known = {run.product for run in store.runs()}
    if product.casefold() in map(str.casefold, known):
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
    home: Path | None, order: Order, *, as_json: bool, out: Sequence[Path] = ()
) -> int:
    """Print the statement, or write it to files.

    Parameters
    ----------
    home : Path or None
    order : Order
    as_json : bool
    out : (n,) sequence of Path
        Files in place of the screen; the end of each name says its form.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If a change is asked of all products at once, a price with nothing changed, or a file
        cannot be written.
    """
    if as_json and out:
        raise SpecificationError("--out writes files and --json prints; give one of them.")
    forms = forms_of(out)
    if order.asked.is_asked and not order.product:
        raise SpecificationError(
            "What would be otherwise is reckoned for one product.", hint="Name it with --product."
        )
    order.asked.require_change()
    shop = Home.find(home)
    catalogue = _catalogue(shop)
    local = local_of(catalogue)
    shows_people = catalogue is not None and catalogue.show_people
    with Patience() as patience:
        answer = answer_of(shop, order, patience, shows_people=shows_people)
        if out:
            contents = _contents(answer, order, local, forms, patience)
            write_whole(dict(zip(out, contents, strict=True)))
    if out:
        sys.stdout.write(written_text(out) + "\n")
    elif as_json:
        show_record(_record(answer, order, _page(answer, order, local)))
    else:
        show_page(_page(answer, order, local))
    return 0


def _contents(
    answer: Answer, order: Order, local: Local, forms: Sequence[str], patience: Patience
) -> Iterator[bytes]:
    """Yield what goes into a file of each form."""
    page = _page(answer, order, local)
    for form in patience.over(forms, "Writing the statement"):
        if form == ".json":
            yield _json(answer, order, page).encode()
        elif form == ".csv":
            yield _csv(answer.statement).encode()
        elif form == ".xlsx":
            yield _workbook(answer, order, page)
        elif form == ".pdf":
            yield _pdf(answer, page, local, patience)
        else:
            yield _html(answer.statement, page, local, patience).encode()


def _json(answer: Answer, order: Order, page: Page) -> str:
    return json.dumps(_record(answer, order, page), indent=2) + "\n"


def _csv(found: Statement) -> str:
    from weighstation.report.giveaway.tables import level_table  # noqa: PLC0415 - not for a terminal
    from weighstation.report.page.cells import csv_text  # noqa: PLC0415 - the same

    return csv_text(level_table(found))


def _workbook(answer: Answer, order: Order, page: Page) -> bytes:
    from weighstation.report.giveaway.workbook import workbook  # noqa: PLC0415 - not for a terminal

    outcomes = {} if answer.days is None else outcomes_of(answer.days, order.asked)
    return workbook(answer.statement, page, outcomes)


def _html(found: Statement, page: Page, local: Local, patience: Patience) -> str:
    from weighstation.report.giveaway.figures import statement_figures  # noqa: PLC0415 - not for a terminal
    from weighstation.report.page.page_html import page_html  # noqa: PLC0415 - the same

    return page_html(page, statement_figures(found, local, patience.say))


def _pdf(answer: Answer, page: Page, local: Local, patience: Patience) -> bytes:
    from weighstation.report.giveaway.figures import statement_figures  # noqa: PLC0415 - not for a terminal
    from weighstation.report.page.page_pdf import pages_pdf  # noqa: PLC0415 - the same

    figures = statement_figures(answer.statement, local, patience.say)
    return pages_pdf([(page, figures)], as_of_utc_ms=answer.head_utc_ms)


def _record(answer: Answer, order: Order, page: Page) -> dict[str, object]:
    from weighstation.report.giveaway.record import statement_record, what_if_record  # noqa: PLC0415 - only here
    from weighstation.report.page.page import page_record  # noqa: PLC0415 - the same

    record = statement_record(answer.statement) | {"page": page_record(page)}
    if answer.days is None:
        return record
    return record | {"what_if": what_if_record(answer.days, order.asked.change())}


def local_of(catalogue: Catalogue | None) -> Local:
    """Return how a shop writes numbers and days, by its products file.

    Parameters
    ----------
    catalogue : Catalogue or None

    Returns
    -------
    Local
        With points and the year first where there is no such file, or it has faults.
    """
    if catalogue is None:
        return Local()
    return Local(catalogue.decimal.value, is_day_first=catalogue.days is DayOrder.DAY_FIRST)


def _page(answer: Answer, order: Order, local: Local) -> Page:
    from weighstation.report.giveaway.page import statement_page, with_what_if  # noqa: PLC0415 - only here

    page = statement_page(answer.statement, local)
    if answer.days is None:
        return page
    change, is_sweep = order.asked.change(), order.asked.is_sweep
    return with_what_if(page, answer.statement, answer.days, change, local=local, is_sweep=is_sweep)

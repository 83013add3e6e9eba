"""A journal -> the control chart of a batch, a product or a span of days."""

from __future__ import annotations

import sys
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.report.page.tables import as_of
from weighstation.station.commands.batches.sheet import batch_figures
from weighstation.station.commands.charting.batches import batches_by_product
from weighstation.station.commands.journals.opening import reading
from weighstation.station.commands.terminal.days import day_from
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.pages import console_on, show_record

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date, tzinfo
    from pathlib import Path

    from weighstation.monitor import Rule
    from weighstation.report import BatchFigures, ControlChart
    from weighstation.report.charts.batch_chart import ChartKind
    from weighstation.station.stores import SqliteStore

WEEK = timedelta(days=7)
_NO_RUN = "There is no batch in the journal yet; 'weighstation divide' writes the first."


@dataclass(frozen=True, slots=True)
class Span:
    """Which batches are meant.

    Parameters
    ----------
    product : str
        Empty for all.
    since, until : date or None
        First and last day; None has no end.
    """

    product: str = ""
    since: date | None = None
    until: date | None = None

    @property
    def is_asked(self) -> bool:
        """Whether many batches are meant, and not one."""
        return bool(self.product or self.since or self.until)

    def holds(self, product: str, day: date) -> bool:
        """Return whether a batch of a product that was begun on a day is meant.

        Parameters
        ----------
        product : str
        day : date

        Returns
        -------
        bool
        """
        return (
            self.product in ("", product)
            and (self.since is None or self.since <= day)
            and (self.until is None or day <= self.until)
        )


def span_from(product: str, since: str | None, until: str | None, *, week: bool) -> Span:
    """Return which batches were asked for.

    Parameters
    ----------
    product : str
    since, until : str or None
        Days as `day_from` reads them.
    week : bool
        The last seven days, in place of both.

    Returns
    -------
    Span

    Raises
    ------
    SpecificationError
        If a day is none, or the span ends before it begins.
    """
    if week:
        if since or until:
            raise SpecificationError("Give --week, or --from and --to, not both.")
        today = datetime.now().astimezone().date()
        return Span(product, today - WEEK + timedelta(days=1), today)
    first, last = day_from(since, "--from"), day_from(until, "--to")
    if first and last and last < first:
        raise SpecificationError(f"The span ends on {last}, before it begins on {first}.")
    return Span(product, first, last)


def rules_from(names: Sequence[str]) -> tuple[Rule, ...]:
    """Return run rules by their names, or by the name of a published set.

    Parameters
    ----------
    names : sequence of str
        ``western-electric``, ``nelson``, or as `Rule` has them.

    Returns
    -------
    tuple of Rule

    Raises
    ------
    SpecificationError
        If a name is none.
    """
    from weighstation.monitor import NELSON, WESTERN_ELECTRIC, known_rule  # noqa: PLC0415 - only here

    sets = {"western-electric": WESTERN_ELECTRIC, "nelson": NELSON}
    try:
        found = [rule for name in names for rule in sets.get(name) or (known_rule(name),)]
    except SpecificationError as exc:
        raise SpecificationError(
            str(exc), hint=f"Sets of them are {' and '.join(sets)}. {exc.hint}"
        ) from exc
    return tuple(dict.fromkeys(found))


@dataclass(frozen=True, slots=True)
class Asked:
    """How a chart is wanted.

    Parameters
    ----------
    kind : ChartKind
    rules : tuple of Rule
    kept : bool
        Kept pieces instead of first cuts.
    out : Path or None
        Where a picture goes.
    as_json : bool
    """

    kind: ChartKind
    rules: tuple[Rule, ...] = ()
    kept: bool = False
    out: Path | None = None
    as_json: bool = False


def run_chart(home: Path | None, asked: Asked, *, run: str, span: Span) -> int:
    """Print or draw the charts that were asked for.

    Parameters
    ----------
    home : Path or None
    asked : Asked
    run : str
        The newest run of a batch; empty for the newest of all.
    span : Span
        Of many batches, if one is asked for.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If there is nothing to chart, or what was asked for does not go together.
    JournalError
        If the journal cannot be read.
    """
    _fits(asked, run, span)
    zone = HERE
    with closing(reading(home)) as store:
        charts = (
            list(_of_products(store, span, zone))
            if span.is_asked
            else [_of_batch(store, run, asked, zone)]
        )
    if asked.out is not None:
        _draw(charts, asked.out, zone)
    elif asked.as_json:
        from weighstation.report import chart_record  # noqa: PLC0415 - only here

        for chart in charts:
            show_record(chart_record(chart))
    else:
        _print(charts, zone)
    return 0


def _fits(asked: Asked, run: str, span: Span) -> None:
    if asked.out is not None:
        if asked.as_json:
            raise SpecificationError("--out draws a picture and --json prints; give one of them.")
        from weighstation.report.charts.picture import picture_form  # noqa: PLC0415 - only here

        picture_form(asked.out)
    if span.is_asked and (run or asked.kept or asked.rules or asked.kind.value != "individuals"):
        raise SpecificationError(
            "--run, --kept, --rules and --kind are for one batch; leave out the product and the"
            " days, or them."
        )
    if asked.kept and (asked.rules or asked.kind.value != "individuals"):
        raise SpecificationError(
            "Kept pieces were sorted by the band, so no limits and rules hold for them."
            " Leave out --kept to chart first cuts."
        )


def _of_batch(store: SqliteStore, run: str, asked: Asked, zone: tzinfo) -> ControlChart:
    from weighstation.report.charts.batch_chart import batch_chart, kept_chart  # noqa: PLC0415 - only here

    state = store.run(run) if run else store.last_run()
    if state is None:
        raise SpecificationError(f"There is no run '{run}' in the journal." if run else _NO_RUN)
    figures = batch_figures(store, state.run)
    if asked.kept:
        return kept_chart(figures, title=_title(figures, "kept pieces", zone))
    title = _title(figures, "first cuts", zone)
    return batch_chart(figures, title=title, kind=asked.kind, rules=asked.rules)


def _title(figures: BatchFigures, what: str, zone: tzinfo) -> str:
    began = datetime.fromtimestamp(figures.started_utc_ms / 1000, zone)
    return f"{figures.product.name}: {what} of the batch of {began:%Y-%m-%d %H:%M}"


def _of_products(store: SqliteStore, span: Span, zone: tzinfo) -> Iterator[ControlChart]:
    from weighstation.report.charts.batch_chart import FEWEST, batches_chart  # noqa: PLC0415 - only here

    with store.one_moment():
        head = store.head()
        found = batches_by_product(store, span.holds, zone=zone)
        names = sorted({state.product for state in store.runs()})
    enough = {
        product: [batch for batch in batches if batch.first.n >= FEWEST]
        for product, batches in sorted(found.items())
    }
    if not any(enough.values()):
        raise _none_found(span, names)
    several = any(len(batches) > 1 for batches in enough.values())
    for product, batches in enough.items():
        if several and len(batches) < 2:
            sys.stderr.write(f"{product}: {_too_few(len(batches))}\n")
            continue
        yield batches_chart(
            batches,
            title=f"{product}: {len(batches)} batches",
            as_of=as_of(head.seq, head.digest),
            left_out=len(found[product]) - len(batches),
        )


def _none_found(span: Span, names: Sequence[str]) -> SpecificationError:
    from weighstation.report.page.tables import named  # noqa: PLC0415 - only where it goes wrong

    if not names:
        return SpecificationError(_NO_RUN)
    if span.product and span.product not in names:
        return SpecificationError(
            f"There is no batch of '{span.product}' in the journal.",
            hint=f"It holds batches of {named(names)}.",
        )
    return SpecificationError(
        "No batch with at least 2 first cuts is in that span.",
        hint="'weighstation journal show' says what there is.",
    )


def _too_few(count: int) -> str:
    which = "one batch only" if count else "no batch with at least 2 first cuts"
    return f"{which}, which makes no chart of batches."


def _draw(charts: Sequence[ControlChart], out: Path, zone: tzinfo) -> None:
    from weighstation.report.charts.picture import draw_chart  # noqa: PLC0415 - only here

    if len(charts) > 1:
        names = ", ".join(chart.title.rpartition(":")[0] for chart in charts)
        raise SpecificationError(f"One picture holds one product; name one of {names}.")
    try:
        draw_chart(charts[0], out, zone=zone)
    except OSError as exc:
        raise SpecificationError(
            f"'{out}' cannot be written ({str(exc.strerror).lower()}); give --out another name."
        ) from exc
    sys.stdout.write(f"The chart is in '{out}'.\n")


def _print(charts: Sequence[ControlChart], zone: tzinfo) -> None:
    from weighstation.report.charts.text import print_chart  # noqa: PLC0415 - only where a chart is shown

    console = console_on(sys.stdout)
    for place, chart in enumerate(charts):
        if place:
            console.print()
        print_chart(chart, console, zone=zone)

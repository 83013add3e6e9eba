"""The commands for the office: what the journal shows when it is looked at in peace."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path  # noqa: TC003 - typer reads the annotations
from typing import Annotated

import typer

from weighstation.cli.answers import finish
from weighstation.cli.bench import app
from weighstation.cli.options import HomeOption, JsonOption, RunOption, example


class Kind(StrEnum):
    """What is drawn; the same words as `weighstation.report.charts.batch_chart.ChartKind`."""

    INDIVIDUALS = "individuals"
    EWMA = "ewma"
    CUSUM = "cusum"


@app.command(
    epilog=example("weighstation today", "weighstation today --day 2026-03-02 --json"),
)
def today(
    *,
    day: Annotated[
        str | None, typer.Option("--day", metavar="DAY", help="Another day, as 2026-03-02.")
    ] = None,
    run: RunOption = "",
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Show how a day stands: its batches, signals, boards and notes.

    A batch that is running is of today, whenever it began. With --json come the control chart of
    the newest batch's first cuts, or of the one named with --run, and the page in words.
    """
    from weighstation.station.commands.office.today import run_today  # noqa: PLC0415 - only what is asked for

    finish(run_today(home, day, run=run, as_json=as_json))


@app.command(
    epilog=example(
        "weighstation chart",
        "weighstation chart --rules western-electric --out morning.svg",
        'weighstation chart "Country loaf" --week',
    )
)
def chart(  # noqa: PLR0913 - each is an option of its own
    product: Annotated[
        str, typer.Argument(metavar="PRODUCT", help="Chart its batches; else one batch.")
    ] = "",
    *,
    run: RunOption = "",
    since: Annotated[
        str | None,
        typer.Option("--from", metavar="DAY", help="First day, as 2026-03-02 or 2.3.2026."),
    ] = None,
    until: Annotated[str | None, typer.Option("--to", metavar="DAY", help="Last day.")] = None,
    week: Annotated[bool, typer.Option("--week", help="The last seven days.")] = False,
    kind: Annotated[Kind, typer.Option("--kind", help="What is drawn.")] = Kind.INDIVIDUALS,
    rules: Annotated[
        list[str] | None,
        typer.Option(
            "--rules",
            metavar="NAME",
            help="Run rules besides the limits: western-electric, nelson, or one by its name;"
            " may be given more than once.",
        ),
    ] = None,
    kept: Annotated[
        bool, typer.Option("--kept", help="Kept pieces and the band, without limits.")
    ] = False,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE", help="A picture: .svg or .png.")
    ] = None,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Draw control charts of a batch, a product or some days.

    Of one batch it charts the first cuts, piece by piece, because the band has sorted what was
    kept. Of a product or a span it charts how far off and how spread the first cuts of each batch
    were. Signals are listed with their numbers and times. With --json, one line a chart.
    """
    from weighstation.report.charts.batch_chart import ChartKind  # noqa: PLC0415 - only what is asked for
    from weighstation.station.commands.charting.chart import (  # noqa: PLC0415 - the same
        Asked,
        rules_from,
        run_chart,
        span_from,
    )

    asked = Asked(ChartKind(kind.value), rules_from(rules or ()), kept, out, as_json)
    span = span_from(product, since, until, week=week)
    finish(run_chart(home, asked, run=run, span=span))


@app.command(
    epilog=example(
        "weighstation giveaway",
        'weighstation giveaway --from 2026-03-02 --to 2026-03-08 --product "Country loaf"',
        'weighstation giveaway --product "Country loaf" --aim lawful --band 6 --wage 24',
        "weighstation giveaway --out week.html --out week.xlsx",
    )
)
def giveaway(  # noqa: PLR0913 - each is an option of its own
    since: Annotated[
        str | None,
        typer.Option("--from", metavar="DAY", help="First day; else a week up to the last."),
    ] = None,
    until: Annotated[
        str | None, typer.Option("--to", metavar="DAY", help="Last day; else today.")
    ] = None,
    product: Annotated[
        str, typer.Option("--product", metavar="NAME", help="One product; else all.")
    ] = "",
    *,
    aim: Annotated[
        str | None,
        typer.Option("--aim", metavar="GRAMS", help="What if: this scaling weight, or 'lawful'."),
    ] = None,
    band: Annotated[
        str | None,
        typer.Option("--band", metavar="GRAMS", help="What if: so far below and above it."),
    ] = None,
    under: Annotated[
        str | None, typer.Option("--under", metavar="GRAMS", help="What if: so far below it.")
    ] = None,
    over: Annotated[
        str | None, typer.Option("--over", metavar="GRAMS", help="What if: so far above it.")
    ] = None,
    spread: Annotated[
        str | None,
        typer.Option("--spread-times", metavar="N", help="What if: so many times the spread."),
    ] = None,
    cost: Annotated[
        str | None,
        typer.Option("--dough-cost", metavar="MONEY", help="What if: a kg of dough cost this."),
    ] = None,
    wage: Annotated[
        str | None, typer.Option("--wage", metavar="MONEY", help="An hour of work costs this.")
    ] = None,
    sweep: Annotated[
        bool, typer.Option("--bands", help="What bands from narrow to wide would do.")
    ] = False,
    out: Annotated[
        list[Path] | None,
        typer.Option(
            "--out",
            metavar="FILE",
            help="Write it to a file: .html or .pdf to read and print, .xlsx, .csv or .json;"
            " may be given more than once.",
        ),
    ] = None,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Say what overweight pieces gave away, why, and what that costs.

    Taken apart from the declared weight up: the extra for uneven baking and scaling, a scaling
    weight above what that needs, heavy or light pieces within the band, pieces boarded out of it.
    Both usual figures are given, with light pieces deducted and without, at the cost of dough and
    as bread that could have been sold. With a product, its days are reckoned anew with another
    scaling weight, band, spread or price.
    """
    from weighstation.station.commands.statements.giveaway import (  # noqa: PLC0415 - only what is asked for
        Order,
        run_giveaway,
        span_from,
    )
    from weighstation.station.commands.statements.what_if import Asked  # noqa: PLC0415 - the same

    asked = Asked(aim, band, under, over, spread, cost, wage, sweep)
    order = Order(span_from(since, until), product, asked)
    finish(run_giveaway(home, order, as_json=as_json, out=out or ()))


@app.command(
    epilog=example(
        "weighstation dossier",
        "weighstation dossier --from 2026-03-02 --to 2026-03-08 --out week.pdf --raw week-lines",
        'weighstation dossier "Country loaf" --out country-loaf.html',
    )
)
def dossier(  # noqa: PLR0913 - each is an option of its own
    product: Annotated[
        str, typer.Argument(metavar="PRODUCT", help="Its batches; else one batch, or all.")
    ] = "",
    *,
    run: RunOption = "",
    since: Annotated[
        str | None, typer.Option("--from", metavar="DAY", help="First day, as 2026-03-02.")
    ] = None,
    until: Annotated[str | None, typer.Option("--to", metavar="DAY", help="Last day.")] = None,
    out: Annotated[
        str | None,
        typer.Option("--out", metavar="FILE", help="A page, .html or .pdf; or a folder, as raw/."),
    ] = None,
    raw: Annotated[
        str | None,
        typer.Option(
            "--raw", metavar="DIR", help="Lines and pieces as CSV, and how to recompute them."
        ),
    ] = None,
    people: Annotated[
        bool,
        typer.Option("--people", help="Show who divided and who signed."),
    ] = False,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Show an auditor that weights were under control.

    Of the newest batch, of one run, of a product or of some days: checks of the scale, what was
    promised, first cuts under control charts, signals and what was done about them, baked loaves,
    what went otherwise, questions to the data, and how far the record was verified. Leaves with 1
    where the record does not hold, baked loaves do not pass, or pieces are doubtful.
    """
    from weighstation.station.commands.statements.dossier import (  # noqa: PLC0415 - only what is asked for
        DossierOrder,
        meant_by,
        run_dossier,
    )
    from weighstation.station.commands.statements.dossier_files import outputs_from  # noqa: PLC0415 - the same

    meant, outputs = meant_by(run, product, since, until), outputs_from(out, raw)
    finish(run_dossier(home, DossierOrder(meant, outputs, people, as_json)))

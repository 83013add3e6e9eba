"""The command for baked loaves."""

from __future__ import annotations

from typing import Annotated

import typer

from weighstation.cli.answers import finish
from weighstation.cli.bench import app
from weighstation.cli.options import (
    MOST_PIECES,
    DivisionOption,
    EventsOption,
    HomeOption,
    JsonOption,
    PlainOption,
    PortOption,
    example,
)


@app.command(
    epilog=example(
        "weighstation bake --out-of-oven 05:40 --mark 1-10",
        'weighstation bake "Country loaf" --port serial:///dev/ttyUSB0 --pieces 10',
        'weighstation bake "Country loaf" --report --from 2026-03-02',
    )
)
def bake(  # noqa: PLR0913 - one parameter an option
    product: Annotated[
        str,
        typer.Argument(metavar="PRODUCT", help="A product that was divided; else the last."),
    ] = "",
    *,
    batch: Annotated[
        str,
        typer.Option("--batch", metavar="RUN", help="A run of the batch; else the newest."),
    ] = "",
    out_of_oven: Annotated[
        str | None,
        typer.Option(
            "--out-of-oven",
            metavar="HH:MM|MINUTES",
            help="When these loaves left the oven, or how many minutes ago.",
        ),
    ] = None,
    mark: Annotated[
        str | None,
        typer.Option(
            "--mark",
            metavar="PIECES",
            help="Which pieces the loaves were, in the order they are weighed: 3,7,12-20, or all.",
        ),
    ] = None,
    port: PortOption = None,
    pieces: Annotated[
        int | None,
        typer.Option("--pieces", metavar="N", min=1, max=MOST_PIECES, help="Loaves to weigh."),
    ] = None,
    division: DivisionOption = None,
    said: Annotated[
        list[str] | None,
        typer.Option(
            "--said",
            metavar="NAME",
            help="What is so of the lot, for more than an indicative verdict: random-sample,"
            " verified-scale, tare-known, right-moment; once for each.",
        ),
    ] = None,
    report: Annotated[
        bool, typer.Option("--report", help="Tell what is on record, and weigh nothing.")
    ] = False,
    since: Annotated[
        str | None,
        typer.Option("--from", metavar="DAY", help="With --report: first day, as 2026-03-02."),
    ] = None,
    until: Annotated[
        str | None, typer.Option("--to", metavar="DAY", help="With --report: last day.")
    ] = None,
    events: EventsOption = False,
    as_json: JsonOption = False,
    plain: PlainOption = False,
    home: HomeOption = None,
) -> None:
    """Weigh baked loaves, and learn what the oven takes.

    It takes the scale of the bench. Each loaf that is put on and lifted off is one line of the
    journal. With no options it is one of the batch divided last, on the scale used last. A loaf
    that is marked is known from raw to baked: by --mark in an order, or by the number of its piece,
    typed before it is lifted off. Two marked loaves, or two without marks, give one loss of the
    oven with its interval; a line as well only once its slope is known to 0.1.

    At the end, and with --report, it prints what came of it: mean and spread, weights at one hour
    where the cooling is known, the loss, where the spread comes from, and what the product's rule
    on quantities says. That is arithmetic and no legal proof. It leaves with 1 where a batch does
    not pass.

    It ends by a key, with the recording or the simulation, or, where there are no keys (--events,
    no terminal), with the last of --pieces. With --json, plain lines go to standard error, and one
    object to standard output at the end.
    """
    from weighstation.station.commands.baking.bake import BakeOrder, run_bake  # noqa: PLC0415 - only what is asked for
    from weighstation.station.commands.charting.chart import span_from  # noqa: PLC0415 - the same
    from weighstation.station.commands.terminal.options import division_from  # noqa: PLC0415 - the same

    span = span_from(product, since, until, week=False)
    order = BakeOrder(
        product=product,
        batch=batch,
        out_of_oven=out_of_oven,
        mark=mark,
        port=port,
        pieces=pieces,
        division_mg=division_from(division),
        said=tuple(said or ()),
        report=report,
        since=span.since,
        until=span.until,
        events=events,
        as_json=as_json,
        plain=plain,
        home=home,
    )
    finish(run_bake(order))

"""The commands at the bench: a dough divided, in earnest, from a recording or for show."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003 - typer reads the annotations
from typing import Annotated

import typer

from weighstation.cli.answers import Commands, finish
from weighstation.cli.journal import journal_app
from weighstation.cli.options import (
    LOOPBACK,
    MOST_PIECES,
    PAGE_PORT,
    CertificateOption,
    DivisionOption,
    EventsOption,
    HomeOption,
    KeyOption,
    LiftedOption,
    OverOption,
    PageHostOption,
    PagePortOption,
    PagesOption,
    PlainOption,
    PortOption,
    TargetOption,
    UnderOption,
    WayOption,
    example,
)
from weighstation.cli.plan import plan_app
from weighstation.specification import LiftedPolicy, Way

app = typer.Typer(
    cls=Commands,
    help="A divide-and-scale weighing station for bakeries: keep, add or trim, piece by piece.",
    epilog=example("weighstation demo"),
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    no_args_is_help=True,
)
app.add_typer(journal_app, name="journal")
app.add_typer(plan_app, name="plan")


def _show_version(asked: bool) -> None:  # noqa: FBT001 - typer calls it so
    """Print the version and leave, if it was asked for."""
    if asked:
        from weighstation import __version__  # noqa: PLC0415 - the pattern of this module

        typer.echo(__version__)
        raise typer.Exit


@app.callback()
def weighstation(
    *,
    _version: Annotated[
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    """Weigh dough pieces: keep, add or trim, piece by piece."""


@app.command(epilog=example("weighstation demo", "weighstation demo --fast"))
def demo(
    *,
    fast: Annotated[
        bool, typer.Option("--fast", help="In virtual time: the same morning in a few seconds.")
    ] = False,
    plain: PlainOption = False,
    home: HomeOption = None,
) -> None:
    """Watch an invented bakery divide a dough; needs no scale."""
    from weighstation.station.commands.dividing.demo import run_demo  # noqa: PLC0415 - only what is asked for

    finish(run_demo(fast=fast, plain=plain, home=home))


@app.command(
    epilog=example(
        'weighstation divide "Country loaf" --port serial:///dev/ttyUSB0 --pieces 48',
        "weighstation divide",
    )
)
def divide(  # noqa: PLR0913 - one parameter an option
    product: Annotated[
        str,
        typer.Argument(metavar="PRODUCT", help="Name in products.toml; else the one divided last."),
    ] = "",
    *,
    port: PortOption = None,
    pieces: Annotated[
        int | None,
        typer.Option(
            "--pieces", metavar="N", min=1, max=MOST_PIECES, help="Pieces wanted in this batch."
        ),
    ] = None,
    dough: Annotated[
        str | None,
        typer.Option("--dough", metavar="GRAMS", help="Dough on the bench, before it is divided."),
    ] = None,
    mixed: Annotated[
        str | None,
        typer.Option(
            "--mixed", metavar="H:MM", help="When the dough was mixed, or how many minutes ago."
        ),
    ] = None,
    person: Annotated[
        str | None,
        typer.Option(
            "--person", metavar="AB", help="Initials of who divides; a resumed batch keeps them."
        ),
    ] = None,
    target: TargetOption = None,
    under: UnderOption = None,
    over: OverOption = None,
    way: WayOption = Way.SINGLE,
    division: DivisionOption = None,
    lifted: LiftedOption = LiftedPolicy.GUESS,
    guard: Annotated[
        bool | None,
        typer.Option(
            "--guard/--no-guard",
            help="Draw the band in by what the scale's check leaves open; else as products.toml"
            " has it.",
        ),
    ] = None,
    resume: Annotated[
        bool, typer.Option("--resume", help="Go on with an interrupted batch.")
    ] = False,
    fresh: Annotated[
        bool, typer.Option("--fresh", help="Leave an interrupted batch as it is.")
    ] = False,
    record: Annotated[
        Path | None, typer.Option("--record", metavar="FILE", help="Keep the scale's bytes too.")
    ] = None,
    events: EventsOption = False,
    plain: PlainOption = False,
    pages: PagesOption = False,
    page_host: PageHostOption = LOOPBACK,
    page_port: PagePortOption = PAGE_PORT,
    certificate: CertificateOption = None,
    key: KeyOption = None,
    home: HomeOption = None,
) -> None:
    """Divide a dough: keep, add or trim, and every piece on record.

    With no options it goes on with the last product and scale, and offers to resume an interrupted
    batch. Where nobody can be asked (standard input is no terminal), an interrupted batch of the
    same product and limits is resumed if it is less than 12 hours old, and any other is left.

    The batch ends by a key, with the recording or the simulation, or, where there are no keys
    (--events, no terminal), with the last of --pieces.
    """
    from weighstation.station.commands.dividing.divide import DivideOrder, run_divide  # noqa: PLC0415 - see above
    from weighstation.station.commands.terminal import days, options  # noqa: PLC0415 - see above
    from weighstation.station.pages.place import Place  # noqa: PLC0415 - see above

    served = Place(page_host, page_port, options.certificate_from(certificate, key))
    order = DivideOrder(
        product=product,
        band=options.band_from(target, under, over),
        port=port,
        pieces=pieces,
        dough_mg=options.dough_from(dough),
        mixed=mixed,
        person=None if person is None else days.initials_from(person, "--person"),
        way=way,
        division_mg=options.division_from(division),
        lifted=lifted,
        guard=guard,
        resume=options.resume_from(resume=resume, fresh=fresh),
        record=record,
        events=events,
        plain=plain,
        pages=served if pages else None,
        home=home,
    )
    finish(run_divide(order))


@app.command(epilog=example("weighstation serve", "weighstation serve --port 8650"))
def serve(
    *,
    port: Annotated[
        int, typer.Option("--port", metavar="N", min=0, max=65535, help="Port of the pages.")
    ] = PAGE_PORT,
    host: Annotated[
        str, typer.Option("--host", metavar="HOST", help="Address that pages are served at.")
    ] = LOOPBACK,
    certificate: CertificateOption = None,
    key: KeyOption = None,
    scale: Annotated[
        str | None,
        typer.Option("--scale", metavar="URL", help="The scale, as for 'divide'; else the last."),
    ] = None,
    home: HomeOption = None,
) -> None:
    """Show the station in a browser, and divide what is begun there.

    It goes on until it is told to stop, batch after batch.
    """
    from weighstation.station.commands.dividing.serve import ServeOrder, run_serve  # noqa: PLC0415 - see above
    from weighstation.station.commands.terminal.options import certificate_from  # noqa: PLC0415 - see above
    from weighstation.station.pages.place import Place  # noqa: PLC0415 - see above

    place = Place(host, port, certificate_from(certificate, key))
    finish(run_serve(ServeOrder(place, scale, home)))


@app.command(
    epilog=example("weighstation replay morning.jsonl --target 740 --under 8 --over 8 --events")
)
def replay(  # noqa: PLR0913 - one parameter an option
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A recording.")],
    *,
    target: TargetOption = None,
    under: UnderOption = None,
    over: OverOption = None,
    way: WayOption = Way.SINGLE,
    division: DivisionOption = None,
    lifted: LiftedOption = LiftedPolicy.GUESS,
    events: EventsOption = False,
) -> None:
    """Put a recording through the station, as fast as it goes.

    Without --events it prints the batch sheet. The journal is not touched. Two replays give the
    same lines and the same digests.
    """
    from weighstation.station.bench.loop import BenchPlan  # noqa: PLC0415 - see above
    from weighstation.station.commands.dividing.replay import run_replay  # noqa: PLC0415 - see above
    from weighstation.station.commands.terminal.options import band_needed, division_from  # noqa: PLC0415 - see above

    plan = BenchPlan(
        limits=band_needed(target, under, over),
        way=way,
        lifted=lifted,
        division_mg=division_from(division),
    )
    finish(run_replay(file, plan, events=events))


@app.command(epilog=example("weighstation record morning.jsonl --port serial:///dev/ttyUSB0"))
def record(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="Where to write; never over a file.")
    ],
    *,
    port: PortOption = None,
    seconds: Annotated[
        float | None,
        typer.Option("--seconds", metavar="SECONDS", min=0.0, help="How long; else until Ctrl-C."),
    ] = None,
    home: HomeOption = None,
) -> None:
    """Write down the bytes of a scale with their arrival times."""
    from weighstation.station.commands.scales.record import run_record  # noqa: PLC0415 - see above

    finish(run_record(file, port=port, seconds=seconds, home=home))

"""The commands: words in, one run of the station out.

Nothing heavy is imported before a command is chosen, and every way of going wrong leaves one plain
sentence on standard error.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from weighstation.errors import WeighstationError
from weighstation.specification import LiftedPolicy, Way

STOPPED = 130
"""Exit code after Ctrl-C, as shells have it."""


class Commands(TyperGroup):
    """A group of commands that answers every fault in one sentence."""

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401 - typer moves its type between versions
        """Run the chosen command.

        Parameters
        ----------
        ctx : typer.Context

        Returns
        -------
        object
            What the command returned.
        """
        try:
            return super().invoke(ctx)
        except WeighstationError as exc:
            _leave(exc.sentence, exc.exit_code)
        except KeyboardInterrupt:
            _leave("Stopped.", STOPPED)
        except BrokenPipeError:
            # Whoever read our lines has gone: nothing is left to say, and nobody to say it to.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise typer.Exit(0) from None
        except (typer.Exit, typer.Abort):
            raise
        except Exception as exc:
            if not _is_ours(exc):
                raise
            if os.environ.get("WEIGHSTATION_TRACEBACK"):
                import traceback  # noqa: PLC0415 - it takes 4 ms

                traceback.print_exc()
            _leave(
                f"This is a fault in weighstation ({type(exc).__name__}: {exc}). Set"
                " WEIGHSTATION_TRACEBACK=1, do it again, and send us what it prints.",
                1,
            )


def _is_ours(exc: Exception) -> bool:
    """Tell whether an exception is a fault in here, and not typer's answer to bad usage."""
    return not any(kind.__name__ == "ClickException" for kind in type(exc).__mro__)


def _leave(sentence: str, code: int) -> None:
    """Say one sentence on standard error and leave."""
    typer.echo(sentence, err=True)
    raise typer.Exit(code)


def _example(*lines: str) -> str:
    """Return an epilog that shows commands as they are typed."""
    return "\n".join(("\b", "Example:", *(f"  {line}" for line in lines)))


app = typer.Typer(
    cls=Commands,
    help="A divide-and-scale weighing station for bakeries: keep, add or trim, piece by piece.",
    epilog=_example("weighstation demo"),
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    no_args_is_help=True,
)
journal_app = typer.Typer(
    help="Read, prove and mend the journal.",
    epilog=_example("weighstation journal verify"),
    rich_markup_mode=None,
    no_args_is_help=True,
)
app.add_typer(journal_app, name="journal")

HomeOption = Annotated[
    Path | None,
    typer.Option(
        "--home",
        metavar="DIR",
        help="Folder of this station; else WEIGHSTATION_HOME, else the system's place.",
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Write JSON.")]
TargetOption = Annotated[
    float | None, typer.Option("--target", metavar="GRAMS", help="Scaling weight.")
]
UnderOption = Annotated[
    float | None,
    typer.Option("--under", metavar="GRAMS", help="How far below it a piece may be."),
]
OverOption = Annotated[
    float | None,
    typer.Option("--over", metavar="GRAMS", help="How far above it a piece may be."),
]
WayOption = Annotated[Way, typer.Option("--way", help="How pieces meet the scale.")]
LiftedOption = Annotated[
    LiftedPolicy,
    typer.Option("--lifted", help="What a piece lifted out of band is taken for."),
]
DivisionOption = Annotated[
    float | None,
    typer.Option("--division", metavar="GRAMS", help="The scale's division; else it is learned."),
]
PortOption = Annotated[
    str,
    typer.Option(
        "--port",
        metavar="URL",
        help="The scale: serial://DEVICE, tcp://HOST:PORT, replay://FILE or simulated://.",
    ),
]
RunOption = Annotated[str, typer.Option("--run", metavar="RUN", help="A run; else the newest.")]
EventsOption = Annotated[
    bool, typer.Option("--events", help="Write JSON lines, one for each thing that happens.")
]


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


@app.command(epilog=_example("weighstation demo", "weighstation demo --fast"))
def demo(
    *,
    fast: Annotated[
        bool, typer.Option("--fast", help="In virtual time: the same morning in a few seconds.")
    ] = False,
    plain: Annotated[bool, typer.Option("--plain", help="Plain lines, no panel.")] = False,
    home: HomeOption = None,
) -> None:
    """Watch an invented bakery divide a dough; needs no scale."""
    from weighstation.station.demo import run_demo  # noqa: PLC0415 - only what is asked for

    _finish(run_demo(fast=fast, plain=plain, home=home))


@app.command(
    epilog=_example(
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
    port: PortOption = "",
    pieces: Annotated[
        int | None,
        typer.Option("--pieces", metavar="N", min=1, help="Pieces wanted in this batch."),
    ] = None,
    dough: Annotated[
        float | None,
        typer.Option("--dough", metavar="GRAMS", help="Dough on the bench, before it is divided."),
    ] = None,
    target: TargetOption = None,
    under: UnderOption = None,
    over: OverOption = None,
    way: WayOption = Way.SINGLE,
    division: DivisionOption = None,
    lifted: LiftedOption = LiftedPolicy.GUESS,
    resume: Annotated[
        bool | None,
        typer.Option("--resume/--fresh", help="Go on with an interrupted batch, or leave it."),
    ] = None,
    record: Annotated[
        Path | None, typer.Option("--record", metavar="FILE", help="Keep the scale's bytes too.")
    ] = None,
    events: EventsOption = False,
    plain: Annotated[bool, typer.Option("--plain", help="Plain lines, no panel.")] = False,
    home: HomeOption = None,
) -> None:
    """Divide a dough: keep, add or trim, and every piece on record.

    With no options it goes on with the last product and scale, and offers to resume an interrupted
    batch. Where nobody can be asked (standard input is no terminal), an interrupted batch of the
    same product and limits is resumed if it is less than 12 hours old, and any other is left.

    The batch ends by a key, with the recording or the simulation, or, where there are no keys
    (--events, no terminal), with the last of --pieces.
    """
    from weighstation.station import options  # noqa: PLC0415 - see above
    from weighstation.station.divide import DivideOrder, run_divide  # noqa: PLC0415 - see above

    order = DivideOrder(
        product=product,
        band=options.band_from(target, under, over),
        port=port,
        pieces=pieces,
        dough_mg=options.dough_from(dough),
        way=way,
        division_mg=options.division_from(division),
        lifted=lifted,
        resume=resume,
        record=record,
        events=events,
        plain=plain,
        home=home,
    )
    _finish(run_divide(order))


@app.command(
    epilog=_example("weighstation replay morning.jsonl --target 740 --under 8 --over 8 --events")
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
    from weighstation.station.loop import BenchPlan  # noqa: PLC0415 - see above
    from weighstation.station.options import band_needed, division_from  # noqa: PLC0415 - see above
    from weighstation.station.replay import run_replay  # noqa: PLC0415 - see above

    plan = BenchPlan(
        limits=band_needed(target, under, over),
        way=way,
        lifted=lifted,
        division_mg=division_from(division),
    )
    _finish(run_replay(file, plan, events=events))


@app.command(epilog=_example("weighstation record morning.jsonl --port serial:///dev/ttyUSB0"))
def record(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="Where to write; never over a file.")
    ],
    *,
    port: PortOption = "",
    seconds: Annotated[
        float | None,
        typer.Option("--seconds", metavar="SECONDS", min=0.0, help="How long; else until Ctrl-C."),
    ] = None,
    home: HomeOption = None,
) -> None:
    """Write down the bytes of a scale with their arrival times."""
    from weighstation.station.record import run_record  # noqa: PLC0415 - see above

    _finish(run_record(file, port=port, seconds=seconds, home=home))


@journal_app.command("show", epilog=_example("weighstation journal show --last 50"))
def journal_show(
    *,
    last: Annotated[int, typer.Option("--last", metavar="N", min=1, help="How many lines.")] = 20,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Show the last lines."""
    from weighstation.station import desk  # noqa: PLC0415 - see above

    _finish(desk.show(home, last=last, as_json=as_json))


@journal_app.command(
    "sheet",
    epilog=_example("weighstation journal sheet", "weighstation journal sheet --left 310"),
)
def journal_sheet(
    *,
    run: RunOption = "",
    left: Annotated[
        float | None, typer.Option("--left", metavar="GRAMS", help="Dough that was left over.")
    ] = None,
    loss: Annotated[
        float | None, typer.Option("--loss", metavar="GRAMS", help="Dough that was lost.")
    ] = None,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Print the sheet of a batch, the runs it was interrupted in included.

    Where the dough was given with 'divide --dough', it is added up: dough that is in no counted
    piece, and was neither left nor lost, went out in a piece that was not counted.
    """
    from weighstation.station import desk, options  # noqa: PLC0415 - see above

    rest = (options.rest_from(left, "--left"), options.rest_from(loss, "--loss"))
    _finish(desk.sheet(home, run=run, rest=rest, as_json=as_json))


@journal_app.command("verify", epilog=_example("weighstation journal verify"))
def journal_verify(
    *,
    line: Annotated[
        int | None, typer.Option(metavar="N", min=1, help="Number of a line on a printed sheet.")
    ] = None,
    head: Annotated[
        str, typer.Option(metavar="H", help="Its digest there, or the beginning of it.")
    ] = "",
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Prove that no line was changed, and that the totals follow from the lines."""
    from weighstation.station import desk  # noqa: PLC0415 - see above

    _finish(desk.verify(home, as_json=as_json, line=line, head=head))


@journal_app.command("rebuild", epilog=_example("weighstation journal rebuild"))
def journal_rebuild(
    *,
    anyway: Annotated[
        bool,
        typer.Option("--anyway", help="Even where lines are missing at the end; it hides that."),
    ] = False,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Make the totals again from the lines."""
    from weighstation.station import desk  # noqa: PLC0415 - see above

    _finish(desk.rebuild(home, as_json=as_json, anyway=anyway))


@journal_app.command(
    "void", epilog=_example('weighstation journal void 12 --reason "fell on the floor"')
)
def journal_void(
    piece: Annotated[int, typer.Argument(metavar="PIECE", help="Number of the piece.")],
    *,
    reason: Annotated[
        str, typer.Option("--reason", metavar="TEXT", help="Why.")
    ] = "struck out at the desk",
    run: RunOption = "",
    home: HomeOption = None,
) -> None:
    """Strike out a piece by a new line; the line that counted it stays."""
    from weighstation.station import desk  # noqa: PLC0415 - see above

    _finish(desk.void(home, piece, run=run, reason=reason))


@journal_app.command(
    "note", epilog=_example('weighstation journal note 31 "the pan was dusty, wiped"')
)
def journal_note(
    line: Annotated[int, typer.Argument(metavar="LINE", help="Number of the line.")],
    text: Annotated[str, typer.Argument(metavar="TEXT", help="What there is to say about it.")],
    *,
    home: HomeOption = None,
) -> None:
    """Note something about an earlier line, such as a better reason."""
    from weighstation.station import desk  # noqa: PLC0415 - see above

    _finish(desk.note(home, line, text))


def _finish(code: int) -> None:
    """Leave with an exit code; 0 just returns."""
    if code:
        raise typer.Exit(code)

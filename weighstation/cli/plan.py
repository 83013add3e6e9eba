"""The ``plan`` commands: order to bowl, dough to pieces, and the right scaling weight."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from weighstation.cli.answers import finish
from weighstation.cli.options import MOST_PIECES, HomeOption, JsonOption, ProductName, example

if TYPE_CHECKING:
    from weighstation.station.commands.terminal.answering import Answering

PlanOutOption = Annotated[
    Path | None,
    typer.Option("--out", metavar="FILE", help="Write it to a file, .html, to read and to print."),
]
MOST_A_WEEK = 10_000_000
"""More pieces than any plant makes of one product in a week."""

plan_app = typer.Typer(
    help="Plan a morning: what to mix, how many pieces, which weight.",
    epilog=example('weighstation plan order "Tin loaf=48"'),
    rich_markup_mode=None,
    no_args_is_help=True,
)


def _answering(as_json: bool, out: Path | None) -> Answering:  # noqa: FBT001 - as typed
    """Return how an answer is wanted."""
    from weighstation.station.commands.terminal.answering import Answering  # noqa: PLC0415 - only what is asked for

    return Answering(as_json, out)


@plan_app.command(
    "order",
    epilog=example(
        'weighstation plan order "Tin loaf=48"',
        'weighstation plan order "Tin loaf=48" "Hearth loaf=12" --out order.html',
    ),
)
def plan_order(
    products: Annotated[
        list[str],
        typer.Argument(metavar="NAME=PIECES...", help="What is ordered, by its products."),
    ],
    *,
    declared: Annotated[
        bool,
        typer.Option(
            "--from-declared",
            help="Work the scaling weights out from declared weights and losses, in place of those"
            " of products.toml.",
        ),
    ] = False,
    as_json: JsonOption = False,
    out: PlanOutOption = None,
    home: HomeOption = None,
) -> None:
    """Plan an order to the bowl: pieces, dough, what to weigh.

    It shows the dough on the bench and in the bowl, the ingredients and what they cost.
    Losses multiply stage by stage, and are shown on both bases: of the dough that goes into a
    stage, and of the bread that comes out of it. Products of one dough are mixed together.
    """
    from weighstation.station.commands.planning.order import OrderAsked, run_order  # noqa: PLC0415 - only what is asked for

    finish(run_order(OrderAsked(tuple(products), declared, _answering(as_json, out), home)))


@plan_app.command(
    "dough",
    epilog=example(
        'weighstation plan dough 44180 "Tin loaf"',
        'weighstation plan dough 44180 "Tin loaf=40" "Small tin loaf=12"',
    ),
)
def plan_dough(
    grams: Annotated[str, typer.Argument(metavar="GRAMS", help="Dough on the bench.")],
    products: Annotated[
        list[str],
        typer.Argument(
            metavar="NAME[=PIECES]...", help="What to make of it, and how many at least."
        ),
    ],
    *,
    next_flour: Annotated[
        str | None,
        typer.Option(
            "--next-flour",
            metavar="GRAMS",
            help="Flour of the next mix of this dough, for what can be held back; else as much as"
            " in this one.",
        ),
    ] = None,
    as_json: JsonOption = False,
    out: PlanOutOption = None,
    home: HomeOption = None,
) -> None:
    """Plan a dough on hand: pieces, weight, what is left.

    Of one product it shows both counts, the weight inside the band that uses all the dough, and
    what the rest can be, each with its price. Of several products of one dough it finds the counts
    that meet the orders and leave the least. No weight is planned that would be short of what is
    declared.
    """
    from weighstation.station.commands.planning.dough import DoughAsked, run_dough  # noqa: PLC0415
    from weighstation.station.commands.terminal import options  # noqa: PLC0415 - only what is asked for

    asked = DoughAsked(
        dough_mg=options.load_from(grams, "The dough"),
        products=tuple(products),
        next_flour_mg=options.rest_from(next_flour, "--next-flour"),
        answering=_answering(as_json, out),
        home=home,
    )
    finish(run_dough(asked))


@plan_app.command(
    "target",
    epilog=example(
        'weighstation plan target "Tin loaf"',
        'weighstation plan target "Tin loaf" --oven-sd 5 --week 4000',
    ),
)
def plan_target(  # noqa: PLR0913 - one parameter an option
    product: ProductName,
    *,
    declared: Annotated[
        str | None,
        typer.Option("--declared", metavar="GRAMS", help="Declared weight; else of products.toml."),
    ] = None,
    rule: Annotated[
        str | None,
        typer.Option(
            "--rule",
            metavar="NAME",
            help="Rule of average quantity: oiml-r87, eu-76-211, nist-hb133, or a file of your own"
            " in the home folder; else of products.toml.",
        ),
    ] = None,
    risk: Annotated[
        float, typer.Option("--risk", metavar="SHARE", help="That a batch fails which is aimed so.")
    ] = 0.05,
    oven_sd: Annotated[
        str | None,
        typer.Option(
            "--oven-sd", metavar="GRAMS", help="What the oven adds to the spread of single loaves."
        ),
    ] = None,
    batch: Annotated[
        int | None,
        typer.Option(
            "--batch",
            metavar="N",
            min=1,
            max=MOST_PIECES,
            help="Loaves in a batch; else as the journal has it.",
        ),
    ] = None,
    week: Annotated[
        int | None,
        typer.Option(
            "--week",
            metavar="PIECES",
            min=1,
            max=MOST_A_WEEK,
            help="Pieces a week; else those counted in the last seven days.",
        ),
    ] = None,
    as_json: JsonOption = False,
    out: PlanOutOption = None,
    home: HomeOption = None,
) -> None:
    """Find the scaling weight that keeps a declared weight.

    It takes the loss of this oven where enough loaves were weighed, else that of products.toml, and
    the spread of the pieces and loaves of this house, and asks the rule of average quantity for
    the lowest mean that keeps it; and it tells what a gram more costs a week. It leaves with 1
    where the scaling weight of products.toml is too light. It is arithmetic and no legal proof.
    """
    from weighstation.station.commands.planning.target import TargetAsked, run_target  # noqa: PLC0415
    from weighstation.station.commands.terminal import options  # noqa: PLC0415 - only what is asked for

    asked = TargetAsked(
        product=product,
        declared_mg=None if declared is None else options.load_from(declared, "--declared"),
        rule=rule,
        risk=risk,
        oven_sd_mg=options.rest_from(oven_sd, "--oven-sd"),
        batch_size=batch,
        week_pieces=week,
        answering=_answering(as_json, out),
        home=home,
    )
    finish(run_target(asked))


@plan_app.command(
    "proof",
    epilog=example(
        'weighstation plan proof "Tin loaf" 0=26 30=26 30=32',
        'weighstation plan proof "Tin loaf" --log rack.csv --ahead 30',
    ),
)
def plan_proof(  # noqa: PLR0913 - one parameter an option
    product: ProductName,
    notes: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="MINUTE=CELSIUS...", help="Temperatures of the dough, in the order of time."
        ),
    ] = None,
    *,
    log: Annotated[
        Path | None,
        typer.Option(
            "--log", metavar="FILE", help="A file with a first line minutes,temp_c in their place."
        ),
    ] = None,
    ahead: Annotated[
        float | None,
        typer.Option("--ahead", metavar="CELSIUS", help="From now on; else as it is now."),
    ] = None,
    begun: Annotated[
        float | None,
        typer.Option("--begun", metavar="MINUTE", help="When the proof began; else at the first."),
    ] = None,
    as_json: JsonOption = False,
    out: PlanOutOption = None,
    home: HomeOption = None,
) -> None:
    """Tell how far a dough has proved, and when it is ready.

    Minutes at each temperature are turned into equivalent minutes at that of the proof; between two
    notes it goes evenly, and two notes of one minute are a step. Above 38 C no law holds, and the
    log is refused. The band is what three laws say, and no interval of confidence.
    """
    from weighstation.station.commands.planning.proof import ProofAsked, run_proof  # noqa: PLC0415 - only what is asked for

    finish(
        run_proof(
            ProofAsked(
                product, tuple(notes or ()), log, ahead, begun, _answering(as_json, out), home
            )
        )
    )


@plan_app.command(
    "flour",
    epilog=example(
        'weighstation plan flour "Tin loaf" 6',
        'weighstation plan flour "Tin loaf" --tub 2000 --tub-after 1650 --swept 60 --pieces 48',
    ),
)
def plan_flour(  # noqa: PLR0913 - one parameter an option
    product: Annotated[str, typer.Argument(metavar="PRODUCT", help="Name in products.toml.")],
    grams: Annotated[
        str | None,
        typer.Argument(metavar="[GRAMS]", help="Flour that one piece picks up; else by the tub."),
    ] = None,
    *,
    tub: Annotated[
        str | None, typer.Option("--tub", metavar="GRAMS", help="The tub of flour before.")
    ] = None,
    tub_after: Annotated[
        str | None, typer.Option("--tub-after", metavar="GRAMS", help="The tub of flour after.")
    ] = None,
    swept: Annotated[
        str, typer.Option("--swept", metavar="GRAMS", help="Taken up from bench and floor.")
    ] = "0",
    pieces: Annotated[
        int | None,
        typer.Option(
            "--pieces", metavar="N", min=1, max=MOST_PIECES, help="Handled with that flour."
        ),
    ] = None,
    as_json: JsonOption = False,
    out: PlanOutOption = None,
    home: HomeOption = None,
) -> None:
    """Tell what bench flour does to a piece: its dough, its hydration.

    Flour on a piece weighs as dough does, and dries it. Weigh the tub before and after a batch, or
    brush a few pieces and weigh that. Up to 1 % of the dough is good, above 2 % it is a fault, and
    the command leaves with 1.
    """
    from weighstation.station.commands.planning.bench_flour import (  # noqa: PLC0415
        FlourAsked,
        run_flour,
        tub_of,
    )
    from weighstation.station.commands.terminal import options  # noqa: PLC0415 - only what is asked for

    asked = FlourAsked(
        product=product,
        flour_mg=options.rest_from(grams, "The flour on a piece"),
        tub=tub_of(
            options.rest_from(tub, "--tub"),
            options.rest_from(tub_after, "--tub-after"),
            swept_mg=options.rest_from(swept, "--swept") or 0,
            pieces=pieces,
        ),
        answering=_answering(as_json, out),
        home=home,
    )
    finish(run_flour(asked))


@plan_app.command("oven", epilog=example('weighstation plan oven "Tin loaf=48" --cut-every 10'))
def plan_oven(
    product: Annotated[
        str, typer.Argument(metavar="NAME=PIECES", help="What is baked, and how many.")
    ],
    *,
    cut_every: Annotated[
        float,
        typer.Option(
            "--cut-every",
            metavar="SECONDS",
            min=0,
            max=3600,
            help="From one cut to the next; 0 is all at once.",
        ),
    ] = 0.0,
    weight: Annotated[
        str | None,
        typer.Option(
            "--weight", metavar="GRAMS", help="Tell how long pieces of another weight bake, too."
        ),
    ] = None,
    as_json: JsonOption = False,
    out: PlanOutOption = None,
    home: HomeOption = None,
) -> None:
    """Plan the loads of an oven, and when to divide each."""
    from weighstation.station.commands.planning.oven import OvenAsked, run_oven  # noqa: PLC0415
    from weighstation.station.commands.terminal import options  # noqa: PLC0415 - only what is asked for

    piece_mg = None if weight is None else options.load_from(weight, "--weight")
    finish(run_oven(OvenAsked(product, cut_every, piece_mg, _answering(as_json, out), home)))

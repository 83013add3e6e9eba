"""The ``plan`` commands: order to bowl, dough to pieces, and the right scaling weight."""

from __future__ import annotations

from typing import Annotated

import typer

from weighstation.cli.answers import finish
from weighstation.cli.options import HomeOption, JsonOption, example

plan_app = typer.Typer(
    help="Plan a morning: from an order to the bowl, from a dough to pieces, to the right weight.",
    epilog=example('weighstation plan order "Tin loaf=48"'),
    rich_markup_mode=None,
    no_args_is_help=True,
)


@plan_app.command("order", epilog=example('weighstation plan order "Tin loaf=48"'))
def plan_order(
    products: Annotated[
        list[str],
        typer.Argument(metavar="NAME=PIECES...", help="What is ordered, by its products."),
    ],
    *,
    declared: Annotated[
        bool,
        typer.Option(
            "--declared",
            help="Work the scaling weights out from declared weights and losses, in place of those"
            " of products.toml.",
        ),
    ] = False,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """From an order to the bowl: pieces, dough on the bench, ingredients to weigh, and their cost.

    Losses multiply stage by stage, and are shown on both bases: of the dough that goes into a
    stage, and of the bread that comes out of it. Products of one dough are mixed together.
    """
    from weighstation.station.commands.planning.order import OrderAsked, run_order  # noqa: PLC0415 - only what is asked for

    finish(run_order(OrderAsked(tuple(products), declared, as_json, home)))

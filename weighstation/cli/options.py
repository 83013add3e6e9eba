"""Options that more than one command takes, and how an example is shown.

Grams are taken as text: `weighstation.station.commands.terminal.options` reads a decimal comma too.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weighstation.specification import LiftedPolicy, Way

MOST_PIECES = 100_000
"""More pieces than a bench divides in a month of nights."""
LOOPBACK = "127.0.0.1"
PAGE_PORT = 8650
MOST_LINES = 2**63 - 1
"""The last number that a line of a journal can have."""

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
    str | None, typer.Option("--target", metavar="GRAMS", help="Scaling weight.")
]
UnderOption = Annotated[
    str | None,
    typer.Option("--under", metavar="GRAMS", help="How far below it a piece may be."),
]
OverOption = Annotated[
    str | None,
    typer.Option("--over", metavar="GRAMS", help="How far above it a piece may be."),
]
WayOption = Annotated[Way, typer.Option("--way", help="How pieces meet the scale.")]
LiftedOption = Annotated[
    LiftedPolicy,
    typer.Option("--lifted", help="What a piece lifted out of band is taken for."),
]
DivisionOption = Annotated[
    str | None,
    typer.Option("--division", metavar="GRAMS", help="The scale's division; else it is learned."),
]
PortOption = Annotated[
    str | None,
    typer.Option(
        "--port",
        metavar="URL",
        help="The scale: serial://DEVICE, tcp://HOST:PORT, replay://FILE or simulated://.",
    ),
]
PagesOption = Annotated[
    bool, typer.Option("--pages", help="Show the bench in a browser too; needs the extra pages.")
]
PageHostOption = Annotated[
    str, typer.Option("--page-host", metavar="HOST", help="Address that pages are served at.")
]
PagePortOption = Annotated[
    int,
    typer.Option(
        "--page-port", metavar="N", min=0, max=65535, help="Port of the pages; 0 for any."
    ),
]
CertificateOption = Annotated[
    Path | None,
    typer.Option(
        "--certificate",
        metavar="FILE",
        help="Certificate of the pages (PEM), for HTTPS; with --key.",
    ),
]
KeyOption = Annotated[
    Path | None,
    typer.Option("--key", metavar="FILE", help="Key of that certificate (PEM, no password)."),
]
PlainOption = Annotated[bool, typer.Option("--plain", help="Plain lines, no panel.")]
ProductName = Annotated[str, typer.Argument(metavar="PRODUCT", help="Name in products.toml.")]
RunOption = Annotated[str, typer.Option("--run", metavar="RUN", help="A run; else the newest.")]
EventsOption = Annotated[
    bool, typer.Option("--events", help="Write JSON lines, one for each thing that happens.")
]


def example(*lines: str) -> str:
    """Return an epilog that shows commands as they are typed.

    Parameters
    ----------
    lines : str

    Returns
    -------
    str
    """
    return "\n".join(("\b", "Example:", *(f"  {line}" for line in lines)))

"""The commands about the machine a station runs on: its scales, and its start by itself."""

from __future__ import annotations

from typing import Annotated

import typer

from weighstation.cli.answers import finish
from weighstation.cli.bench import app
from weighstation.cli.options import HomeOption, JsonOption, PortOption, example


@app.command(epilog=example("weighstation scales", "weighstation scales --json"))
def scales(*, as_json: JsonOption = False, home: HomeOption = None) -> None:
    """List the ports a scale may be at, and what stands in their way.

    No serial port is opened and nothing is sent. It leaves with 0 when one can be opened, else
    with 3.

    With --json it writes one object: "scales" is a list, one object a port, with the keys kind
    (serial or hid), description, looks_like, device, port (what to give with --port), identity
    (stays the same under another name), learned and opens (true or false), problem and cure (empty
    where it opens), caution and caution_cure. "note" is what is to be said of all of them, such as
    a package that is missing.
    """
    from weighstation.station.commands.scales import run_scales  # noqa: PLC0415 - only what is asked for

    finish(run_scales(as_json=as_json, home=home))


@app.command(
    epilog=example(
        "weighstation service --home /srv/bench",
        "weighstation service --port serial:///dev/ttyUSB0 --user baker",
    )
)
def service(
    *,
    port: PortOption = "",
    home: HomeOption = None,
    user: Annotated[
        str,
        typer.Option("--user", metavar="NAME", help="Whom the station runs as; else you."),
    ] = "",
) -> None:
    """Print what starts this station with its machine (Linux, systemd).

    It prints a shell script, to be read and then run: a udev rule for the scale, a unit of systemd
    that divides with --events, and the commands that put both in their place. It installs nothing
    itself. Without --port it takes the scale that was used last in that home.
    """
    from weighstation.station.commands.service import run_service  # noqa: PLC0415 - see above

    finish(run_service(port=port or "", home=home, user=user))

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
    epilog=example("weighstation learn", "weighstation learn morning.jsonl --load 500 --json")
)
def learn(
    port: Annotated[
        str | None,
        typer.Argument(
            metavar="PORT|FILE",
            help="The scale, or a recording; else the only one plugged in.",
        ),
    ] = None,
    *,
    load: Annotated[
        str | None,
        typer.Option("--load", metavar="GRAMS", help="What the load in the recording weighs."),
    ] = None,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Find out how a scale speaks, and keep it for every time it is opened.

    It finds speed and framing, asks for an empty pan and for one known weight, shows what came
    beside what was read, and asks whether the display agrees. From a recording it tells without
    questions, and keeps nothing. What cannot be told is said to be open.
    """
    from pathlib import Path  # noqa: PLC0415 - see above

    from weighstation.station.commands.learn import learn_recording, learn_scale  # noqa: PLC0415

    if port is not None and (Path(port).is_file() or port.endswith(".jsonl")):
        finish(learn_recording(Path(port), load=load, as_json=as_json))
    else:
        finish(learn_scale(port, home=home, as_json=as_json))


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

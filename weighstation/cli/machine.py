"""The commands about the machine a station runs on: its scales."""

from __future__ import annotations

from weighstation.cli.answers import finish
from weighstation.cli.bench import app
from weighstation.cli.options import HomeOption, JsonOption, example


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

"""The commands that set a station up: its products, its scales, and its start by itself."""

from __future__ import annotations

from typing import Annotated

import typer

from weighstation.cli.answers import finish
from weighstation.cli.bench import app
from weighstation.cli.options import (
    LOOPBACK,
    PAGE_PORT,
    CertificateOption,
    DivisionOption,
    HomeOption,
    JsonOption,
    KeyOption,
    PageHostOption,
    PagePortOption,
    PortOption,
    example,
)


@app.command(epilog=example("weighstation init", "weighstation init --home bench"))
def init(*, home: HomeOption = None) -> None:
    """Write a products.toml to start from, and say what to type next.

    It holds three products of an invented bakery, with every key explained. A products.toml that is
    there already is left as it is, and said.
    """
    from weighstation.station.commands.shop.init import run_init  # noqa: PLC0415 - only what is asked for

    finish(run_init(home))


@app.command(epilog=example("weighstation setup", "weighstation setup --json"))
def setup(*, as_json: JsonOption = False, home: HomeOption = None) -> None:
    """Show how this station is set up, and what to type to change it.

    The shop's products as they stand in the file, with every fault beside its key; the scales that
    are plugged in, and those learned; when the check is due. It leaves with 1 where there is no
    products file, or it has faults.
    """
    from weighstation.station.commands.office.setup import run_setup  # noqa: PLC0415 - only what is asked for

    finish(run_setup(home, as_json=as_json))


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
    from weighstation.station.commands.scales.scales import run_scales  # noqa: PLC0415 - only what is asked for

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
    """Find out how a scale speaks, and keep it.

    It finds speed and framing, asks for an empty pan and for one known weight, shows what came
    beside what was read, and asks whether the display agrees. From a recording it tells without
    questions, and keeps nothing. What cannot be told is said to be open.
    """
    from pathlib import Path  # noqa: PLC0415 - see above

    from weighstation.station.commands.scales.learn import learn_recording, learn_scale  # noqa: PLC0415

    if port is not None and (Path(port).is_file() or port.endswith(".jsonl")):
        finish(learn_recording(Path(port), load=load, as_json=as_json))
    else:
        finish(learn_scale(port, home=home, as_json=as_json))


@app.command(
    epilog=example(
        "weighstation check --weight 500:M1 --class III --e 1 --max 3000",
        "weighstation check",
        "weighstation check --state",
    )
)
def check(  # noqa: PLR0913 - one parameter an option
    *,
    port: PortOption = None,
    weight: Annotated[
        list[str] | None,
        typer.Option(
            "--weight",
            metavar="NAME|GRAMS:CLASS",
            help="A check weight, once for each, up to four; else all of weights.toml.",
        ),
    ] = None,
    corners: Annotated[
        bool, typer.Option("--corners", help="At the four corners of the pan too.")
    ] = False,
    person: Annotated[str, typer.Option("--person", metavar="NAME", help="Who checks.")] = "",
    cls: Annotated[
        str | None,
        typer.Option("--class", metavar="CLASS", help="Accuracy class on the scale's plate; kept."),
    ] = None,
    e: Annotated[
        str | None,
        typer.Option("--e", metavar="GRAMS", help="Verification interval on its plate; kept."),
    ] = None,
    most: Annotated[
        str | None, typer.Option("--max", metavar="GRAMS", help="Max on its plate; kept.")
    ] = None,
    limit: Annotated[
        str | None,
        typer.Option("--limit", metavar="GRAMS", help="A limit of your own, in the plate's stead."),
    ] = None,
    division: DivisionOption = None,
    due: Annotated[
        float | None,
        typer.Option(
            "--due", metavar="HOURS", min=0.1, max=8760, help="How often it is checked; kept."
        ),
    ] = None,
    state: Annotated[
        bool, typer.Option("--state", help="Tell how it stands, and weigh nothing.")
    ] = False,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Check the scale with known weights, in less than a minute.

    It asks for an empty pan and for each weight, sees for itself when that is done, and judges
    what was shown: zero, load, repeatability, corners. The limits are those of the class on the
    scale's plate, in service; else your own; else one division. It is no legal verification.

    It leaves with 1 where the scale is not fit (with --state: where no check is on record, or the
    last one failed or is too old), and says which pieces are doubtful.
    """
    from decimal import Decimal  # noqa: PLC0415 - see above

    from weighstation.station.commands.checking.check import CheckOrder, run_check  # noqa: PLC0415
    from weighstation.station.commands.checking.standing import show_state  # noqa: PLC0415
    from weighstation.station.commands.terminal import options  # noqa: PLC0415 - see above

    order = CheckOrder(
        port=port,
        weights=tuple(weight or ()),
        corners=corners,
        person=person.strip(),
        plate=options.plate_from(cls, e, most),
        limit_g=None if limit is None else Decimal(options.load_from(limit, "--limit")) / 1000,
        division_mg=options.division_from(division),
        due_h=due,
        as_json=as_json,
        home=home,
    )
    finish(show_state(order) if state else run_check(order))


@app.command(
    epilog=example(
        "weighstation service --home /srv/bench",
        "weighstation service --port serial:///dev/ttyUSB0 --user baker",
    )
)
def service(  # noqa: PLR0913 - one parameter an option
    *,
    port: PortOption = "",
    home: HomeOption = None,
    user: Annotated[
        str,
        typer.Option("--user", metavar="NAME", help="Whom the station runs as; else you."),
    ] = "",
    pages: Annotated[
        bool, typer.Option("--pages", help="Serve pages, and divide what is begun there.")
    ] = False,
    page_host: PageHostOption = LOOPBACK,
    page_port: PagePortOption = PAGE_PORT,
    certificate: CertificateOption = None,
    key: KeyOption = None,
) -> None:
    """Print what starts this station with its machine (Linux).

    It prints a shell script, to be read and then run: a udev rule for the scale, a unit of systemd
    that divides with --events or, with --pages, serves, and the commands that put both in their
    place. It installs nothing itself. Without --port it takes the scale that was used last in that
    home.
    """
    from weighstation.station.commands.scales.service import run_service  # noqa: PLC0415 - see above
    from weighstation.station.commands.terminal.options import certificate_from  # noqa: PLC0415
    from weighstation.station.pages.place import Place  # noqa: PLC0415 - see above

    place = Place(page_host, page_port, certificate_from(certificate, key))
    finish(run_service(port=port or "", home=home, user=user, pages=place if pages else None))


@app.command(
    epilog=example(
        'weighstation pair --role bench --name "tablet at the bench"',
        "weighstation pair --list",
        'weighstation pair --revoke "tablet at the bench"',
    )
)
def pair(  # noqa: PLR0913 - one parameter an option
    *,
    role: Annotated[
        str,
        typer.Option(
            "--role",
            metavar="ROLE",
            help="What the device may do: reader (look), bench (weigh and strike out) or owner"
            " (all).",
        ),
    ] = "",
    name: Annotated[
        str,
        typer.Option("--name", metavar="NAME", help="What you call it; else its role, numbered."),
    ] = "",
    url: Annotated[
        str | None,
        typer.Option(
            "--url",
            metavar="URL",
            help="How it reaches this station, as http://HOST:PORT; else where pages were last"
            " served on the network.",
        ),
    ] = None,
    listed: Annotated[bool, typer.Option("--list", help="Tell which devices are let in.")] = False,
    revoke: Annotated[
        str | None,
        typer.Option("--revoke", metavar="NAME", help="Let that device in no more."),
    ] = None,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Let a device in from the network, such as a tablet at the bench.

    It makes a link, and shows it as a QR code too. The link works once and for 10 minutes; the
    browser that opens it is let in from then on, for 400 days or until it is revoked. Whoever sits
    at this machine needs none.

    A station that is serving pages obeys --revoke within a second.
    """
    from weighstation.station.commands.pairing.pair import PairOrder, run_pair  # noqa: PLC0415 - see above

    finish(run_pair(PairOrder(role, name, url, listed, revoke, as_json, home)))

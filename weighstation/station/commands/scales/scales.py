"""``scales``: what is plugged in, the port to give for it, and what stands in its way."""

from __future__ import annotations

import sys
import textwrap
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from weighstation.errors import ScaleError, SpecificationError
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.pages import show_record
from weighstation.station.devices import list_serial_devices
from weighstation.station.devices.hid_scales import list_hid_devices

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from weighstation.station.devices import SerialDevice, Trouble
    from weighstation.station.devices.hid_scales import HidDevice

WIDTH = 80
INDENT = " " * 11
NOTHING_OPENS = 3
HID = "USB scale, no serial port"


@dataclass(frozen=True, slots=True)
class Place:
    """Something that a scale may be: one object of the JSON.

    Parameters
    ----------
    kind : str
        ``serial`` or ``hid``.
    description : str
        What the device says of itself.
    looks_like : str
        What it seems to be.
    device : str
        Its name now.
    port : str
        What to give with ``--port``.
    identity : str
        Who it is, whatever its name.
    learned : bool
        Whether scales.toml of the home folder knows it.
    opens : bool
        Whether it can be opened.
    problem, cure : str
        Why not, and what to do.
    caution, caution_cure : str
        What may go wrong although it can, and what to do.
    """

    kind: str
    description: str
    looks_like: str
    device: str
    port: str
    identity: str
    learned: bool = False
    opens: bool = True
    problem: str = ""
    cure: str = ""
    caution: str = ""
    caution_cure: str = ""


def run_scales(*, as_json: bool, home: Path | None) -> int:
    """List what a scale may be plugged into.

    Parameters
    ----------
    as_json : bool
    home : Path or None

    Returns
    -------
    int
        Exit code: 3 where nothing can be opened.

    Raises
    ------
    ScaleError
        If nothing is plugged in (as a value where JSON is asked for).
    """
    learned = _learned(Home.find(home))
    hid = list_hid_devices()
    places = [
        *(serial_place(device, learned) for device in list_serial_devices()),
        *(hid_place(device, learned) for device in hid.devices),
    ]
    if as_json:
        told = {"scales": [asdict(place) for place in places], "note": hid.note}
        show_record(told)
    elif not places:
        raise ScaleError(
            "Nothing is plugged in that a scale could be.",
            hint="Plug the scale in, switch it on, and run 'weighstation scales' again."
            + (f" {hid.note}" if hid.note else ""),
        )
    else:
        sys.stdout.write(listing(places, hid.note))
    return 0 if any(place.opens for place in places) else NOTHING_OPENS


def _learned(home: Home) -> frozenset[str]:
    """Return the identities of learned scales; a file that cannot be read hides no scale."""
    try:
        known = home.profiles().values()
        return frozenset(profile.identity for profile in known if not profile.is_plate_only)
    except SpecificationError as exc:
        sys.stderr.write(f"{exc.sentence}\n")
        return frozenset()


def serial_place(device: SerialDevice, learned: frozenset[str]) -> Place:
    """Return a serial port as a place for a scale.

    Parameters
    ----------
    device : SerialDevice
    learned : frozenset of str
        Identities that are known.

    Returns
    -------
    Place
    """
    return Place(
        kind="serial",
        description=device.description,
        looks_like=device.looks_like,
        device=device.device,
        port=device.url,
        identity=str(device.identity),
        learned=str(device.identity) in learned,
        opens=device.trouble is None,
        problem=device.problem,
        cure=_cure(device.trouble),
        caution=device.caution.says if device.caution else "",
        caution_cure=_cure(device.caution),
    )


def hid_place(device: HidDevice, learned: frozenset[str]) -> Place:
    """Return a scale on USB as a place.

    Parameters
    ----------
    device : HidDevice
    learned : frozenset of str
        Identities that are known.

    Returns
    -------
    Place
    """
    return Place(
        kind="hid",
        description=device.description,
        looks_like=HID,
        device=device.device,
        port=device.url,
        identity=str(device.identity),
        learned=str(device.identity) in learned,
        opens=not device.problem,
        problem=device.problem,
    )


def listing(places: Sequence[Place], note: str = "") -> str:
    """Return the list as a person reads it, 80 columns wide but for what is to be copied.

    Parameters
    ----------
    places : sequence of Place
    note : str
        What is to be said once, after the list.

    Returns
    -------
    str
    """
    open_ones = sum(place.opens for place in places)
    blocks = [f"{_ports(len(places))}; {open_ones or 'none'} can be opened."]
    blocks += ["\n".join(_lines(place)) for place in places]
    blocks += dict.fromkeys(map(_warning, places))  # once for all that have the same
    blocks += (_next(places), textwrap.fill(note, WIDTH))
    return "\n\n".join(filter(None, blocks)) + "\n"


def _ports(count: int) -> str:
    return "1 port is there" if count == 1 else f"{count} ports are there"


def _lines(place: Place) -> list[str]:
    """Return the lines that tell of one place."""
    looks = place.looks_like if place.description else ""
    now = f"now {place.device}" if place.device else "has no port now"
    lines = [
        place.description or place.looks_like,
        *_field("is", ", ".join(filter(None, (looks, now)))),
    ]
    if place.port:
        lines.append(f"  port     --port {place.port}")  # never broken, as it is copied
    lines += _field("learned", "yes" if place.learned else "not yet")
    lines += _field("opens", "yes" if place.opens else f"no: {place.problem}")
    lines += _field("", place.cure)
    lines += _field("beware", place.caution) if place.caution else []
    return lines


def _warning(place: Place) -> str:
    """Return what to do about a caution; its commands begin at the margin, to be copied."""
    prose, _, commands = place.caution_cure.partition("\n")
    return "\n".join(filter(None, (textwrap.fill(prose, WIDTH), commands)))


def _field(name: str, text: str) -> list[str]:
    """Return a text beside its name; its first line is prose, what follows is to be typed."""
    prose, *commands = text.splitlines() or [""]
    lines = [f"  {line}" for line in commands]
    if prose:
        first = f"  {name:<9}"
        wrapped = textwrap.wrap(
            prose, WIDTH, initial_indent=first, subsequent_indent=INDENT, break_on_hyphens=False
        )
        return wrapped + lines
    return lines


def _cure(trouble: Trouble | None) -> str:
    """Return what to do, and in lines of their own the commands that are not in it already."""
    if trouble is None:
        return ""
    commands = (command for command in trouble.commands if command not in trouble.cure)
    return "\n".join((trouble.cure, *commands))


def _next(places: Sequence[Place]) -> str:
    """Return what to do next with what can be opened."""
    if any(place.opens and place.learned for place in places):
        return "Next: weighstation divide PRODUCT --port URL"
    if any(place.opens for place in places):
        return "Next, let the station learn the scale: weighstation learn URL"
    return ""

"""``learn``: a scale nobody has described -> its profile, with a person looking at the display."""

from __future__ import annotations

import sys
import time
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from weighstation.acquire.learning import COMMA, DECIMAL_SIGN, NUMBER, SCALE, learn
from weighstation.errors import ScaleError, SpecificationError
from weighstation.station.commands.scales.learned_texts import (
    findings,
    last_shown,
    learned_json,
    read_lines,
)
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.options import load_from
from weighstation.station.devices import list_serial_devices
from weighstation.station.devices.listening import Listener, find_settings
from weighstation.station.devices.opening import find, key_of
from weighstation.station.devices.profiles import Profile
from weighstation.station.ports import Address
from weighstation.station.ports.serial_line import SerialPort
from weighstation.station.recordings import read_recording

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.acquire.learning import Learned
    from weighstation.station.ports import Port

REST_S = 2.5
"""So long the pan is watched after each answer, and longer where the scale speaks slowly."""
MOST_S = 15.0
ENOUGH_LINES = 24


def learn_recording(file: Path, *, load: str | None, as_json: bool) -> int:
    """Tell what a recording says about its scale, without questions.

    Parameters
    ----------
    file : Path
    load : str or None
        What the load weighs, in grams.
    as_json : bool

    Returns
    -------
    int
        Exit code: 1 where no weight could be read.

    Raises
    ------
    RecordingError
        If the file is no recording.
    SpecificationError
        If the load is no weight, or the recording is of reports.
    """
    recording = read_recording(file)
    if recording.header is not None and recording.header.descriptor is not None:
        raise SpecificationError(
            "This scale sends reports that say what they mean.", hint="There is nothing to learn."
        )
    known_mg = None if load is None else load_from(load, "--load")
    for warning in recording.warnings:
        sys.stderr.write(f"{warning}\n")
    learned = learn(recording.arrivals, known_load_mg=known_mg)
    if as_json:
        sys.stdout.write(learned_json(learned) + "\n")
    else:
        sys.stdout.write(read_lines(learned) + findings(learned))
    return 0 if learned.shape else 1


def learn_scale(port: str | None, *, home: Path | None, as_json: bool) -> int:
    """Find out how a plugged-in scale speaks, ask a person, and keep its profile.

    Parameters
    ----------
    port : str or None
        URL; None where only one scale is plugged in.
    home : Path or None
    as_json : bool
        Print the profile as JSON at the end.

    Returns
    -------
    int
        Exit code: 1 where it was not kept.

    Raises
    ------
    SpecificationError
        If it is not clear which scale is meant, or nobody can be asked.
    ScaleError
        If the scale cannot be opened, or says nothing.
    JournalFullError
        If the profile cannot be written.
    """
    if not sys.stdin.isatty():
        raise SpecificationError(
            "Learning a scale takes somebody who looks at its display.",
            hint="Run it in a terminal, or record the scale and learn from the recording:"
            " weighstation learn FILE --json.",
        )
    place = Home.find(home)
    place.make()
    place.profiles()  # what cannot be read is said before anything is asked
    address = Address.parse(port or _only_port())
    source = _open(address)
    settings = _settings(address, source)
    with Listener(source) as listener:
        learned, right = _ask(listener)
    if not right:
        sys.stderr.write(
            "Nothing was kept. Record the scale with 'weighstation record', write down what it"
            " showed, and send us both.\n"
        )
        return 1
    profile = _profile(address, settings, learned)
    place.keep_profile(profile)
    sys.stderr.write(f"Kept in {place.scales_path} as {profile.identity}.\n")
    if as_json:
        sys.stdout.write(learned_json(learned) + "\n")
    return 0


def _only_port() -> str:
    devices = [device for device in list_serial_devices() if device.trouble is None]
    if len(devices) == 1:
        return devices[0].url
    if not devices:
        raise ScaleError(
            "There is no serial port that could be opened.",
            hint="Plug the scale in and look with 'weighstation scales', or name its port.",
        )
    names = ", ".join(device.url for device in devices)
    raise SpecificationError(
        f"There are {len(devices)} serial ports.", hint=f"Name one of {names}."
    )


def _open(address: Address) -> Port:
    if address.scheme in ("hid", "stdin", "replay"):
        raise SpecificationError(
            f"A {address.scheme}:// port is not learned.",
            hint="Name a serial port, a network port or a recording.",
        )
    began_s = time.monotonic()
    return find(str(address), {}).open(lambda: time.monotonic() - began_s)


def _settings(address: Address, source: Port) -> dict[str, str]:
    """Return the options to be kept; the speed is looked for unless it was given."""
    given = {} if address.scheme == "simulated" else address.options
    has_speed = address.scheme in ("serial", "rfc2217")
    if "baud" in given or not has_speed or not isinstance(source, SerialPort):
        return given
    sys.stderr.write(f"Listening to {source.name}:\n")
    found = find_settings(source, _tell)
    if found is None:
        source.close()
        raise ScaleError(
            "No weights came at any speed.",
            hint="Set the scale to send all the time, or put something on while it is listened"
            " to; if it answers only when asked, give ask=... in the port"
            " (see docs/how-to/connect-a-scale.md).",
        )
    return given | found


def _tell(text: str) -> None:
    sys.stderr.write(f"  {text}\n")


def _ask(listener: Listener) -> tuple[Learned, bool]:
    """Watch an empty pan and a load; return what was learned and whether a person agrees."""
    _answer("Take everything off the pan, then press Enter. ")
    _watch(listener)
    _answer("Put something on whose weight you know. Once it is still, press Enter. ")
    _watch(listener)
    known_mg = _known_load()
    learned = learn(listener.arrivals(), known_load_mg=known_mg)
    sys.stderr.write("\n" + read_lines(learned) + findings(learned))
    if not learned.shape:
        raise ScaleError(
            learned.refusal or "No weight could be read from these lines.",
            hint="Record the scale with 'weighstation record' and ask for help with the recording.",
        )
    if learned.fits_load is False:
        raise SpecificationError(
            "What was put on and what it is said to weigh do not go together.",
            hint="Start again, with the pan empty first; put the load on only when asked.",
        )
    is_sure = not {COMMA, DECIMAL_SIGN, NUMBER, SCALE} & set(learned.open)
    choices = "[Y/n]" if is_sure else "[y/N]"
    answer = _answer(f"Does the scale itself show {last_shown(learned)} now? {choices} ")
    return learned, answer.lower() in ("y", "yes") or (is_sure and not answer)


def _known_load() -> int | None:
    while True:
        text = _answer("What does it weigh, in grams? (just Enter: not known) ")
        if not text:
            return None
        try:
            return load_from(text, "The load")
        except SpecificationError as exc:
            sys.stderr.write(f"{exc.sentence}\n")


def _watch(listener: Listener) -> None:
    """Let the pan be watched for a while, and until enough lines have come to tell a check."""
    before = _lines(listener)
    began_s = time.monotonic()
    time.sleep(REST_S)
    if _lines(listener) - before < ENOUGH_LINES // 2:
        sys.stderr.write("The scale speaks slowly: a moment more.\n")
    while _lines(listener) - before < ENOUGH_LINES and time.monotonic() - began_s < MOST_S:
        time.sleep(0.2)


def _lines(listener: Listener) -> int:
    """Return how many lines have ended until now."""
    heard = b"".join(arrival.data for arrival in listener.arrivals())
    return max(heard.count(end) for end in (b"\r", b"\n", b"\x03"))


def _answer(question: str) -> str:
    sys.stderr.write(question)
    sys.stderr.flush()
    line = sys.stdin.readline()
    if not line:
        raise SpecificationError("Nobody answers.", hint="Run it in a terminal.")
    return line.strip()


def _profile(address: Address, settings: dict[str, str], learned: Learned) -> Profile:
    return Profile(
        identity=key_of(address),
        settings=settings,
        recipe=learned.recipe,
        learned=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        readings_per_s=learned.readings_per_s,
        settle_s=learned.settle_s,
        open=learned.open,
    )

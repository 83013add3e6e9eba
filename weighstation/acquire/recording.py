"""The recording: what a scale sent and when it arrived, one JSON object a line.

The file may open with a header line; every other line is an arrival. Nothing here opens a file:
lines of text come in, lines of text go out.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple, TypeGuard, cast

from weighstation.acquire.recipe import OPEN, Recipe
from weighstation.errors import RecordingError, SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterable

VERSION = 1
_BLOCK_LINES = 512
_TOO_LARGE = 1e12
_PLAIN = frozenset(b"\t\r\n") | frozenset(range(0x20, 0x7F))
_BLANK = " \t\r\n"
_read_json = json.JSONDecoder().raw_decode  # a third of the time that loads takes
_HINT = "Give a file that was written by 'weighstation record'."

_Row = tuple[int, dict[str, object]]


@dataclass(frozen=True, slots=True)
class Header:
    """What is known about a recording before its first arrival.

    Parameters
    ----------
    source : str
        The port or the scene it was taken from.
    division_g : float, grams, or None
        Scale interval, where it is known.
    started : datetime or None
        The moment of ``t = 0``; with a time zone.
    descriptor : bytes or None
        Of a scale that sends HID reports, its report descriptor, empty where it could not be had;
        None where the scale sends lines.
    recipe : Recipe
        What was learned of the scale's lines before.
    """

    source: str = ""
    division_g: float | None = None
    started: datetime | None = None
    descriptor: bytes | None = None
    recipe: Recipe = OPEN


class Arrival(NamedTuple):
    """Bytes that came in together.

    Parameters
    ----------
    t_s : float, seconds
        When the last of them arrived, from the start of the recording.
    data : bytes
    """

    t_s: float
    data: bytes


@dataclass(frozen=True, slots=True)
class Recording:
    """A recording as read.

    Parameters
    ----------
    header : Header or None
        None where the file has none.
    arrivals : list of Arrival
        In the order of the file; times never fall.
    warnings : tuple of str
        One plain sentence for each thing that was passed over.
    """

    header: Header | None
    arrivals: list[Arrival]
    warnings: tuple[str, ...] = ()


def encode_header(header: Header) -> str:
    """Return the first line of a recording, without a line end.

    Parameters
    ----------
    header : Header

    Returns
    -------
    str
    """
    fields: dict[str, object] = {"recording": VERSION, "source": header.source}
    if header.division_g is not None:
        fields["division_g"] = header.division_g
    if header.started is not None:
        utc = header.started.astimezone(UTC).replace(tzinfo=None)
        fields["started"] = f"{utc.isoformat()}Z"
    if header.descriptor is not None:
        fields["descriptor"] = header.descriptor.hex()
    if header.recipe != OPEN:
        fields["profile"] = header.recipe.plain()
    return json.dumps(fields)


def encode_arrival(arrival: Arrival) -> str:
    """Return one arrival as a line, without a line end.

    Parameters
    ----------
    arrival : Arrival
        Its time is written to the microsecond.

    Returns
    -------
    str
        ``data`` as Latin-1 text, or ``hex`` where the bytes are not plain text.

    Examples
    --------
    >>> encode_arrival(Arrival(12.3041, b"651 g"))
    '{"t": 12.3041, "data": "651 g"}'
    """
    t_s = round(arrival.t_s, 6)
    if _PLAIN.issuperset(arrival.data):
        return json.dumps({"t": t_s, "data": arrival.data.decode("ascii")})
    return json.dumps({"t": t_s, "hex": arrival.data.hex()})


def decode(lines: Iterable[str]) -> Recording:
    """Return the recording that some lines of text hold.

    Parameters
    ----------
    lines : iterable of str
        With or without their line ends; blank ones are passed over.

    Returns
    -------
    Recording
        A last line that was cut short is left out, with a warning.

    Raises
    ------
    RecordingError
        If a line is not an arrival, times fall, or there is no arrival at all.
    """
    numbered = ((number, line) for number, line in enumerate(lines, start=1) if line.strip())
    block = list(islice(numbered, _BLOCK_LINES))
    if not block:
        raise RecordingError("The file is empty.", hint=_HINT)
    header: Header | None = None
    arrivals: list[Arrival] = []
    warnings: tuple[str, ...] = ()
    is_first = True
    while block:
        following = list(islice(numbered, _BLOCK_LINES))
        if not following and _is_cut_short(block[-1]) and not (is_first and len(block) == 1):
            warnings = (f"Line {block.pop()[0]} was cut short and is left out.",)
        rows = _rows(block)
        if is_first and "recording" in rows[0][1]:
            header = _header(*rows.pop(0))
        arrivals += _arrivals(rows, arrivals[-1].t_s if arrivals else 0.0)
        block, is_first = following, False
    if not arrivals:
        raise RecordingError("The file holds no reading of a scale.", hint=_HINT)
    return Recording(header, arrivals, warnings)


def _is_cut_short(numbered: tuple[int, str]) -> bool:
    try:
        json.loads(numbered[1])
    except (ValueError, RecursionError):
        return True
    return False


def _rows(numbered: list[tuple[int, str]]) -> list[_Row]:
    rows = []
    for number, line in numbered:
        text = line.strip(_BLANK)
        try:
            row, end = _read_json(text)
        except (ValueError, RecursionError) as exc:
            raise _not_one(number, "is not JSON") from exc
        if end < len(text):
            raise _not_one(number, "is not JSON")
        if not isinstance(row, dict):
            raise _not_one(number, "is not an object")
        rows.append((number, row))
    return rows


def _not_one(number: int, why: str) -> RecordingError:
    return RecordingError(f"This is not a recording: line {number} {why}.", hint=_HINT)


def _header(number: int, row: dict[str, object]) -> Header:
    if row["recording"] != VERSION:
        raise RecordingError(
            f"The recording has version {row['recording']}, this program reads version {VERSION}.",
            hint="Install a newer weighstation.",
        )
    return Header(
        source=str(row.get("source", "")),
        division_g=_division(number, row.get("division_g")),
        started=_started(number, row.get("started")),
        descriptor=_descriptor(number, row.get("descriptor")),
        recipe=_recipe(number, row.get("profile")),
    )


def _recipe(number: int, profile: object) -> Recipe:
    try:
        return Recipe.of_plain(profile) if isinstance(profile, dict) else OPEN
    except SpecificationError as exc:
        raise _not_one(number, "has a profile that cannot be read") from exc


def _division(number: int, division_g: object) -> float | None:
    if division_g is None:
        return None
    if _is_number(division_g) and division_g > 0:
        return float(division_g)
    raise _not_one(number, "has a division that is not a number above 0")


def _started(number: int, text: object) -> datetime | None:
    if text is None:
        return None
    try:
        started = datetime.fromisoformat(str(text))
        if started.tzinfo is not None:
            return started.astimezone(UTC)
    except (ValueError, OverflowError, RecursionError) as exc:
        raise _not_one(number, "has a start that is not a moment in UTC") from exc
    raise _not_one(number, "has a start without a time zone")


def _descriptor(number: int, hexed: object) -> bytes | None:
    if hexed is None:
        return None
    try:
        return bytes.fromhex(hexed if isinstance(hexed, str) else "?")
    except ValueError as exc:
        raise _not_one(number, "has a descriptor that is not hexadecimal") from exc


def _arrivals(rows: list[_Row], last_s: float) -> list[Arrival]:
    """Return the arrivals of some rows, the last one before them given."""
    arrivals = []
    for number, row in rows:
        t_s, text = row.get("t"), row.get("data")
        if (
            type(t_s) is float
            and last_s <= t_s < _TOO_LARGE
            and _is_plain(text)
            and "hex" not in row
        ):
            last_s = t_s
            arrivals.append(Arrival(t_s, text.encode()))
            continue
        if not _is_number(t_s):
            raise _not_one(number, "has no time 't' in seconds")
        if t_s < last_s:
            raise _not_one(number, "goes back in time")
        last_s = float(t_s)
        arrivals.append(Arrival(last_s, _data(number, row)))
    return arrivals


def _is_plain(text: object) -> TypeGuard[str]:
    """Return whether a value is the text of nearly all arrivals, which takes the short way."""
    return type(text) is str and text.isascii()


def _is_number(value: object) -> TypeGuard[int | float]:
    """Return whether a value is a number that a time or a mass can be."""
    return type(value) in (float, int) and abs(cast("float", value)) < _TOO_LARGE


def _data(number: int, row: dict[str, object]) -> bytes:
    text = row.get("data")
    hexed = row.get("hex")
    if text is not None and hexed is not None:
        raise _not_one(number, "has both 'data' and 'hex', and only one can be what was sent")
    try:
        if isinstance(text, str):
            return text.encode("latin-1")
        if isinstance(hexed, str):
            return bytes.fromhex(hexed)
    except (ValueError, RecursionError) as exc:
        raise _not_one(number, "holds characters that no scale can have sent") from exc
    raise _not_one(number, "has neither 'data' nor 'hex'")

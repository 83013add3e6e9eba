"""A journal line, and the one text form that its body may have."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from weighstation.errors import JournalError, SchemaTooNewError

if TYPE_CHECKING:
    from weighstation.journal.kinds import Kind

BODY_VERSION = 1

_LEAST, _MOST = -(2**63), 2**63 - 1

Value: TypeAlias = "int | str | Sequence[Value] | Mapping[str, Value]"
Body: TypeAlias = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class Line:
    """What is to be written, before it has a number.

    Parameters
    ----------
    kind : Kind
    body : Mapping
        Integers and text only, in dicts and lists; see `body_text`.
    t_utc_ms : int, milliseconds since 1970
        When it happened.
    """

    kind: Kind
    body: Body
    t_utc_ms: int


@dataclass(frozen=True, slots=True)
class Entry:
    """A line as it stands on the record: never updated, never deleted.

    Parameters
    ----------
    station : str
    seq : int
        From 1, without gaps.
    t_utc_ms : int, milliseconds since 1970
    kind : Kind
    body : str
        The stored text; the digest is over these very bytes.
    digest : str
        64 hexadecimal digits.
    """

    station: str
    seq: int
    t_utc_ms: int
    kind: Kind
    body: str
    digest: str


@dataclass(frozen=True, slots=True)
class Head:
    """The last line so far; number 0 and the journal's id where there is none.

    Parameters
    ----------
    seq : int
    digest : str
    """

    seq: int
    digest: str


def body_text(body: Body) -> str:
    """Return the canonical text of a body: sorted keys, no spaces, with its version ``v``.

    Parameters
    ----------
    body : Mapping
        Leaves are integers of 64 bits and text; keys are text.

    Returns
    -------
    str

    Raises
    ------
    JournalError
        If there is anything else in it, such as a float or a null.

    Examples
    --------
    >>> body_text({"run": "r1", "final_mg": 741_000})
    '{"final_mg":741000,"run":"r1","v":1}'
    """
    _refuse_foreign(body, "body")
    text = _ENCODER.encode({"v": BODY_VERSION, **body})
    try:
        text.encode()
    except UnicodeEncodeError as exc:
        raise JournalError("A journal line can hold only text that is valid Unicode.") from exc
    return text


def _refuse_foreign(value: object, where: str) -> None:
    if isinstance(value, Mapping):
        for key, part in value.items():
            if not isinstance(key, str):
                raise JournalError(f"A journal line names its parts by text; {where} has {key!r}.")
            if not _is_plain(part):
                _refuse_foreign(part, f"{where}.{key}")
    elif isinstance(value, list | tuple):
        for place, part in enumerate(value):
            _refuse_foreign(part, f"{where}[{place}]")
    elif isinstance(value, bool) or not isinstance(value, int | str):
        name = type(value).__name__
        raise JournalError(f"A journal line holds integers and text only; {where} is a {name}.")
    elif isinstance(value, int) and not _LEAST <= value <= _MOST:
        raise JournalError(f"A journal line holds integers of 64 bits; {where} is larger.")


def _is_plain(value: object) -> bool:
    """Return whether a part is one of the many that need no second look."""
    kind = type(value)
    return kind is str or (kind is int and _LEAST <= value <= _MOST)  # type: ignore[operator]


def read_body(text: str) -> dict[str, Value]:
    """Return what a body's text holds.

    Parameters
    ----------
    text : str

    Returns
    -------
    dict

    Raises
    ------
    JournalError
        If it is no body.
    SchemaTooNewError
        If its version is not known here.
    """
    try:
        body = _DECODER.decode(text)
    except ValueError as exc:
        raise JournalError("A journal line holds a body that cannot be read.") from exc
    if not isinstance(body, dict) or not isinstance(body.get("v"), int):
        raise JournalError("A journal line holds a body without a version.")
    if body["v"] > BODY_VERSION:
        raise SchemaTooNewError(
            "The journal holds lines of a newer weighstation.",
            hint="Install the newest weighstation and try again.",
        )
    return body


def _no_float(text: str) -> int:
    raise ValueError(f"{text} is no integer")


# Made once: at a bench that is busy, and in a journal of years, each line asks for both.
_ENCODER = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))
_DECODER = json.JSONDecoder(parse_float=_no_float, parse_constant=_no_float)

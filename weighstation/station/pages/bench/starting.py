"""The form on the bench page -> the batch that a person wants to divide next."""

from __future__ import annotations

import json
import re
from typing import Any, NamedTuple

from weighstation.errors import SpecificationError
from weighstation.station.pages.bench.asking import number_in

_MOST_TEXT = 200
_ODD = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
"""What steers a terminal, begins a line, turns the writing round, or is no letter at all."""


class Start(NamedTuple):
    """What is to be divided next.

    Parameters
    ----------
    product : str
    pieces : int or None
        Wanted in this batch.
    dough : str
        On the bench, in grams as typed; may be empty.
    person : str
        Initials as typed; may be empty.
    resume : bool
        Go on with the batch of this product that was interrupted.
    batch : int
        Number of the batch that was shown when it was asked; 0 where none was.
    """

    product: str
    pieces: int | None = None
    dough: str = ""
    person: str = ""
    resume: bool = False
    batch: int = 0


def start_from(body: bytes) -> Start:
    """Return what a page asks to be begun.

    Parameters
    ----------
    body : bytes
        JSON with the fields of `Start`.

    Returns
    -------
    Start

    Raises
    ------
    SpecificationError
        If it is anything else.
    """
    try:
        said = json.loads(body)
    except (ValueError, RecursionError):
        raise _not_said() from None
    if not isinstance(said, dict) or type(said.get("resume", False)) is not bool:
        raise _not_said()
    batch = said.get("batch")
    return Start(
        product=_text(said, "product") or _must_name(),
        pieces=None if said.get("pieces") is None else number_in(said, "pieces"),
        dough=_text(said, "dough"),
        person=_text(said, "person"),
        resume=said.get("resume", False),
        batch=0 if batch == 0 and type(batch) is int else number_in(said, "batch"),
    )


def _text(said: dict[str, Any], key: str) -> str:
    """Return a text of a form; what it says may come back on a terminal and on every page."""
    text = said.get(key, "")
    if not isinstance(text, str) or len(text) > _MOST_TEXT or _ODD.search(text):
        raise _not_said()
    return text.strip()


def _must_name() -> str:
    raise SpecificationError("No product is named.", hint="Touch one.")


def _not_said() -> SpecificationError:
    return SpecificationError("The station cannot tell what to begin.", hint="Load the page again.")

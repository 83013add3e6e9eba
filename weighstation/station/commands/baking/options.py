"""Options of ``bake`` as typed -> what was meant by them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantity import Circumstances
from weighstation.station.commands.terminal.here import last_shown

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import datetime

LONGEST_MIN = 720
"""Loaves that left the oven longer ago say nothing of it any more; half a day, house figure."""
ALL = "all"
MOST_TOLD = 5
"""Of the faults of a list."""
S_PER_MIN = 60
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])")
_MINUTES = re.compile(r"[0-9]+(?:[.,][0-9]*)?")
_SPAN = re.compile(r"([0-9]{1,6})(?:-([0-9]{1,6}))?")
_SAID = {
    "random-sample": "random_sample",
    "verified-scale": "verified_scale",
    "tare-known": "tare_known",
    "right-moment": "right_moment",
}


def out_of_oven_from(text: str | None, now: datetime) -> float | None:
    """Return how long loaves have been out of the oven.

    Parameters
    ----------
    text : str or None
        A clock time of the last hours, as ``05:40``, or minutes, as ``20``.
    now : datetime
        On the clock that the time is of.

    Returns
    -------
    float, minutes, or None
        None where nothing was said.

    Raises
    ------
    SpecificationError
        If it is neither, or too long ago.

    Examples
    --------
    >>> from datetime import datetime
    >>> [out_of_oven_from(t, datetime(2026, 3, 2, 0, 10)) for t in ("23:50", "0:05", "12,5")]
    [20.0, 5.0, 12.5]
    """
    if text is None:
        return None
    typed = text.strip()
    clock = _CLOCK.fullmatch(typed)
    if clock is not None:
        hour, minute = int(clock[1]), int(clock[2])
        shown = last_shown(hour, minute, now)
        ago_min = (now.timestamp() - shown.timestamp()) / S_PER_MIN
    elif _MINUTES.fullmatch(typed):
        ago_min = float(typed.replace(",", "."))
    else:
        raise SpecificationError(
            f"--out-of-oven '{typed}' is neither a time nor minutes.",
            hint="Give the time on the clock, as 05:40, or how many minutes ago, as 20.",
        )
    if ago_min > LONGEST_MIN:
        raise SpecificationError(
            f"--out-of-oven {typed} is {ago_min / 60:.0f} hours ago.",
            hint="Give a time of the last 12 hours, or leave it out.",
        )
    return ago_min


def marks_from(
    text: str | None, pieces: Sequence[int], taken: Mapping[int, int]
) -> tuple[int, ...]:
    """Return which pieces the loaves are, in the order they are weighed.

    Parameters
    ----------
    text : str or None
        ``all``, or numbers and spans, as ``3,7,12-20``.
    pieces : sequence of int
        Those of the batch that count, by number.
    taken : mapping of int to int
        Pieces that are marked already, and the loaf of each.

    Returns
    -------
    tuple of int
        Empty where none is marked.

    Raises
    ------
    SpecificationError
        If it is no such list, or a piece is none of the batch, marked already, or named twice; all
        faults at once.

    Examples
    --------
    >>> marks_from("3,7-9", range(1, 13), {}), marks_from("all", [1, 2, 5], {2: 1})
    ((3, 7, 8, 9), (1, 5))
    """
    if text is None:
        return ()
    if text.strip().casefold() == ALL:
        return tuple(piece for piece in pieces if piece not in taken)
    named = tuple(_named(text))
    faults = list(dict.fromkeys(_faults(named, pieces, taken)))
    if faults:
        more = len(faults) - MOST_TOLD
        told = [*faults[:MOST_TOLD], *([f"and {more} more"] if more > 0 else [])]
        raise SpecificationError(
            f"--mark {text.strip()}: {'; '.join(told)}.", hint=_hint(pieces), faults=tuple(faults)
        )
    return named


def _named(text: str) -> Iterator[int]:
    for part in text.split(","):
        span = _SPAN.fullmatch(part.strip())
        first, last = (int(span[1]), int(span[2] or span[1])) if span else (1, 0)
        if last < first:
            raise SpecificationError(
                f"--mark '{text.strip()}' is no list of pieces.",
                hint="Write numbers and spans, as 3,7,12-20, or all.",
            )
        yield from range(first, last + 1)


def _faults(named: Sequence[int], pieces: Sequence[int], taken: Mapping[int, int]) -> Iterator[str]:
    counting = set(pieces)
    for place, piece in enumerate(named):
        if piece not in counting:
            yield f"there is no piece {piece} that counts in this batch"
        elif piece in taken:
            yield f"piece {piece} is marked already, it was loaf {taken[piece]}"
        elif piece in named[:place]:
            yield f"piece {piece} is named twice"


def _hint(pieces: Sequence[int]) -> str:
    from weighstation.report.page.tables import spans  # noqa: PLC0415 - only where it goes wrong

    return f"The pieces that count are {spans(pieces)}."


def said_from(names: Sequence[str]) -> Circumstances:
    """Return what a person says is so of the lot.

    Parameters
    ----------
    names : sequence of str

    Returns
    -------
    Circumstances

    Raises
    ------
    SpecificationError
        If a name is none.
    """
    unknown = [name for name in names if name not in _SAID]
    if unknown:
        raise SpecificationError(
            f"--said {unknown[0]} says nothing that is known.",
            hint=f"Say {', '.join(_SAID)}, once for each that is so.",
        )
    return Circumstances(**{_SAID[name]: True for name in names})

"""Pieces weighed elsewhere, or before: entered from a file, each with the time it happened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal.entry import read_body
from weighstation.journal.held import integer
from weighstation.journal.piece_lines import piece_part

if TYPE_CHECKING:
    from weighstation.journal.entry import Body, Entry
    from weighstation.journal.facts import PieceFacts

_IMPORTED = "imported://"


def imported(run: str, piece: PieceFacts, *, at_utc_ms: int, offset_min: int) -> Body:
    """Return the body for a piece that was entered from a file; it counts as a kept one does.

    Parameters
    ----------
    run : str
    piece : PieceFacts
    at_utc_ms : int, milliseconds since 1970
        When it was weighed, as the file says; the line itself tells when it was entered.
    offset_min : int, minutes
        Of the clock that the file was written by, east of UTC.

    Returns
    -------
    Mapping
    """
    return {"run": run, **piece_part(piece), "at_utc_ms": at_utc_ms, "offset_min": offset_min}


def happened_utc_ms(entry: Entry) -> int:
    """Return when what a line tells of happened: the line's own time, unless it was entered late.

    Parameters
    ----------
    entry : Entry

    Returns
    -------
    int, milliseconds since 1970

    Raises
    ------
    JournalError
        If the body cannot be read.
    """
    body = read_body(entry.body)
    return integer(body, "at_utc_ms") if "at_utc_ms" in body else entry.t_utc_ms


def scale_of_file(name: str) -> str:
    """Return what stands for the scale of a run that was entered from a file.

    Parameters
    ----------
    name : str
        Of the file, without its folder.

    Returns
    -------
    str

    Examples
    --------
    >>> scale_of_file("week 45.csv"), file_of_scale("imported://week%2045.csv")
    ('imported://week%2045.csv', 'week 45.csv')
    """
    from urllib.parse import quote  # noqa: PLC0415 - only where a file is entered

    return _IMPORTED + quote(name, safe="")


def file_of_scale(scale: str) -> str | None:
    """Return the name of the file that a run was entered from; None of a run that was weighed.

    Parameters
    ----------
    scale : str
        As the run has it.

    Returns
    -------
    str or None
    """
    if not scale.startswith(_IMPORTED):
        return None
    from urllib.parse import unquote  # noqa: PLC0415 - only where one was

    return unquote(scale.removeprefix(_IMPORTED))

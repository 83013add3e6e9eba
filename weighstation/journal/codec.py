"""Facts -> bodies of lines, and back; each body is complete, so that no line needs another.

What is about a run or a piece stands in a module of its own, and is found here by its name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal.held import integer, word
from weighstation.journal.piece_lines import (
    Change,
    change,
    lifted_turned,
    piece_kept,
    piece_lifted,
    read_piece,
    struck_out,
    voided,
)
from weighstation.journal.run_lines import read_run_started, run_ended, run_started

if TYPE_CHECKING:
    from weighstation.journal.entry import Body

__all__ = [
    "Change",
    "change",
    "gap",
    "integer",
    "lifted_turned",
    "noted",
    "piece_kept",
    "piece_lifted",
    "read_piece",
    "read_run_started",
    "run_ended",
    "run_started",
    "signal",
    "struck_out",
    "voided",
    "word",
]


def noted(about: int, text: str) -> Body:
    """Return the body for a note about an earlier line.

    Parameters
    ----------
    about : int
        Number of that line.
    text : str

    Returns
    -------
    Mapping
    """
    return {"about": about, "text": text}


def gap(run: str, why: str, ms: int) -> Body:
    """Return the body for a time in which nothing could be weighed.

    Parameters
    ----------
    run : str
    why : str
    ms : int, milliseconds

    Returns
    -------
    Mapping
    """
    return {"run": run, "why": why, "ms": ms}


def signal(run: str, *, pieces: tuple[int, int], error_mg: int, text: str, reaction: str) -> Body:
    """Return the body for first cuts that have moved by more than chance.

    Parameters
    ----------
    run : str
    pieces : (2,) tuple of int
        The first and the last that it rests on.
    error_mg : int, milligrams
        How far off the scaling weight they were first cut, on average.
    text, reaction : str
        What was seen and what to do, one plain sentence each.

    Returns
    -------
    Mapping
    """
    first, last = pieces
    return {
        "run": run,
        "first": first,
        "last": last,
        "error_mg": error_mg,
        "text": text,
        "reaction": reaction,
    }

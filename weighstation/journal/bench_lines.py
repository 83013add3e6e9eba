"""What a bench says of its dough and of its empty pan -> bodies of lines, and back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.journal.codec import integer

if TYPE_CHECKING:
    from weighstation.journal.entry import Body


@dataclass(frozen=True, slots=True)
class DoughWeighed:
    """All the dough that was not divided yet, weighed back on the scale of the bench.

    Parameters
    ----------
    left_mg : int, milligrams
    lumps : int
        Loads that it was weighed in.
    after : int
        Number of the last piece that had a number; 0 before the first.
    """

    left_mg: int
    lumps: int
    after: int


@dataclass(frozen=True, slots=True)
class PanShifted:
    """The empty pan came to show something else, all at once.

    Parameters
    ----------
    from_mg, to_mg : int, milligrams
        What it showed before and shows now.
    after : int
        Number of the last piece that had a number; 0 before the first.
    """

    from_mg: int
    to_mg: int
    after: int


def dough_weighed(run: str, said: DoughWeighed) -> Body:
    """Return the body for dough that was weighed back.

    Parameters
    ----------
    run : str
    said : DoughWeighed

    Returns
    -------
    Mapping
    """
    return {"run": run, "left_mg": said.left_mg, "lumps": said.lumps, "after": said.after}


def read_dough_weighed(body: Body) -> DoughWeighed:
    """Return the dough that was weighed back.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    DoughWeighed

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    return DoughWeighed(*(integer(body, key) for key in ("left_mg", "lumps", "after")))


def pan_shifted(run: str, said: PanShifted) -> Body:
    """Return the body for an empty pan that came to show something else.

    Parameters
    ----------
    run : str
    said : PanShifted

    Returns
    -------
    Mapping
    """
    return {"run": run, "from_mg": said.from_mg, "to_mg": said.to_mg, "after": said.after}


def read_pan_shifted(body: Body) -> PanShifted:
    """Return what an empty pan came to show.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    PanShifted

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    return PanShifted(*(integer(body, key) for key in ("from_mg", "to_mg", "after")))

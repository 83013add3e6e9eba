"""What was found and done about a signal, a failed check, a piece struck out, or a gap."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.journal.codec import integer, noted, word
from weighstation.journal.entry import read_body
from weighstation.journal.kinds import Kind
from weighstation.journal.scale_checks import FIT

if TYPE_CHECKING:
    from weighstation.journal.entry import Body, Entry

_ASKS = (Kind.SIGNAL, Kind.VOIDED, Kind.GAP)


@dataclass(frozen=True, slots=True)
class Reaction:
    """A person's word on what happened and what was done about it.

    Parameters
    ----------
    about : int
        Number of the line that it is about.
    reason : str
        What was found.
    action : str
        What was done; empty of a plain note.
    person : str
        Initials of who says so; empty of a plain note.
    """

    about: int
    reason: str
    action: str = ""
    person: str = ""


def reacted(said: Reaction) -> Body:
    """Return the body of the line for that.

    Parameters
    ----------
    said : Reaction
        With an action and a person.

    Returns
    -------
    Mapping
    """
    return {**noted(said.about, said.reason), "action": said.action, "person": said.person}


def read_reaction(body: Body) -> Reaction | None:
    """Return what the body of a note says of an earlier line.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    Reaction or None
        None of a note that settles a failed check, which is more than a reaction.

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    if "settled_by" in body:
        return None
    about, reason = integer(body, "about"), word(body, "text")
    if "action" not in body:
        return Reaction(about, reason)
    return Reaction(about, reason, word(body, "action"), word(body, "person"))


def asks_for_reaction(entry: Entry) -> bool:
    """Return whether a line tells of something that a person should look into.

    Parameters
    ----------
    entry : Entry

    Returns
    -------
    bool
        Of a signal, a failed check, a piece or a loaf struck out, and a gap.

    Raises
    ------
    JournalError
        If the body cannot be read.
    """
    if entry.kind is Kind.SCALE_CHECKED:
        return word(read_body(entry.body), "verdict") != FIT
    if entry.kind is Kind.BAKED:
        return "reason" in read_body(entry.body)
    return entry.kind in _ASKS

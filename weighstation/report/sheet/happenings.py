"""What happened in a batch that a person should look into, and what was done about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.report.page.tables import SheetRow, SheetTable

if TYPE_CHECKING:
    from weighstation.journal import Reaction

NOTHING = "nothing is noted about it"


@dataclass(frozen=True, slots=True)
class NotedReaction:
    """A reaction and the line that it stands on.

    Parameters
    ----------
    line : int
    said : Reaction
    """

    line: int
    said: Reaction

    @property
    def text(self) -> str:
        """In a sentence or two, with its line."""
        said = self.said
        if not said.action:
            return f"Line {self.line} notes: {said.reason}."
        return f"Reason: {said.reason}. Done: {said.action} ({said.person}, line {self.line})."


@dataclass(frozen=True, slots=True)
class Happening:
    """A signal, a piece struck out, a gap or a failed check.

    Parameters
    ----------
    line : int
        Number of its line.
    name : str
        What it is, in a word or two.
    text : str
        What was seen, in a sentence.
    reactions : tuple of NotedReaction
        In the order of their lines.
    """

    line: int
    name: str
    text: str
    reactions: tuple[NotedReaction, ...] = ()

    @property
    def reaction_text(self) -> str:
        """What was noted about it."""
        return " ".join(each.text for each in self.reactions) or f"{NOTHING}.".capitalize()


def happenings_table(happenings: tuple[Happening, ...]) -> SheetTable | None:
    """Return what happened and what was done about it; None where nothing did.

    Parameters
    ----------
    happenings : tuple of Happening

    Returns
    -------
    SheetTable or None
    """
    rows = tuple(
        SheetRow(each.name, f"line {each.line}", f"{each.text} {each.reaction_text}")
        for each in happenings
    )
    return SheetTable("What happened, and what was done", rows) if rows else None


def happening_records(happenings: tuple[Happening, ...]) -> list[dict[str, object]]:
    """Return the same as plain keys and values.

    Parameters
    ----------
    happenings : tuple of Happening

    Returns
    -------
    list of dict
    """
    return [
        {
            "line": each.line,
            "what": each.name.lower(),
            "text": each.text,
            "reactions": [
                {
                    "line": noted.line,
                    "reason": noted.said.reason,
                    "action": noted.said.action or None,
                    "person": noted.said.person or None,
                }
                for noted in each.reactions
            ],
        }
        for each in happenings
    ]

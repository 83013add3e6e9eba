"""``journal note``: something about an earlier line, or what was found and done about it."""

from __future__ import annotations

import sys
import time
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import Kind, Line, Reaction, asks_for_reaction, codec, reacted
from weighstation.station.commands.batches.chains import seen_broken
from weighstation.station.commands.journals.desk import IS_WRITTEN, warned
from weighstation.station.commands.journals.opening import lines_text, writing
from weighstation.station.commands.terminal.days import initials_from
from weighstation.station.commands.terminal.options import refuse_no_text

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.journal import Body, Entry
    from weighstation.station.stores import SqliteStore


def note_from(
    line: int, text: str | None, *, reason: str | None, action: str | None, person: str | None
) -> str | Reaction:
    """Return what is to be noted about a line.

    Parameters
    ----------
    line : int
    text : str or None
        A plain note.
    reason, action, person : str or None
        What was found and done, and by whom; all three in its place.

    Returns
    -------
    str or Reaction

    Raises
    ------
    SpecificationError
        If both are given, or neither is whole, or the initials are none.
    """
    given = {"--reason": reason, "--action": action, "--person": person}
    lacking = [option for option, said in given.items() if said is None]
    if text is not None:
        if len(lacking) < len(given):
            raise SpecificationError(
                "A note is TEXT, or --reason, --action and --person, not both.",
                hint="Leave TEXT out, or the options.",
            )
        return text
    if len(lacking) == len(given):
        raise SpecificationError(
            "There is nothing to note.", hint="Give TEXT, or --reason, --action and --person."
        )
    if reason is None or action is None or person is None:
        raise SpecificationError(
            f"A note of what was done needs {' and '.join(lacking)} too.",
            hint='As in --reason "new flour" --action "cut smaller" --person AB.',
        )
    return Reaction(line, reason, action, initials_from(person, "--person"))


def note(home: Path | None, about: int, text: str) -> int:
    """Note something about an earlier line by a new one.

    Parameters
    ----------
    home : Path or None
    about : int
        Number of that line.
    text : str

    Returns
    -------
    int
        Exit code: 1 where the note is written, and that line or the last one does not hold.

    Raises
    ------
    SpecificationError
        If there is no such line, or the note is empty or no text.
    JournalError
        If the journal cannot be written.
    """
    refuse_no_text(text, "The note")
    if not text.strip():
        raise SpecificationError("The note is empty.", hint="Write what there is to say.")
    with closing(writing(home)) as store:
        _line(store, about)
        return _noted(store, about, codec.noted(about, text.strip()))


def react(home: Path | None, said: Reaction) -> int:
    """Note what was found and done about a line that asks for it.

    Parameters
    ----------
    home : Path or None
    said : Reaction
        With an action and a person.

    Returns
    -------
    int
        Exit code, as of `note`.

    Raises
    ------
    SpecificationError
        If there is no such line, it asks for no reaction, or something is empty or no text.
    JournalError
        If the journal cannot be written.
    """
    for text, option in ((said.reason, "--reason"), (said.action, "--action")):
        refuse_no_text(text, option)
        if not text.strip():
            raise SpecificationError(f"{option} is empty.", hint="Write what there is to say.")
    said = replace(said, reason=said.reason.strip(), action=said.action.strip())
    with closing(writing(home)) as store:
        entry = _line(store, said.about)
        if not asks_for_reaction(entry):
            raise SpecificationError(
                f"Line {said.about} is no signal, failed check, gap or piece struck out.",
                hint=f"'weighstation journal note {said.about} TEXT' notes anything about it.",
            )
        return _noted(store, said.about, reacted(said))


def _line(store: SqliteStore, number: int) -> Entry:
    entry = next(store.entries(number), None) if number >= 1 else None
    if entry is None:
        raise SpecificationError(
            f"There is no line {number}.",
            hint=f"The journal has {lines_text(store.head().seq)}.",
        )
    return entry


def _noted(store: SqliteStore, about: int, body: Body) -> int:
    fault = seen_broken(store, [about, store.head().seq], hint=IS_WRITTEN)
    entry = store.append(Line(Kind.NOTED, body, time.time_ns() // 1_000_000))
    sys.stdout.write(f"Line {entry.seq} notes that about line {about}.\n")
    return warned(fault)

"""What a journal file says of its own form, and how a step and the totals are written to it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.errors import ChainBrokenError, JournalError, JournalFullError
from weighstation.journal import Head, Sums
from weighstation.station.stores import rows
from weighstation.station.stores.proving import (
    refuse_added_lines,
    refuse_changed_parts,
    refuse_missing_lines,
)
from weighstation.station.stores.schema import (
    DROP_PROJECTIONS,
    PROJECTIONS,
    SCHEMA_SQL,
    SINCE_MADE_AT,
    statements,
)

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from weighstation.journal import Entry, TallyKey
    from weighstation.journal.projection import TallyChange
    from weighstation.station.stores.remake import Remade, Totals


FileId = tuple[int, int]


def file_at(path: Path) -> FileId:
    """Return what a file is known by, whatever it is called.

    Parameters
    ----------
    path : Path

    Returns
    -------
    tuple of int
        Its device and its number there.
    """
    found = path.stat()
    return found.st_dev, found.st_ino


def refuse_moved(path: Path, file: FileId) -> None:
    """Refuse to write to a file that nobody finds any more: the system keeps it until it is closed.

    Parameters
    ----------
    path : Path
        Where it was opened.
    file : tuple of int
        What it was then.

    Raises
    ------
    JournalFullError
        If nothing lies there, or another file.
    """
    try:
        is_there = file_at(path) == file
    except FileNotFoundError:
        is_there = False
    if not is_there:
        raise JournalFullError(
            f"The journal {path} was taken away or replaced while this station was writing it.",
            hint="Put the very file back, or end the batch: pieces do not count meanwhile.",
        )


def version_of(connection: sqlite3.Connection) -> int:
    """Return the version of a file's form.

    Parameters
    ----------
    connection : sqlite3.Connection

    Returns
    -------
    int
    """
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def made_at(connection: sqlite3.Connection) -> Head | None:
    """Return the line that the totals were made at; None where the file does not say.

    Parameters
    ----------
    connection : sqlite3.Connection

    Returns
    -------
    Head or None
    """
    there = "SELECT 1 FROM sqlite_schema WHERE name = 'totals_made_at'"
    if connection.execute(there).fetchone() is None:
        return None
    row = connection.execute("SELECT seq, digest FROM totals_made_at").fetchone()
    return Head(*row) if row else None


def refuse_lost_lines(connection: sqlite3.Connection, head: Head) -> None:
    """Refuse a file that lacks lines which its totals were made at.

    Parameters
    ----------
    connection : sqlite3.Connection
    head : Head
        Its last line.

    Raises
    ------
    ChainBrokenError
        If lines are missing at the end.
    """
    made = made_at(connection)
    if made is not None:
        sql = "SELECT digest FROM entry WHERE seq = ?"
        row = connection.execute(sql, (made.seq,)).fetchone()
        refuse_missing_lines(made, head, row[0] if row else "")


def refuse_to_go_on(connection: sqlite3.Connection, head: Head) -> None:
    """Refuse to write where the next line would hide that others are gone.

    Parameters
    ----------
    connection : sqlite3.Connection
    head : Head
        Its last line.

    Raises
    ------
    JournalError
        If lines are missing at the end.
    """
    try:
        refuse_lost_lines(connection, head)
    except ChainBrokenError as exc:
        raise JournalError(str(exc), hint=exc.hint) from exc


def refuse_spoilt(connection: sqlite3.Connection, head: Head) -> None:
    """Refuse a file that lacks or has lines past its totals, or whose parts are not ours.

    Parameters
    ----------
    connection : sqlite3.Connection
    head : Head
        Its last line.

    Raises
    ------
    ChainBrokenError
        Naming the line.
    """
    refuse_lost_lines(connection, head)
    version = version_of(connection)
    found = {str(name): str(sql) for name, sql in connection.execute(SCHEMA_SQL)}
    refuse_changed_parts(found, version)
    if version >= SINCE_MADE_AT:
        refuse_added_lines(made_at(connection), head)


def tally_before_3(
    counted: Iterable[tuple[TallyKey, Sums]], found: Mapping[TallyKey, Sums]
) -> Mapping[TallyKey, Sums]:
    """Return the cells of an older file, which counted and did not add up.

    Parameters
    ----------
    counted : iterable of (TallyKey, Sums)
        Of one run; of its sums only n is there.
    found : Mapping of TallyKey to Sums
        From the pieces of the run.

    Returns
    -------
    Mapping of TallyKey to Sums
        What the file counted, with the sums that were found.
    """
    return {key: replace(found.get(key, Sums()), n=sums.n) for key, sums in counted}


def write_entry(connection: sqlite3.Connection, entry: Entry) -> None:
    """Write a line; call it in a transaction, and `write_totals` before it ends.

    Parameters
    ----------
    connection : sqlite3.Connection
    entry : Entry
    """
    connection.execute("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?)", rows.write_entry(entry))


def write_totals(connection: sqlite3.Connection, changed: Remade, head: Head) -> None:
    """Write what the lines of a transaction did to the totals; call it in the same one.

    Parameters
    ----------
    connection : sqlite3.Connection
    changed : Remade
        The runs as they stand now, and what is added to the cells of their tallies.
    head : Head
        The last of the lines.
    """
    connection.execute(rows.WRITE_MADE_AT, (head.seq, head.digest))
    for run, state in changed.states.items():
        connection.execute(rows.WRITE_RUN, rows.write_run(state))
        _write_tally(connection, run, tuple(changed.tallies[run].items()))


def write_totals_anew(connection: sqlite3.Connection, totals: Iterable[Totals], head: Head) -> None:
    """Drop the totals and write others; call it in a transaction.

    Parameters
    ----------
    connection : sqlite3.Connection
    totals : iterable of Totals
    head : Head
        The line that they were made at; number 0 where there is none.
    """
    for statement in statements(DROP_PROJECTIONS + PROJECTIONS):
        connection.execute(statement)
    for state, tally in totals:
        connection.execute(rows.WRITE_RUN, rows.write_run(state))
        _write_tally(connection, state.run, tuple(tally.items()))
    if head.seq:
        connection.execute(rows.WRITE_MADE_AT, (head.seq, head.digest))


def _write_tally(
    connection: sqlite3.Connection, run: str, changes: tuple[TallyChange, ...]
) -> None:
    for key, sums in changes:
        connection.execute(rows.ADD_TO_TALLY, rows.write_cell(run, key, sums))
    if any(sums.n <= 0 for _, sums in changes):
        connection.execute("DELETE FROM tally WHERE run = ? AND n = 0", (run,))

"""A path -> an open journal, for the one station that writes it or for any reader."""

from __future__ import annotations

import os
import sqlite3
from typing import TYPE_CHECKING

from weighstation.errors import (
    ChainBrokenError,
    JournalError,
    SchemaTooNewError,
    SpecificationError,
)
from weighstation.station.stores.bring_up import bring_up
from weighstation.station.stores.lock import WriterLock
from weighstation.station.stores.moments import transaction
from weighstation.station.stores.remake import KEEP
from weighstation.station.stores.schema import (
    APPLICATION_ID,
    LINES,
    PROJECTIONS,
    SCHEMA_VERSION,
    statements,
)
from weighstation.station.stores.sqlite import SqliteStore
from weighstation.station.stores.translate import translated

if TYPE_CHECKING:
    from pathlib import Path

_BUSY_S = 5.0
_ONE_WRITER = (
    "PRAGMA synchronous = FULL",  # with WAL: each commit is synced before it is acknowledged
    "PRAGMA fullfsync = ON",  # where a plain sync stops short of the disk; elsewhere nothing
)


def is_empty_file(path: Path) -> bool:
    """Tell whether a journal is a file without a single byte, such as a copy that failed leaves.

    Parameters
    ----------
    path : Path

    Returns
    -------
    bool
    """
    return path.is_file() and not path.stat().st_size


def open_for_writing(path: Path, *, journal_id: str, station: str) -> SqliteStore:
    """Open the journal that this station alone writes; make it if there is none.

    The store may be handed to one other thread, which owns it from then on.

    Parameters
    ----------
    path : Path
        Its folder is made where it is missing.
    journal_id : str
        For a new journal: at random at a bench, derived from the recording in a replay.
    station : str
        For a new journal: the name on every line.

    Returns
    -------
    SqliteStore

    Raises
    ------
    JournalFullError
        If the folder or file cannot be written.
    SchemaTooNewError
        If a newer weighstation wrote it.
    JournalError
        If another station writes it, or it is damaged or no journal.
    """
    if "\n" in station + journal_id:
        raise JournalError("The name of a station is one line.")
    with translated(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        lock = WriterLock(path)
        connection = None
        try:
            connection = _connect(path.absolute().as_uri() + "?mode=rwc")
            _prepare(connection, path, journal_id, station)
            return SqliteStore(path, connection, lock)
        except BaseException:
            if connection is not None:
                connection.close()
            lock.release()
            raise


def _connect(uri: str) -> sqlite3.Connection:
    return sqlite3.connect(
        uri, uri=True, timeout=_BUSY_S, isolation_level=None, check_same_thread=False
    )


def _prepare(connection: sqlite3.Connection, path: Path, journal_id: str, station: str) -> None:
    is_new = _is_empty(connection)
    if not is_new:
        _refuse_foreign(connection, path)
        try:
            _refuse_lost(connection, path)
        except ChainBrokenError as exc:
            raise JournalError(str(exc), hint=exc.hint) from exc
    mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    if mode != "wal":
        raise JournalError(
            f"The disk of {path} cannot hold a journal that is read while it is written.",
            hint="Choose a --home on a disk of this machine.",
        )
    for pragma in _ONE_WRITER:
        connection.execute(pragma).fetchall()
    if is_new:
        _create(connection, journal_id, station)
        return
    version = _number(connection, "PRAGMA user_version")
    if version < SCHEMA_VERSION:
        with transaction(connection):
            bring_up(connection, version)


def _create(connection: sqlite3.Connection, journal_id: str, station: str) -> None:
    with transaction(connection):
        for statement in statements(LINES + PROJECTIONS):
            connection.execute(statement)
        connection.execute("INSERT INTO journal VALUES (?, ?)", (journal_id, station))
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")


def _is_empty(connection: sqlite3.Connection) -> bool:
    """Tell whether the file was made and nothing more, as when the power goes in that moment."""
    return _number(connection, "SELECT count(*) FROM sqlite_schema") == 0


def _refuse_empty(connection: sqlite3.Connection, path: Path) -> None:
    if _is_empty(connection):
        raise _none_yet(path)


def _refuse_foreign(connection: sqlite3.Connection, path: Path) -> None:
    if _number(connection, "PRAGMA application_id") != APPLICATION_ID:
        raise JournalError(
            f"The file {path} is no journal of a weighstation.", hint="Choose another --home."
        )
    if _number(connection, "PRAGMA user_version") > SCHEMA_VERSION:
        raise SchemaTooNewError(
            f"The journal {path} was written by a newer weighstation.",
            hint="Install the newest weighstation and try again.",
        )


def _refuse_lost(connection: sqlite3.Connection, path: Path) -> None:
    fault = _what_is_lost(connection)
    if fault:
        raise ChainBrokenError(f"The journal {path} {fault}", seq=1, hint=KEEP)


def _what_is_lost(connection: sqlite3.Connection) -> str:
    """Return what nothing can be read without and is gone, in words, or nothing."""
    there = {row[0] for row in connection.execute("SELECT name FROM sqlite_schema")}
    for table in ("journal", "entry"):
        if table not in there:
            return f"has lost its table '{table}'."
    is_known = _number(connection, "SELECT count(*) FROM journal") == 1
    return "" if is_known else "has lost its identity, without which no line can be proved."


def _number(connection: sqlite3.Connection, sql: str) -> int:
    return int(connection.execute(sql).fetchone()[0])


def open_for_reading(path: Path) -> SqliteStore:
    """Open a journal without any right to change it; a station may be writing it meanwhile.

    Parameters
    ----------
    path : Path

    Returns
    -------
    SqliteStore

    Raises
    ------
    SpecificationError
        If there is no journal.
    SchemaTooNewError
        If a newer weighstation wrote it.
    ChainBrokenError
        If what nothing can be read without is gone.
    JournalError
        If it cannot be read, is damaged or no journal.
    """
    if not path.is_file():
        raise _none_yet(path)
    with translated(path):
        connection = _connect(path.absolute().as_uri() + _reading_mode(path))
        try:
            _refuse_empty(connection, path)
            _refuse_foreign(connection, path)
            _refuse_lost(connection, path)
            return SqliteStore(path, connection)
        except BaseException:
            connection.close()
            raise


def _none_yet(path: Path) -> SpecificationError:
    return SpecificationError(
        f"There is no journal at {path} yet.",
        hint="'weighstation divide' starts one.",
    )


def _reading_mode(path: Path) -> str:
    """Return how to open: where no log is left and none can be made, the file cannot change."""
    log = path.with_name(path.name + "-wal")
    if log.exists() or os.access(path.parent, os.W_OK):
        return "?mode=ro"
    return "?mode=ro&immutable=1"

"""SQLite's and the disk's own errors -> one plain sentence each, at the edge."""

from __future__ import annotations

import sqlite3
from contextlib import contextmanager
from typing import TYPE_CHECKING

from weighstation.errors import JournalError, JournalFullError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_REFUSED = {
    sqlite3.SQLITE_FULL: ("The disk is full", "Free some space; weighing can go on meanwhile."),
    sqlite3.SQLITE_READONLY: ("The disk or the file is read-only", "Make it writable."),
    sqlite3.SQLITE_PERM: ("The file may not be written", "Give this user the right to."),
    sqlite3.SQLITE_CANTOPEN: ("The file cannot be opened", "Look at the folder and its rights."),
    sqlite3.SQLITE_IOERR: ("The disk does not answer as it should", "Look at the disk."),
    sqlite3.SQLITE_BUSY: ("Another program holds the file", "Close that program."),
    sqlite3.SQLITE_LOCKED: ("Another program holds the file", "Close that program."),
}
_DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """Turn errors of the database and the disk into ours.

    Parameters
    ----------
    path : Path
        The journal, for the sentence.

    Raises
    ------
    JournalFullError
        If nothing can be written.
    JournalError
        If the file is damaged or no journal.
    """
    try:
        yield
    except sqlite3.Error as exc:
        raise _ours(exc, path) from exc
    except OSError as exc:
        if isinstance(exc, JournalError):
            raise
        reason = exc.strerror or "it cannot be reached"
        raise JournalFullError(
            f"The journal {path} cannot be written: {reason.lower()}.",
            hint="Look at the disk, the folder and its rights.",
        ) from exc


def _ours(exc: sqlite3.Error, path: Path) -> JournalError:
    # The low byte is the primary code: https://www.sqlite.org/rescode.html
    code = getattr(exc, "sqlite_errorcode", 0) & 0xFF
    if code in _DAMAGED:
        return JournalError(
            f"The file {path} is damaged or is no journal.",
            hint="Keep it as it is, and start with the last good copy or another --home.",
        )
    if code in _REFUSED:
        what, hint = _REFUSED[code]
        return JournalFullError(f"The journal {path} cannot be used: {what.lower()}.", hint=hint)
    return JournalError(
        f"The journal {path} cannot be used: {exc}.",
        hint="'weighstation journal verify' says what is wrong with it.",
    )

"""What is written together or not at all, and what is read as of one moment."""

from __future__ import annotations

import sqlite3
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_COMMITS_BETWEEN_CHECKPOINTS = 64


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Write all that is written within, or nothing.

    Parameters
    ----------
    connection : sqlite3.Connection
        In autocommit mode.

    Yields
    ------
    None
    """
    # IMMEDIATE, because a read that becomes a write skips the busy timeout.
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            connection.execute("ROLLBACK")
        raise


@contextmanager
def held_still(connection: sqlite3.Connection) -> Iterator[None]:
    """Read all within as of one moment; a moment within a moment is the same.

    Parameters
    ----------
    connection : sqlite3.Connection

    Yields
    ------
    None
    """
    if connection.in_transaction:
        yield
        return
    connection.execute("BEGIN")
    try:
        yield
    finally:
        connection.execute("ROLLBACK")


def checkpointed(connection: sqlite3.Connection, commits: int) -> int:
    """Move the log into the file once it has grown; a refusal is no loss.

    Parameters
    ----------
    connection : sqlite3.Connection
    commits : int
        Since it was moved last.

    Returns
    -------
    int
        Commits since it was moved last now. Where the disk refuses, the lines are safe in the
        log, and the next line is told.
    """
    if commits < _COMMITS_BETWEEN_CHECKPOINTS:
        return commits
    with suppress(sqlite3.Error):
        connection.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchall()
    return 0

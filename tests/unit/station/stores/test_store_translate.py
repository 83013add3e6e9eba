"""Errors of the database and the disk, each in one plain sentence."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from weighstation.errors import JournalError, JournalFullError, SequenceError, WeighstationError
from weighstation.station.stores.translate import translated

PATH = Path("home/journal.sqlite")


def database_error(code: int) -> sqlite3.Error:
    error = sqlite3.OperationalError("as the database says it")
    error.sqlite_errorcode = code
    return error


@pytest.mark.parametrize(
    ("error", "kind", "says"),
    [
        (database_error(sqlite3.SQLITE_FULL), JournalFullError, "disk is full"),
        (database_error(sqlite3.SQLITE_READONLY), JournalFullError, "read-only"),
        (database_error(sqlite3.SQLITE_READONLY_DBMOVED), JournalFullError, "read-only"),
        (database_error(sqlite3.SQLITE_CANTOPEN), JournalFullError, "cannot be opened"),
        (database_error(sqlite3.SQLITE_IOERR_FSYNC), JournalFullError, "does not answer"),
        (database_error(sqlite3.SQLITE_BUSY), JournalFullError, "another program"),
        (database_error(sqlite3.SQLITE_CORRUPT), JournalError, "damaged"),
        (database_error(sqlite3.SQLITE_NOTADB), JournalError, "no journal"),
        (sqlite3.OperationalError("no such table: run"), JournalError, "no such table"),
        (PermissionError(13, "Permission denied"), JournalFullError, "permission denied"),
        (OSError("odd"), JournalFullError, "cannot be reached"),
    ],
)
def test_a_foreign_error_becomes_one_sentence_of_ours(
    error: Exception, kind: type[WeighstationError], says: str
) -> None:
    with pytest.raises(kind) as caught, translated(PATH):
        raise error

    assert type(caught.value) is kind
    assert says in caught.value.sentence
    assert str(PATH) in caught.value.sentence
    assert "\n" not in caught.value.sentence
    assert caught.value.__cause__ is error
    assert caught.value.exit_code == 4


@pytest.mark.parametrize("error", [JournalFullError("full"), SequenceError("a bug of ours")])
def test_an_error_of_ours_passes_as_it_is(error: WeighstationError) -> None:
    with pytest.raises(type(error)) as caught, translated(PATH):
        raise error

    assert caught.value is error

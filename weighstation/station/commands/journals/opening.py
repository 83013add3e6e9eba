"""The journal of a home, opened for a command at the desk."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

from weighstation.station.commands.shop.home import Home
from weighstation.station.stores import open_for_reading, open_for_writing

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.stores import SqliteStore


def reading(home: Path | None) -> SqliteStore:
    """Open the journal of a home without any right to change it.

    Parameters
    ----------
    home : Path or None

    Returns
    -------
    SqliteStore

    Raises
    ------
    SpecificationError
        If there is none.
    JournalError
        If it cannot be read.
    """
    return open_for_reading(Home.find(home).journal_path)


def writing(home: Path | None) -> SqliteStore:
    """Open the journal of a home to add lines; it is never made here.

    Parameters
    ----------
    home : Path or None

    Returns
    -------
    SqliteStore

    Raises
    ------
    SpecificationError
        If there is none.
    JournalError
        If it cannot be written, or a station is writing it.
    """
    path = Home.find(home).journal_path
    reading(home).close()
    return open_for_writing(path, journal_id=secrets.token_hex(16), station="desk")


def making(home: Home) -> SqliteStore:
    """Open the journal of a home to add lines; make it where there is none.

    Parameters
    ----------
    home : Home
        Can be written to.

    Returns
    -------
    SqliteStore

    Raises
    ------
    JournalError
        If it cannot be written, or a station is writing it.
    """
    station = f"bench-{secrets.token_hex(2)}"
    return open_for_writing(home.journal_path, journal_id=secrets.token_hex(16), station=station)


def lines_text(count: int) -> str:
    """Return a number of lines in words.

    Parameters
    ----------
    count : int

    Returns
    -------
    str
    """
    return "1 line" if count == 1 else f"{count} lines"

"""An older journal file -> one of this version: lines stay, what follows from them is made anew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal import Head, tally_of
from weighstation.station.stores import rows
from weighstation.station.stores.on_file import made_at, write_totals_anew
from weighstation.station.stores.schema import (
    SCHEMA_VERSION,
    SINCE_MADE_AT,
)

if TYPE_CHECKING:
    import sqlite3

    from weighstation.station.stores.remake import Totals

_LAST_LINE = "SELECT seq, digest FROM entry ORDER BY seq DESC LIMIT 1"


def bring_up(connection: sqlite3.Connection, version: int) -> None:
    """Make the totals of an older file as this version has them; call it in a transaction.

    Parameters
    ----------
    connection : sqlite3.Connection
    version : int
        Of the file.

    Notes
    -----
    The totals of a run are taken over as they stand, so that `verify` still finds those that do
    not agree with their lines; a file that has lost them gets none, and `rebuild` makes them.
    """
    write_totals_anew(connection, _totals(connection), _made_at(connection, version))
    connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")


def _made_at(connection: sqlite3.Connection, version: int) -> Head:
    """Return the line that the totals were made at, as the file says if it does.

    One that says so although its version did not, was set back: lines may be missing at its end.
    """
    made = made_at(connection)
    if made is None and version < SINCE_MADE_AT:
        row = connection.execute(_LAST_LINE).fetchone()
        made = Head(*row) if row else None
    return made or Head(0, "")


def _totals(connection: sqlite3.Connection) -> list[Totals]:
    there = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema")}
    if not {"run", "piece"} <= there:
        return []
    states = map(rows.read_run, connection.execute(rows.RUN_BEFORE_3))
    return [
        (state, tally_of(state, map(rows.read_piece, connection.execute(_PIECES, (state.run,)))))
        for state in states
    ]


_PIECES = f"{rows.PIECE} WHERE run = ?"

"""The tables of a journal file.

``entry`` is append-only and never migrates. All that stands under `PROJECTIONS` follows from it
and may be dropped and made again.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing

SCHEMA_VERSION = 3
SINCE_MADE_AT = 2
SINCE_SUMS = 3
"""The versions from which on a file knows its last line, and adds up the cells of its tally."""
SCHEMA_SQL = (
    "SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT GLOB 'sqlite_*'"
)
APPLICATION_ID = 0x57475354  # "WGST"

LINES = """
CREATE TABLE journal (
  id TEXT NOT NULL,
  station TEXT NOT NULL
) STRICT;

CREATE TABLE entry (
  seq INTEGER PRIMARY KEY,
  station TEXT NOT NULL,
  t_utc_ms INTEGER NOT NULL,
  kind TEXT NOT NULL,
  body TEXT NOT NULL,
  digest TEXT NOT NULL
) STRICT;

CREATE TRIGGER entry_is_never_updated BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'a line is never changed'); END;

CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'a line is never deleted'); END;

-- REPLACE would delete a line without asking the trigger above.
CREATE TRIGGER entry_has_no_gaps BEFORE INSERT ON entry
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'lines are numbered without gaps'); END;

CREATE TRIGGER journal_is_never_updated BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'a journal keeps its identity'); END;

CREATE TRIGGER journal_is_never_deleted BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'a journal keeps its identity'); END;
"""

TOTALS_MADE_AT = """
CREATE TABLE totals_made_at (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  seq INTEGER NOT NULL,
  digest TEXT NOT NULL
) STRICT;
"""
"""The last line, kept beside the totals, so that a tail that was cut off is missed; from 2 on."""

_TOTALS = """
CREATE TABLE run (
  run TEXT PRIMARY KEY,
  started_seq INTEGER NOT NULL UNIQUE,
  product TEXT NOT NULL,
  target_mg INTEGER NOT NULL,
  division_mg INTEGER NOT NULL,
  began_utc_ms INTEGER NOT NULL,
  continues TEXT NOT NULL,
  kept_n INTEGER NOT NULL,
  kept_sum_d_mg INTEGER NOT NULL,
  kept_sum_d2_mg2 INTEGER NOT NULL,
  kept_sum_over_mg INTEGER NOT NULL,
  first_n INTEGER NOT NULL,
  first_sum_d_mg INTEGER NOT NULL,
  first_sum_d2_mg2 INTEGER NOT NULL,
  first_sum_over_mg INTEGER NOT NULL,
  touches INTEGER NOT NULL,
  ms INTEGER NOT NULL,
  out_of_band INTEGER NOT NULL,
  last_number INTEGER NOT NULL,
  open_lifted TEXT NOT NULL,
  counts TEXT NOT NULL,
  ended TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE tally (
  run TEXT NOT NULL,
  dough_age_h INTEGER NOT NULL,
  verdict TEXT NOT NULL,
  step INTEGER NOT NULL,
  n INTEGER NOT NULL,
  sum_d_mg INTEGER NOT NULL,
  sum_d2_mg2 INTEGER NOT NULL,
  sum_over_mg INTEGER NOT NULL,
  PRIMARY KEY (run, dough_age_h, verdict, step)
) STRICT, WITHOUT ROWID;

CREATE INDEX run_by_began ON run (began_utc_ms);

CREATE INDEX entry_by_batch ON entry (json_extract(body, '$.batch')) WHERE kind = 'baked';

CREATE INDEX entry_by_piece ON entry (
  json_extract(body, '$.run'), kind, json_extract(body, '$.number')
);

CREATE VIEW counting AS
SELECT seq, t_utc_ms, json_extract(body, '$.run') AS run,
       json_extract(body, '$.number') AS number, body AS facts
FROM entry WHERE kind = 'piece_kept'
UNION ALL
SELECT seq, json_extract(body, '$.at_utc_ms'), json_extract(body, '$.run'),
       json_extract(body, '$.number'), body
FROM entry WHERE kind = 'imported'
UNION ALL
SELECT entry.seq, entry.t_utc_ms, json_extract(entry.body, '$.run'),
       json_extract(part.value, '$.number'), part.value
FROM entry, json_each(entry.body, '$.adds') AS part WHERE entry.kind = 'lifted_turned';

CREATE VIEW striking AS
SELECT seq, json_extract(body, '$.run') AS run, json_extract(body, '$.number') AS number
FROM entry WHERE kind = 'voided'
UNION ALL
SELECT entry.seq, json_extract(entry.body, '$.run'), json_extract(part.value, '$.number')
FROM entry, json_each(entry.body, '$.removes') AS part WHERE entry.kind = 'lifted_turned';

CREATE VIEW piece AS
SELECT seq, t_utc_ms, run, number,
       json_extract(facts, '$.first_mg') AS first_mg,
       json_extract(facts, '$.final_mg') AS final_mg,
       json_extract(facts, '$.touches') AS touches,
       json_extract(facts, '$.ms') AS ms,
       json_extract(facts, '$.placed_ms') AS placed_ms,
       json_extract(facts, '$.verdict') AS verdict,
       json_extract(facts, '$.dough_age_ms') AS dough_age_ms
FROM counting WHERE NOT EXISTS (
  SELECT 1 FROM striking
  WHERE striking.run = counting.run AND striking.number = counting.number
    AND striking.seq > counting.seq
);
"""

_SINCE_3 = (
    "  began_utc_ms INTEGER NOT NULL,\n",
    (
        "  sum_d_mg INTEGER NOT NULL,\n  sum_d2_mg2 INTEGER NOT NULL,\n"
        "  sum_over_mg INTEGER NOT NULL,\n"
    ),
    """
CREATE INDEX run_by_began ON run (began_utc_ms);

CREATE INDEX entry_by_batch ON entry (json_extract(body, '$.batch')) WHERE kind = 'baked';
""",
    """SELECT seq, json_extract(body, '$.at_utc_ms'), json_extract(body, '$.run'),
       json_extract(body, '$.number'), body
FROM entry WHERE kind = 'imported'
UNION ALL
""",
)
"""What an older file has not."""

PROJECTIONS = TOTALS_MADE_AT + _TOTALS

DROP_PROJECTIONS = """
DROP TABLE IF EXISTS totals_made_at;
DROP VIEW IF EXISTS piece;
DROP VIEW IF EXISTS striking;
DROP VIEW IF EXISTS counting;
DROP INDEX IF EXISTS entry_by_piece;
DROP INDEX IF EXISTS entry_by_batch;
DROP TABLE IF EXISTS tally;
DROP TABLE IF EXISTS run;
"""


def statements(script: str) -> tuple[str, ...]:
    """Return the statements of a script, so that they can share one transaction.

    Parameters
    ----------
    script : str
        Statements that end with ``;`` and a line end, apart by an empty line or a new line.

    Returns
    -------
    tuple of str
    """
    return tuple(part for part in script.replace(";\n", ";\n\0").split("\0") if part.strip())


def _totals(version: int) -> str:
    totals = _TOTALS
    for part in _SINCE_3 if version < SINCE_SUMS else ():
        totals = totals.replace(part, "")
    return totals


def written_schema(version: int = SCHEMA_VERSION) -> dict[str, str]:
    """Return what a version writes as the schema of a journal: each name with its SQL.

    Parameters
    ----------
    version : int

    Returns
    -------
    dict of str to str
    """
    script = LINES + (TOTALS_MADE_AT if version >= SINCE_MADE_AT else "") + _totals(version)
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        for statement in statements(script):
            connection.execute(statement)
        return dict(connection.execute(SCHEMA_SQL))

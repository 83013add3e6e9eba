"""Rows of a journal file <-> values."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, TypeAlias

from weighstation.errors import ChainBrokenError
from weighstation.events import Verdict
from weighstation.journal import Entry, Kind, PieceFacts, RunState, Sums, TallyKey
from weighstation.station.stores.remake import COMPARE

if TYPE_CHECKING:
    from collections.abc import Sequence

Row: TypeAlias = "tuple[Any, ...]"

# Bytes, so that a line is judged by what is stored, even where that is no text any more.
ENTRY = (
    "SELECT CAST(station AS BLOB), seq, t_utc_ms, CAST(kind AS BLOB), CAST(body AS BLOB),"
    " CAST(digest AS BLOB) FROM entry"
)
# Lines of a kind that belongs to no run: that, and the kind, is what the index is asked for.
OLDEST_FIRST = f"{ENTRY} WHERE json_extract(body, '$.run') IS NULL AND kind = ? ORDER BY seq"
PAST_ALL = 2**63 - 1
OF_RUN = f"{ENTRY} WHERE json_extract(body, '$.run') = ? ORDER BY seq"
OF_BATCH = f"{ENTRY} WHERE json_extract(body, '$.batch') = ? AND kind = 'baked' ORDER BY seq"
# Where none has a number either, the index has them in the order of their lines: nothing is sorted.
_UNNUMBERED = (
    f"{ENTRY} WHERE json_extract(body, '$.run') IS NULL AND kind = ?"
    " AND json_extract(body, '$.number') IS NULL"
)
NOTES = f"{_UNNUMBERED} ORDER BY seq"
BEFORE_NEWEST_FIRST = f"{_UNNUMBERED} AND seq < ? ORDER BY seq DESC"
AFTER = f"{_UNNUMBERED} AND seq > ? ORDER BY seq"
PIECE = (
    "SELECT number, first_mg, final_mg, touches, ms, placed_ms, verdict, dough_age_ms FROM piece"
)
_RUN = (
    "SELECT run, started_seq, product, target_mg, division_mg, {began}, continues,"
    " kept_n, kept_sum_d_mg, kept_sum_d2_mg2, kept_sum_over_mg,"
    " first_n, first_sum_d_mg, first_sum_d2_mg2, first_sum_over_mg,"
    " touches, ms, out_of_band, last_number, open_lifted, counts, ended FROM run"
)
RUN = _RUN.format(began="began_utc_ms")
RUN_BEFORE_3 = _RUN.format(began="(SELECT t_utc_ms FROM entry WHERE seq = started_seq)")
TALLY = "SELECT dough_age_h, verdict, step, n, sum_d_mg, sum_d2_mg2, sum_over_mg FROM tally"
TALLY_BEFORE_3 = "SELECT dough_age_h, verdict, step, n FROM tally"
# What a run promised is written once, so that a piece touches no page but its totals'.
WRITE_RUN = (
    "INSERT INTO run"
    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
    " ON CONFLICT (run) DO UPDATE SET"
    " kept_n = excluded.kept_n, kept_sum_d_mg = excluded.kept_sum_d_mg,"
    " kept_sum_d2_mg2 = excluded.kept_sum_d2_mg2, kept_sum_over_mg = excluded.kept_sum_over_mg,"
    " first_n = excluded.first_n, first_sum_d_mg = excluded.first_sum_d_mg,"
    " first_sum_d2_mg2 = excluded.first_sum_d2_mg2,"
    " first_sum_over_mg = excluded.first_sum_over_mg,"
    " touches = excluded.touches, ms = excluded.ms, out_of_band = excluded.out_of_band,"
    " last_number = excluded.last_number, open_lifted = excluded.open_lifted,"
    " counts = excluded.counts, ended = excluded.ended"
)
ADD_TO_TALLY = (
    "INSERT INTO tally VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO UPDATE SET"
    " n = n + excluded.n, sum_d_mg = sum_d_mg + excluded.sum_d_mg,"
    " sum_d2_mg2 = sum_d2_mg2 + excluded.sum_d2_mg2,"
    " sum_over_mg = sum_over_mg + excluded.sum_over_mg"
)
WRITE_MADE_AT = (
    "INSERT INTO totals_made_at VALUES (1, ?, ?)"
    " ON CONFLICT (only) DO UPDATE SET seq = excluded.seq, digest = excluded.digest"
)


def read_entry(row: Row) -> Entry:
    """Return the line that a row of `ENTRY` holds.

    Parameters
    ----------
    row : tuple

    Returns
    -------
    Entry

    Raises
    ------
    ChainBrokenError
        If it can be no line of ours.
    """
    station, seq, t_utc_ms, kind, body, digest = row
    try:
        return Entry(
            station.decode(), seq, t_utc_ms, Kind(kind.decode()), body.decode(), digest.decode()
        )
    except ValueError as exc:
        raise ChainBrokenError(
            f"Line {seq} is none that a station writes.",
            seq=seq,
            hint="Keep the file as it is and restore the last good copy beside it.",
        ) from exc


def write_entry(entry: Entry) -> Row:
    """Return a line as a row of ``entry``.

    Parameters
    ----------
    entry : Entry

    Returns
    -------
    tuple
    """
    return (
        entry.seq,
        entry.station,
        entry.t_utc_ms,
        entry.kind.value,
        entry.body,
        entry.digest,
    )


def read_piece(row: Row) -> PieceFacts:
    """Return the piece that a row of `PIECE` holds.

    Parameters
    ----------
    row : tuple

    Returns
    -------
    PieceFacts

    Raises
    ------
    ChainBrokenError
        If it can be no piece of ours.
    """
    number, first_mg, final_mg, touches, ms, placed_ms, verdict, dough_age_ms = row
    return PieceFacts(
        number=number,
        first_mg=first_mg,
        final_mg=final_mg,
        touches=touches,
        ms=ms,
        placed_ms=placed_ms,
        verdict=_verdict(verdict, f"Piece {number}"),
        dough_age_ms=dough_age_ms,
    )


def _verdict(text: object, where: str) -> Verdict:
    try:
        return Verdict(text)
    except ValueError as exc:
        raise ChainBrokenError(
            f"{where} of the stored totals is none that a station writes.", seq=1, hint=COMPARE
        ) from exc


def read_run(row: Row) -> RunState:
    """Return the totals that a row of `RUN` holds.

    Parameters
    ----------
    row : tuple

    Returns
    -------
    RunState

    Raises
    ------
    ChainBrokenError
        If it can be no run of ours.
    """
    try:
        open_lifted, counts = tuple(json.loads(row[19])), dict(json.loads(row[20]))
    except (ValueError, TypeError) as exc:
        raise ChainBrokenError(
            f"The stored totals of run {row[0]} are none that a station writes.",
            seq=row[1],
            hint=COMPARE,
        ) from exc
    return RunState(
        run=row[0],
        started_seq=row[1],
        product=row[2],
        target_mg=row[3],
        division_mg=row[4],
        began_utc_ms=row[5],
        continues=row[6],
        kept=Sums(*row[7:11]),
        first=Sums(*row[11:15]),
        touches=row[15],
        ms=row[16],
        out_of_band=row[17],
        last_number=row[18],
        open_lifted=open_lifted,
        counts=counts,
        ended=row[21],
    )


def write_run(state: RunState) -> Row:
    """Return a run's totals as a row of ``run``.

    Parameters
    ----------
    state : RunState

    Returns
    -------
    tuple
    """
    return (
        state.run,
        state.started_seq,
        state.product,
        state.target_mg,
        state.division_mg,
        state.began_utc_ms,
        state.continues,
        *_sums(state.kept),
        *_sums(state.first),
        state.touches,
        state.ms,
        state.out_of_band,
        state.last_number,
        json.dumps(state.open_lifted),
        json.dumps(dict(state.counts), sort_keys=True),
        state.ended,
    )


def _sums(sums: Sums) -> Row:
    return (sums.n, sums.sum_d_mg, sums.sum_d2_mg2, sums.sum_over_mg)


def read_cell(row: Sequence[Any]) -> tuple[TallyKey, Sums]:
    """Return the cell that a row of ``tally`` (without its run) holds, and its sums.

    Parameters
    ----------
    row : sequence

    Returns
    -------
    tuple of (TallyKey, Sums)

    Raises
    ------
    ChainBrokenError
        If it can be no cell of ours.
    """
    dough_age_h, verdict, step, *sums = row
    return TallyKey(dough_age_h, _verdict(verdict, "A cell"), step), Sums(*sums)


def write_cell(run: str, key: TallyKey, sums: Sums) -> Row:
    """Return a cell of a run as a row of ``tally``.

    Parameters
    ----------
    run : str
    key : TallyKey
    sums : Sums

    Returns
    -------
    tuple
    """
    return (run, key.dough_age_h, key.verdict.value, key.step, *_sums(sums))

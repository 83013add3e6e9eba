"""The journal and what was typed -> what the clocks of a run start from."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import islice
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import Kind, read_body
from weighstation.plan.boards.board_record import MS_PER_S, OF_BOARDS, BoardRecord
from weighstation.station.bench.keeper import MOST_HELD
from weighstation.station.commands.terminal.here import last_shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.journal import Entry, RunState
    from weighstation.station.commands.batches.resume import Interrupted
    from weighstation.station.stores import Store

QUIET_H = 4
"""After so many hours in which nothing was laid on a board or moved, boards count from 1 again: a
shift is over, and what lay on them is no longer asked about. House figure."""
LOOK_BACK_H = 24
"""Runs that began earlier are not read."""
MOST_AGO_H = 20
"""A time of day that is longer ago is more likely one that is still to come: a slip."""
MOST_MIN = 7 * 24 * 60
"""No dough is kept for more minutes than this, a week in the cold."""

S_PER_H = 3600
MIN_MS = 60 * MS_PER_S
_TIME = re.compile(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])")
_MINUTES = re.compile(r"[0-9]{1,5}")


def boards_so_far(store: Store, now_ms: int) -> BoardRecord:
    """Return the boards of earlier runs that are still of interest.

    Parameters
    ----------
    store : Store
    now_ms : int, milliseconds since 1970

    Returns
    -------
    BoardRecord
        A new one where nothing has happened on boards for hours.

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    record = BoardRecord()
    for entry in _lines_of_late(store, now_ms):
        if entry.kind in OF_BOARDS:
            record = record.after(entry.kind, read_body(entry.body), entry.t_utc_ms)
    now_s, last_s = now_ms / MS_PER_S, record.last_s
    if record.boards is None or last_s is None or abs(now_s - last_s) > QUIET_H * S_PER_H:
        return BoardRecord()
    return replace(record, boards=record.boards.without_baked().newest(MOST_HELD))


def _lines_of_late(store: Store, now_ms: int) -> Iterator[Entry]:
    """Yield the lines since the oldest run of the last hours, but those entered from a file."""
    stretches: list[tuple[int, int]] = []
    until = store.head().seq + 1
    for state in store.newest_runs():
        if not state.is_imported and _is_long_ago(store, state, now_ms):
            break
        stretches.append((state.started_seq + _entered(state), until))
        until = state.started_seq
    for first, until in reversed(stretches):
        if first < until:
            yield from islice(store.entries(first), until - first)


def _is_long_ago(store: Store, state: RunState, now_ms: int) -> bool:
    began = next(iter(store.entries(state.started_seq)), None)
    return began is None or now_ms - began.t_utc_ms > LOOK_BACK_H * S_PER_H * MS_PER_S


def _entered(state: RunState) -> int:
    """Return how many lines a run was entered with; they follow each other, its end among them."""
    pieces = state.counts.get(Kind.IMPORTED.value, 0)
    return pieces + len((Kind.RUN_STARTED, Kind.RUN_ENDED)) if pieces else 0


def mixed_from(typed: str | None, now: datetime) -> int | None:
    """Return when a dough was mixed, as it was typed.

    Parameters
    ----------
    typed : str or None
        A time of day, the last one that was, or minutes ago.
    now : datetime
        With its zone.

    Returns
    -------
    int, milliseconds since 1970, or None

    Raises
    ------
    SpecificationError
        If it is neither, or more likely a slip.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> now = datetime(2026, 3, 2, 4, 40, tzinfo=UTC)
    >>> now_ms = round(now.timestamp() * 1000)
    >>> (now_ms - mixed_from("3:10", now)) / 60_000, (now_ms - mixed_from("75", now)) / 60_000
    (90.0, 75.0)
    """
    if typed is None:
        return None
    time, minutes = _TIME.fullmatch(typed.strip()), _MINUTES.fullmatch(typed.strip())
    if time is not None:
        return _ms(_last_time(int(time[1]), int(time[2]), now))
    if minutes is None:
        raise SpecificationError(
            f"--mixed '{typed}' is no time of day and no number of minutes.",
            hint="Give when mixing ended, like 3:40, or how many minutes ago, like 75.",
        )
    if int(minutes[0]) > MOST_MIN:
        raise SpecificationError(
            f"--mixed {minutes[0]} is more than a week of minutes.",
            hint="Give when mixing ended, like 3:40, or how many minutes ago, like 75.",
        )
    return _ms(now) - int(minutes[0]) * MIN_MS


def _last_time(hour: int, minute: int, now: datetime) -> datetime:
    """Return the last moment at which a clock on the wall showed a time, if that is no slip."""
    wall = last_shown(hour, minute, now)
    if now.timestamp() - wall.timestamp() > MOST_AGO_H * S_PER_H:
        raise SpecificationError(
            f"--mixed {hour}:{minute:02d} is still to come today.",
            hint="If it was yesterday, give the minutes since then.",
        )
    return wall


def _ms(moment: datetime) -> int:
    return round(moment.timestamp() * MS_PER_S)


@dataclass(frozen=True, slots=True)
class Start:
    """Where the clock of a run begins, and what was before it.

    Parameters
    ----------
    began_ms : int, milliseconds since 1970
        By the machine's clock.
    clock_ms : int, milliseconds since 1970
        Not before what happened to boards of earlier runs, even where that clock was set back.
    mixed_ms : int, milliseconds since 1970, or None
        When the dough was mixed; None where nobody said.
    boards : BoardRecord
        Of earlier runs.
    """

    began_ms: int
    clock_ms: int
    mixed_ms: int | None
    boards: BoardRecord

    def station_s(self, utc_ms: int) -> float:
        """Return a moment on the station clock.

        Parameters
        ----------
        utc_ms : int, milliseconds since 1970

        Returns
        -------
        float, seconds
            Negative before the command began.
        """
        return (utc_ms - self.began_ms) / MS_PER_S


def start_of(
    began_ms: int, boards: BoardRecord, going_on: Interrupted | None, mixed_ms: int | None
) -> Start:
    """Return where the clock of a run begins.

    Parameters
    ----------
    began_ms : int, milliseconds since 1970
        By the machine's clock.
    boards : BoardRecord
        Of earlier runs.
    going_on : Interrupted or None
        The batch that is gone on with.
    mixed_ms : int, milliseconds since 1970, or None
        When the dough was mixed, where that was said now.

    Returns
    -------
    Start

    Raises
    ------
    SpecificationError
        If the dough was cut before it was mixed.
    """
    if mixed_ms is None and going_on is not None:
        mixed_ms = going_on.promise.mixed_utc_ms
    elif mixed_ms is not None and going_on is not None and mixed_ms > going_on.first_cut_ms:
        cut = datetime.fromtimestamp(going_on.first_cut_ms / MS_PER_S).astimezone()
        raise SpecificationError(
            f"This batch was first cut at {cut:%H:%M}, and a dough is mixed before it is cut.",
            hint="Give an earlier --mixed, or begin another batch with --fresh.",
        )
    clock_ms = max(began_ms, math.ceil((boards.last_s or 0.0) * MS_PER_S))
    return Start(began_ms, clock_ms, mixed_ms, boards)

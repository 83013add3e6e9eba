"""A journal -> what was divided on a day, and how it stands now."""

from __future__ import annotations

import time
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import read_body, read_reaction
from weighstation.plan.boards.board_record import MS_PER_S
from weighstation.station.commands.baking.baked import newest_of
from weighstation.station.commands.batches.dough_clock import boards_so_far
from weighstation.station.commands.batches.sheet import batch_figures
from weighstation.station.commands.checking.standing import which_scale
from weighstation.station.commands.checking.state import check_state
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.devices.opening import key_of
from weighstation.station.devices.profiles import Profile
from weighstation.station.ports import Address
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from weighstation.journal import Entry, Reaction
    from weighstation.plan import BoardRecord
    from weighstation.report.charts.control import ControlChart
    from weighstation.report.sheet.figures import BatchFigures
    from weighstation.station.commands.checking.state import CheckState
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.stores import Store


@dataclass(frozen=True, slots=True)
class DayBatch:
    """A batch of a day.

    Parameters
    ----------
    figures : BatchFigures
    planned : int or None
        Pieces wanted; None where nobody said.
    person : str
        Initials of who divides; empty where nobody said.
    """

    figures: BatchFigures
    planned: int | None
    person: str

    @property
    def run(self) -> str:
        """Its newest run."""
        return self.figures.runs[-1].run

    @property
    def state(self) -> str:
        """Whether it is running, or how it ended."""
        return self.figures.runs[-1].ended or "running"


@dataclass(frozen=True, slots=True)
class Noted:
    """A note of a day.

    Parameters
    ----------
    line : int
        Number of its line.
    said : Reaction
    """

    line: int
    said: Reaction


@dataclass(frozen=True, slots=True)
class Day:
    """All that a day's page shows.

    Parameters
    ----------
    day : date
    now_ms : int, milliseconds since 1970
    batches : tuple of DayBatch
        In the order in which they began; shown with the newest first.
    shown : DayBatch or None
        Whose first cuts are charted: the one asked for, else the newest.
    chart : ControlChart or None
    no_chart : str
        Why there is none, in a sentence or two.
    boards : BoardRecord
        As they are now, whatever the day.
    scale : str
        The one used last; empty where none was.
    check : CheckState or None
        How it stands with that scale.
    notes : tuple of Noted
    line : int
        The last that was read.
    head : str
        Its digest.
    """

    day: date
    now_ms: int
    batches: tuple[DayBatch, ...]
    shown: DayBatch | None
    chart: ControlChart | None
    no_chart: str
    boards: BoardRecord
    scale: str
    check: CheckState | None
    notes: tuple[Noted, ...]
    line: int
    head: str


def read_day(home: Home, day: date, *, run: str = "") -> Day:
    """Return a day as a journal has it.

    Parameters
    ----------
    home : Home
    day : date
        By this machine's clock.
    run : str
        One of the runs of the batch to be charted; empty for the newest of the day.

    Returns
    -------
    Day

    Raises
    ------
    SpecificationError
        If there is no journal, or no such run on that day.
    ChainBrokenError
        If lines do not follow from each other, or stored totals from them.
    """
    now_ms = time.time_ns() // 1_000_000
    with closing(open_for_reading(home.journal_path)) as store, store.one_moment():
        head = store.head()
        batches = tuple(_batch(store, newest) for newest in _begun_on(store, day))
        shown = _shown(batches, run, day)
        chart, no_chart = _chart(shown)
        scale, check = _check(store, home)
        return Day(
            *(day, now_ms, batches, shown, chart, no_chart),
            boards=boards_so_far(store, now_ms),
            scale=scale,
            check=check,
            notes=tuple(_noted(store, day)),
            line=head.seq,
            head=head.digest,
        )


def _begun_on(store: Store, day: date) -> list[str]:
    """Return the newest run of each batch of which a run was begun on a day, or is open."""
    start, end = (_ms_of(each) for each in (day, day + timedelta(days=1)))
    newest = newest_of(store)
    found = dict.fromkeys(newest[state.run] for state in store.runs_begun(start, end))
    is_today = day == datetime.now(HERE).date()
    is_open = store.open_run() if is_today else None
    return list(found | dict.fromkeys([is_open.run] if is_open else []))


def _ms_of(day: date) -> int:
    return round(datetime(day.year, day.month, day.day, tzinfo=HERE).timestamp() * MS_PER_S)


def _batch(store: Store, run: str) -> DayBatch:
    promise = store.started(run)
    return DayBatch(batch_figures(store, run), promise.planned, promise.person)


def _shown(batches: tuple[DayBatch, ...], run: str, day: date) -> DayBatch | None:
    if not run:
        return batches[-1] if batches else None
    for batch in batches:
        if run in (each.run for each in batch.figures.runs):
            return batch
    raise SpecificationError(
        f"There is no run '{run}' on {day}.", hint="Leave out --run for the newest batch."
    )


def _chart(batch: DayBatch | None) -> tuple[ControlChart | None, str]:
    """Return the chart of a batch's first cuts; else why there is none."""
    if batch is None:
        return None, "No batch was begun."
    from weighstation.report.charts.batch_chart import batch_chart  # noqa: PLC0415 - only where there is one

    figures = replace(batch.figures, happenings=())  # told beside it, with nobody named unasked
    began = datetime.fromtimestamp(figures.started_utc_ms / MS_PER_S, HERE)
    title = f"{figures.product.name}, begun {began:%H:%M}: first cuts"
    try:
        return batch_chart(figures, title=title), ""
    except ValueError as exc:  # too few pieces, or a scale too coarse for them
        return None, str(exc)


def _check(store: Store, home: Home) -> tuple[str, CheckState | None]:
    """Return the scale used last and how it stands with its checks."""
    with suppress(SpecificationError):
        url = which_scale(None, home)
        scale = key_of(Address.parse(url))
        due_h = home.profiles().get(scale, Profile(scale)).check_due_h
        return url, check_state(store, scale=scale, due_h=due_h)
    return "", None


def _noted(store: Store, day: date) -> list[Noted]:
    return [Noted(entry.seq, said) for entry in store.notes() if (said := _said_on(entry, day))]


def _said_on(entry: Entry, day: date) -> Reaction | None:
    on = datetime.fromtimestamp(entry.t_utc_ms / MS_PER_S, HERE).date()
    return read_reaction(read_body(entry.body)) if on == day else None

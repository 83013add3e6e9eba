"""A journal -> when a scale was last checked, whether that is too long ago, what is doubtful."""

from __future__ import annotations

from collections import defaultdict
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.journal import (
    Doubts,
    LastCheck,
    ScaleChecked,
    read_baked,
    read_body,
    read_scale_checked,
    scale_name,
)
from weighstation.plan.boards.board import Stage
from weighstation.station.commands.batches.dough_clock import boards_so_far
from weighstation.station.commands.batches.resume import last_weighed
from weighstation.station.ports import Address
from weighstation.station.stores import is_empty_file, open_for_reading

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from weighstation.journal import Doubted
    from weighstation.station.stores import Store

DUE_H = 24.0
"""A scale is checked before the first batch of a day, unless scales.toml says otherwise.

Common practice: before the first use of the day, and once a shift.
"""
AGAIN_WITHIN_MIN = 20
"""Younger pieces may still lie unshaped, to be weighed again; house figure, about a bench rest."""
_MS_PER_H = 3_600_000
_CLOCK_MAY_BE_OFF_MS = 60_000


@dataclass(frozen=True, slots=True)
class Checked:
    """A check on record.

    Parameters
    ----------
    line : int
        Number of its line.
    t_utc_ms : int, milliseconds since 1970
    check : ScaleChecked
    """

    line: int
    t_utc_ms: int
    check: ScaleChecked


@dataclass(frozen=True, slots=True)
class CheckState:
    """How it stands with the checks of a scale.

    Parameters
    ----------
    scale : str
        Who it is.
    last, last_good : Checked or None
    due_h : float, hours
    """

    scale: str
    last: Checked | None = None
    last_good: Checked | None = None
    due_h: float = DUE_H

    @property
    def known(self) -> LastCheck | None:
        """The last check as a run carries it."""
        if self.last is None:
            return None
        return LastCheck(self.last.line, self.last.t_utc_ms, self.last.check.is_fit)

    def is_good(self, now_ms: int) -> bool:
        """Tell whether the last check was good and is not too old.

        Parameters
        ----------
        now_ms : int, milliseconds since 1970

        Returns
        -------
        bool
        """
        return self.last is not None and self.last.check.is_fit and not self.is_overdue(now_ms)

    def is_overdue(self, now_ms: int) -> bool:
        """Tell whether the last check is longer ago than it should be, or yet to come.

        Parameters
        ----------
        now_ms : int, milliseconds since 1970

        Returns
        -------
        bool
        """
        if self.last is None:
            return False
        ago_ms = now_ms - self.last.t_utc_ms
        return not -_CLOCK_MAY_BE_OFF_MS <= ago_ms <= self.due_h * _MS_PER_H

    @property
    def doubted_from(self) -> int:
        """Number of the line from which pieces may be doubtful: the good check before the last.

        The last check counts for it only if it failed.
        """
        if self.last is not None and self.last.check.is_fit:
            return self.last.check.good_line or 1
        return self.last_good.line if self.last_good else 1

    def text(self, now_ms: int) -> str:
        """Return how it stands, in one plain sentence.

        Parameters
        ----------
        now_ms : int, milliseconds since 1970

        Returns
        -------
        str
        """
        if self.last is None:
            return (
                "No check of this scale is on record: 'weighstation check' takes less than a"
                " minute."
            )
        when = clock_text(self.last.t_utc_ms)
        if not self.last.check.is_fit:
            return (
                f"This scale was found not fit on {when}: what is weighed on it is doubtful until a"
                " check is good."
            )
        if self.is_overdue(now_ms) and now_ms < self.last.t_utc_ms:
            return (
                f"This scale was found fit on {when}, which is yet to come: set this machine's"
                " clock right, and run 'weighstation check'."
            )
        if self.is_overdue(now_ms):
            ago_h = (now_ms - self.last.t_utc_ms) // _MS_PER_H
            return (
                f"This scale was last checked {ago_h} h ago, and is to be checked every"
                f" {self.due_h:g} h: run 'weighstation check'."
            )
        return f"This scale was found fit on {when}."


def clock_text(t_utc_ms: int) -> str:
    """Return a moment on this machine's clock.

    Parameters
    ----------
    t_utc_ms : int, milliseconds since 1970

    Returns
    -------
    str
    """
    return f"{datetime.fromtimestamp(t_utc_ms / 1000).astimezone():%Y-%m-%d %H:%M}"


def check_state(store: Store, *, scale: str, due_h: float | None = None) -> CheckState:
    """Return how it stands with the checks of a scale.

    Parameters
    ----------
    store : Store
    scale : str
        Who it is: another scale that was checked at the same port says nothing of this one.
    due_h : float or None, hours

    Returns
    -------
    CheckState

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    last = None
    for entry in store.scale_checks():
        check = read_scale_checked(read_body(entry.body))
        if check.scale != scale:
            continue
        checked = Checked(entry.seq, entry.t_utc_ms, check)
        last = last or checked
        if check.is_fit:
            return CheckState(scale, last, checked, due_h or DUE_H)
    return CheckState(scale, last, None, due_h or DUE_H)


def check_notice(state: CheckState, url: str, now_ms: int) -> str:
    """Return what is to be said of a scale's checks before it is weighed on.

    Parameters
    ----------
    state : CheckState
    url : str
        Of the scale.
    now_ms : int, milliseconds since 1970

    Returns
    -------
    str
        Empty where all is well; that none is on record is said of real scales only.
    """
    is_unchecked_stand_in = state.last is None and Address.parse(url).stand_in
    return "" if state.is_good(now_ms) or is_unchecked_stand_in else state.text(now_ms)


def state_on_disk(journal: Path, *, scale: str, due_h: float | None = None) -> CheckState:
    """Return the same of a journal that need not be there yet.

    Parameters
    ----------
    journal : Path
    scale : str
    due_h : float or None, hours

    Returns
    -------
    CheckState

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    if not journal.exists() or is_empty_file(journal):
        return CheckState(scale, due_h=due_h or DUE_H)
    with closing(open_for_reading(journal)) as store:
        return check_state(store, scale=scale, due_h=due_h)


def last_port(journal: Path) -> str | None:
    """Return the URL of the scale that was used last: checked, divided on, or baked loaves on.

    Parameters
    ----------
    journal : Path

    Returns
    -------
    str or None
        None where nothing was done yet.

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    if not journal.exists() or is_empty_file(journal):
        return None
    with closing(open_for_reading(journal)) as store:
        run, check = last_weighed(store), next(store.scale_checks(), None)
        loaf = max(store.loaf_lines(), key=lambda entry: entry.seq, default=None)
        used = [(run.started_seq, store.started(run.run).scale)] if run else []
        used += [(check.seq, read_scale_checked(read_body(check.body)).port)] if check else []
        used += [(loaf.seq, read_baked(read_body(loaf.body)).scale)] if loaf else []
        return max(used)[1] if used else None


@dataclass(frozen=True, slots=True)
class DoubtfulBatch:
    """The doubtful pieces of one run, or the doubtful loaves of a batch.

    Parameters
    ----------
    run : str
        Of loaves the newest run of their batch.
    product : str
    numbers : tuple of int
    first_ms, last_ms : int, milliseconds since 1970
        When the first and the last of them were counted.
    failed_line : int
        Number of the line of the check that made them so.
    again : tuple of int
        Numbers of those that can be weighed again: they lie on a board that is not shaped yet or,
        where no boards are kept, are young enough.
    boards : tuple of int
        Numbers of the boards that they lie on; empty where no boards are kept.
    is_baked : bool
        Whether these are loaves; all of them can be weighed again.
    """

    run: str
    product: str
    numbers: tuple[int, ...]
    first_ms: int
    last_ms: int
    failed_line: int
    again: tuple[int, ...] = ()
    boards: tuple[int, ...] = ()
    is_baked: bool = False


def doubtful_batches(store: Store, state: CheckState, now_ms: int) -> tuple[DoubtfulBatch, ...]:
    """Return what is doubtful since the good check before the last one, oldest first.

    Parameters
    ----------
    store : Store
    state : CheckState
    now_ms : int, milliseconds since 1970

    Returns
    -------
    tuple of DoubtfulBatch
        After a good check: what a failed one right before it made doubtful, and stays so.

    Raises
    ------
    JournalError
        If the journal cannot be read.

    Notes
    -----
    Reading begins at a good check: no run reaches over one.
    """
    if state.last is None:
        return ()
    doubts = Doubts()
    for entry in store.entries(state.doubted_from):
        doubts.feed(entry)
    scales = (state.scale, scale_name("", state.last.check.port))
    return (
        *_batches(store, doubts.pieces, scales, now_ms, is_baked=False),
        *_batches(store, doubts.loaves, scales, now_ms, is_baked=True),
    )


def _batches(
    store: Store, of: Doubted, scales: tuple[str, str], now_ms: int, *, is_baked: bool
) -> Iterator[DoubtfulBatch]:
    """Yield what is doubtful of pieces, or of loaves, that were weighed on a scale."""
    young_ms = 0 if is_baked else now_ms - AGAIN_WITHIN_MIN * 60_000
    by_run: dict[str, dict[int, int]] = defaultdict(dict)
    for (run, number), t_ms in of.doubtful.items():
        if of.scale_of[run, number] in scales:
            by_run[run][number] = t_ms
    boards = boards_so_far(store, now_ms).boards if by_run and not is_baked else None
    unshaped = {
        (piece.run, piece.number): board.number
        for board in (boards.boards if boards else ())
        if board.stage in (Stage.FILLING, Stage.CLOSED)
        for piece in board.pieces
    }
    for run, counted in by_run.items():
        product = store.started(run).product
        keeps_boards = bool(product.board_places) and not is_baked
        young = {number for number, t_ms in counted.items() if t_ms >= young_ms}
        lying = {number: unshaped[run, number] for number in counted if (run, number) in unshaped}
        yield DoubtfulBatch(
            run=run,
            product=product.name,
            numbers=tuple(sorted(counted)),
            first_ms=min(counted.values()),
            last_ms=max(counted.values()),
            failed_line=min(of.failed_line[run, number] for number in counted),
            again=tuple(sorted(lying if keeps_boards else young)),
            boards=tuple(sorted(set(lying.values()))) if keeps_boards else (),
            is_baked=is_baked,
        )

"""``journal settle``: a check that failed by mistake, on a person's word and a good one after."""

from __future__ import annotations

import sys
import time
from contextlib import closing
from itertools import takewhile
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import (
    Kind,
    Line,
    Settled,
    read_body,
    read_scale_checked,
    read_settled,
    settled,
    settling_fault,
)
from weighstation.station.commands.batches.chains import seen_broken
from weighstation.station.commands.journals.opening import lines_text, writing
from weighstation.station.commands.terminal.options import refuse_no_text

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.journal import Entry, ScaleChecked
    from weighstation.station.stores import Store

_NOT_SETTLED = (
    "Nothing is settled: 'weighstation journal verify' says what is wrong, and"
    " 'weighstation journal note LINE TEXT' can say what you know."
)
_CHECK_AGAIN = "Check the scale again with the same weights and limits; its next check settles it."
_WEIGH_LOAVES = "The pieces stay doubtful: weigh the baked loaves, and note what you find."


def settle(home: Path | None, line: int, *, person: str, reason: str) -> int:
    """Put on record that a check failed by mistake, so that its pieces are doubtful no more.

    Parameters
    ----------
    home : Path or None
    line : int
        Number of the failed check's line.
    person : str
        Who says so.
    reason : str
        Why it failed.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If that is no failed check, it cannot be settled, or person or reason are empty.
    ChainBrokenError
        If one of the lines does not hold: nothing is settled.
    JournalError
        If the journal cannot be written.
    """
    for text, what, option in ((person, "person", "--person"), (reason, "reason", "--reason")):
        refuse_no_text(text, f"The {what}")
        if not text.strip():
            raise SpecificationError(f"The {what} is empty.", hint=f"Give it with {option}.")
    with closing(writing(home)) as store:
        good_line = settling_line(store, line)
        fault = seen_broken(store, [line, good_line, store.head().seq], hint=_NOT_SETTLED)
        if fault is not None:
            raise fault
        said = Settled(line, good_line, person.strip(), reason.strip())
        now_ms = time.time_ns() // 1_000_000
        entry = store.append(Line(Kind.NOTED, settled(said), now_ms))
    sys.stdout.write(
        f"Line {entry.seq}: the check on line {line} failed by mistake, says {said.person}; what it"
        f" made doubtful is settled by the good check on line {good_line}.\n"
    )
    return 0


def settling_line(store: Store, line: int) -> int:
    """Return the number of the good check's line that settles a failed one.

    Parameters
    ----------
    store : Store
    line : int
        Number of the failed check's line.

    Returns
    -------
    int

    Raises
    ------
    SpecificationError
        If that is no failed check, or nothing settles it.
    JournalError
        If the journal cannot be read.
    """
    failed = _failed(store, line)
    before, after = _beside(store, line, failed.scale)
    if before is not None and not before[1].is_fit:
        raise SpecificationError(
            f"The check before it, on line {before[0]}, failed too, and that is no slip.",
            hint=_WEIGH_LOAVES,
        )
    if after is None:
        raise SpecificationError(
            f"No check of that scale followed the one on line {line}.", hint=_CHECK_AGAIN
        )
    fault = settling_fault(failed, after[1])
    if fault:
        raise SpecificationError(
            f"The next check, on line {after[0]}, does not settle it: {fault}.", hint=_WEIGH_LOAVES
        )
    _refuse_twice(store, line)
    return after[0]


def unlike_text(store: Store, line: int) -> str:
    """Return that a good check did less than the failed one right before it.

    Parameters
    ----------
    store : Store
    line : int
        Number of the good check's line.

    Returns
    -------
    str
        One plain sentence; empty where it did at least as much, or none failed before it.

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    good = read_scale_checked(read_body(next(store.entries(line)).body))
    before, _ = _beside(store, line, good.scale)
    fault = "" if before is None or before[1].is_fit else settling_fault(before[1], good)
    if before is None or not fault:
        return ""
    return (
        f"The check before it, on line {before[0]}, failed, and this one says less: {fault}. Check"
        " again as it was done there."
    )


def _failed(store: Store, line: int) -> ScaleChecked:
    if not 1 <= line <= store.head().seq:
        raise SpecificationError(
            f"There is no line {line}.", hint=f"The journal has {lines_text(store.head().seq)}."
        )
    entry = next(store.entries(line))
    check = read_scale_checked(read_body(entry.body)) if entry.kind is Kind.SCALE_CHECKED else None
    if check is None or check.is_fit:
        raise SpecificationError(
            f"Line {line} is no check that failed.",
            hint="'weighstation check --state' and 'weighstation journal show' name its line.",
        )
    return check


_Numbered = tuple[int, "ScaleChecked"]


def _beside(store: Store, line: int, scale: str) -> tuple[_Numbered | None, _Numbered | None]:
    """Return the checks of a scale right before and right after one."""
    checks = store.scale_checks()
    newer = [_numbered(entry) for entry in takewhile(lambda entry: entry.seq > line, checks)]
    older = map(_numbered, checks)
    after = [one for one in newer if one[1].scale == scale]
    before = (one for one in older if one[1].scale == scale)
    return next(before, None), after[-1] if after else None


def _numbered(entry: Entry) -> _Numbered:
    return entry.seq, read_scale_checked(read_body(entry.body))


def _refuse_twice(store: Store, line: int) -> None:
    for entry in store.entries(line):
        said = read_settled(read_body(entry.body)) if entry.kind is Kind.NOTED else None
        if said is not None and said.about == line:
            raise SpecificationError(
                f"The check on line {line} is settled already, by line {entry.seq}.",
                hint=f"'weighstation journal note {entry.seq} TEXT' says more about it.",
            )

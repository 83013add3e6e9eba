"""An interrupted batch: closed at the next start, and gone on with where that is wanted."""

from __future__ import annotations

import sys
import time
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import Kind, Line, RunStarted, RunState, Why, codec, read_body
from weighstation.station.bench.standing import Standing
from weighstation.station.bench.wording import promised
from weighstation.station.panel.keyboard import NoKeyboard, open_keyboard
from weighstation.station.stores import is_empty_file, open_for_reading, run_chain

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Product, Way
    from weighstation.station.panel.keyboard import Keyboard
    from weighstation.station.stores import Store

GOES_ON = "b y\r\n"
"""The foot pedal that says *boarded* says yes here; so does Enter."""
BEGINS_ANEW = "en"
ASKED_EVERY_S = 0.5
BY_ITSELF_WITHIN_H = 12
"""Where nobody can be asked, an older batch is left: its dough is no longer on the bench."""


@dataclass(frozen=True, slots=True)
class Interrupted:
    """The newest batch, where it was interrupted.

    Parameters
    ----------
    runs : tuple of RunState
        Oldest first.
    promise : RunStarted
        Of the newest run.
    first_cut_ms, last_ms : int, milliseconds since 1970
        When its dough was first cut, and its last sign of life.
    """

    runs: tuple[RunState, ...]
    promise: RunStarted
    first_cut_ms: int
    last_ms: int

    @property
    def pieces(self) -> int:
        """How many pieces of it count."""
        return sum(run.kept.n for run in self.runs)

    @property
    def next_number(self) -> int:
        """The first piece number that it has not used."""
        used = [number for run in self.runs for number in (run.last_number, *run.open_lifted)]
        return max(used) + 1

    def is_for(self, product: Product, way: Way) -> bool:
        """Tell whether it was promised the same.

        Parameters
        ----------
        product : Product
        way : Way

        Returns
        -------
        bool
        """
        was = self.promise
        return (was.product.name, was.product.limits, was.product.is_guarded, was.way) == (
            product.name,
            product.limits,
            product.is_guarded,
            way,
        )

    def standing(self, store: Store) -> Standing:
        """Return how it stands, to be gone on with.

        Parameters
        ----------
        store : Store

        Returns
        -------
        Standing
        """
        pieces = [piece for run in self.runs for piece in store.pieces(run.run)]
        return Standing(self.runs, pieces)


def last_promise(journal: Path) -> RunStarted | None:
    """Return what the newest run promised, or None where nothing was divided yet.

    Parameters
    ----------
    journal : Path

    Returns
    -------
    RunStarted or None

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    if not journal.exists() or is_empty_file(journal):
        return None
    with closing(open_for_reading(journal)) as store:
        newest = last_weighed(store)
        return store.started(newest.run) if newest else None


def last_weighed(store: Store) -> RunState | None:
    """Return the newest run that was weighed here, or None; one entered from a file is none.

    Parameters
    ----------
    store : Store

    Returns
    -------
    RunState or None
    """
    return next((run for run in store.newest_runs() if not run.is_imported), None)


def find_interrupted(store: Store) -> Interrupted | None:
    """Return the newest batch if it did not come to its own end, or None.

    Parameters
    ----------
    store : Store

    Returns
    -------
    Interrupted or None
        None too where nothing of it was ever weighed.
    """
    newest = last_weighed(store)
    if newest is None or newest.ended == Why.DONE.value:
        return None
    runs = run_chain(store, newest.run)
    if not any(run.kept.n or run.open_lifted for run in runs):
        return None
    names = {run.run for run in runs}
    times = []
    for entry in store.entries(runs[0].started_seq):
        body = read_body(entry.body)
        if body.get("run") in names and entry.kind is not Kind.RUN_ENDED:
            ms = body.get("ms")
            times.append((entry.t_utc_ms, entry.kind, ms if isinstance(ms, int) else 0))
    cuts = [t_ms - ms for t_ms, kind, ms in times if kind in _CUTS]
    return Interrupted(
        runs=runs,
        promise=store.started(newest.run),
        first_cut_ms=cuts[0] if cuts else times[-1][0],
        last_ms=times[-1][0],
    )


_CUTS = (Kind.PIECE_KEPT, Kind.PIECE_LIFTED)


def close_open_run(store: Store) -> None:
    """Close a run that was left open, as interrupted.

    Parameters
    ----------
    store : Store

    Raises
    ------
    JournalFullError
        If the disk refuses.
    """
    left = store.open_run()
    if left is not None:
        body = codec.run_ended(left.run, Why.INTERRUPTED)
        store.append(Line(Kind.RUN_ENDED, body, time.time_ns() // 1_000_000))


def choose(
    found: Interrupted | None, product: Product, way: Way, *, resume: bool | None
) -> Interrupted | None:
    """Return the batch to go on with, or None for a fresh one.

    Parameters
    ----------
    found : Interrupted or None
    product : Product
    way : Way
        What is to be divided now, and how.
    resume : bool or None
        As asked for; None to ask, or where nobody can be asked, to go on by itself.

    Returns
    -------
    Interrupted or None

    Raises
    ------
    SpecificationError
        If going on was asked for and there is nothing to go on with.
    """
    same = found if found is not None and found.is_for(product, way) else None
    if resume and same is None:
        raise SpecificationError(
            f"There is no interrupted batch of {product.name} with these limits.",
            hint="Leave out --resume to start a fresh one.",
        )
    if resume is None and found is not None and same is None:
        sys.stderr.write(f"{_what(found)} and is left as it is: this is another batch.\n")
    if same is None or resume is False:
        return None
    if resume or _says_yes(same):
        return same
    return None


def _what(found: Interrupted) -> str:
    was, last = found.promise, datetime.fromtimestamp(found.last_ms / 1000).astimezone()
    limits = was.product.limits
    low_mg, high_mg = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    band = f"keep {promised(low_mg)} to {promised(high_mg)} g"
    count = "1 piece" if found.pieces == 1 else f"{found.pieces} pieces"
    return f"The batch of {was.product.name} ({band}) was interrupted after {count} ({last:%H:%M})"


def _says_yes(found: Interrupted) -> bool:
    keyboard = open_keyboard()
    if isinstance(keyboard, NoKeyboard):
        young = time.time() - found.last_ms / 1000 < BY_ITSELF_WITHIN_H * 3600
        does = "going on with it" if young else "too old, left as it is"
        sys.stderr.write(f"{_what(found)}: {does}.\n")
        return young
    sys.stderr.write(f"{_what(found)}.\nGo on with it? B or Enter: yes. E: a new batch. [Y/n] ")
    sys.stderr.flush()
    with keyboard:
        goes_on = _answer(keyboard)
    sys.stderr.write("yes\n" if goes_on else "no, a new batch\n")
    return goes_on


def _answer(keyboard: Keyboard) -> bool:
    """Return what the first key that answers says; yes where the terminal has gone."""
    while keyboard.is_open:
        for key in keyboard.read(ASKED_EVERY_S).lower():
            if key in GOES_ON:
                return True
            if key in BEGINS_ANEW:
                return False
    return True

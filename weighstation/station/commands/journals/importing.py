"""``journal import``: hand tallies and old weights, all of a file or none of it."""

from __future__ import annotations

import json
import sys
import time
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import chain
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import Head
from weighstation.quantities import grams
from weighstation.report.page.printable import printable
from weighstation.station.commands.batches.chains import seen_broken
from weighstation.station.commands.batches.naming import new_run
from weighstation.station.commands.journals.opening import making, reading
from weighstation.station.commands.journals.tally_file import read_tally
from weighstation.station.commands.journals.tally_plan import (
    Entered,
    entered_before,
    new_rows,
    new_runs,
)
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.shop.quantity_rules import with_rule
from weighstation.station.commands.terminal.options import refuse_no_text
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import is_empty_file

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from weighstation.specification import Catalogue
    from weighstation.station.commands.journals.tally_file import Tally
    from weighstation.station.commands.journals.tally_plan import NewRun
    from weighstation.station.stores import Store

_NOT_ENTERED = "Nothing is entered; 'weighstation journal verify' says what is wrong."
_HEAD_DIGITS = 16


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a file, or would.

    Parameters
    ----------
    source : str
        Name of the file.
    rows, known : int
        Rows of the file, and those of them that were on record already.
    runs : tuple of NewRun
    lines : tuple of int
        First and last that were written; empty where none was.
    head : Head
        Last line of the journal now.
    notes : tuple of str
    is_dry : bool
        Whether nothing was to be written.
    """

    source: str
    rows: int
    known: int
    runs: tuple[NewRun, ...]
    lines: tuple[int, ...]
    head: Head
    notes: tuple[str, ...]
    is_dry: bool


def run_import(folder: Path | None, path: Path, *, is_dry: bool, as_json: bool) -> int:
    """Enter a file of weights, or tell what would be entered.

    Parameters
    ----------
    folder : Path or None
        The home.
    path : Path
    is_dry : bool
        Write nothing.
    as_json : bool

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If the file cannot be read or has faults (all named), or products.toml has.
    ChainBrokenError
        If the journal's last line does not hold: nothing is entered.
    JournalError
        If the journal cannot be read or written.
    """
    refuse_no_text(path.name, "The name of the file")
    home = Home.find(folder)
    catalogue = _with_rules(home.catalogue(), home)
    now = datetime.now(UTC)
    tally = read_tally(_bytes_of(path), catalogue, now=now, source=path.name)
    plan = _Plan(path.name, catalogue, tally)
    outcome = plan.told(home) if is_dry else plan.written(home)
    sys.stdout.write(_json(outcome) if as_json else _text(outcome))
    return 0


def _with_rules(catalogue: Catalogue, home: Home) -> Catalogue:
    return replace(
        catalogue, products=tuple(with_rule(product, home) for product in catalogue.products)
    )


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError as exc:
        raise SpecificationError(
            f"There is no file '{path}'.", hint="Give the name of a CSV file."
        ) from exc
    except OSError as exc:
        raise SpecificationError(
            f"The file '{path}' cannot be read ({(exc.strerror or str(exc)).lower()}).",
            hint="Give the name of a CSV file that this user may read.",
        ) from exc


@dataclass(frozen=True, slots=True)
class _Plan:
    source: str
    catalogue: Catalogue
    tally: Tally

    def told(self, home: Home) -> Outcome:
        """Return what would become of the file; nothing is written or made."""
        path = home.journal_path
        if not path.exists() or is_empty_file(path):
            return self._outcome(self._runs(Entered()), (), Head(0, ""), is_dry=True)
        with closing(reading(home.folder)) as store, store.one_moment():
            return self._outcome(self._runs(self._before(store)), (), store.head(), is_dry=True)

    def written(self, home: Home) -> Outcome:
        """Enter the file in one transaction, and return what became of it."""
        home.make()
        with closing(making(home)) as store:
            runs = self._runs(self._before(store))
            lines = _write(store, runs) if runs else ()
            return self._outcome(runs, lines, store.head(), is_dry=False)

    def _before(self, store: Store) -> Entered:
        return entered_before(store, self.tally.rows)

    def _runs(self, before: Entered) -> tuple[NewRun, ...]:
        return new_runs(
            new_rows(self.tally.rows, before.rows),
            before,
            source=self.source,
            currency=self.catalogue.currency,
            name=new_run,
        )

    def _outcome(
        self, runs: tuple[NewRun, ...], lines: tuple[int, ...], head: Head, *, is_dry: bool
    ) -> Outcome:
        rows, new = len(self.tally.rows), sum(len(run.rows) for run in runs)
        notes = self.tally.notes
        return Outcome(self.source, rows, rows - new, runs, lines, head, notes, is_dry)


def _write(store: Store, runs: Sequence[NewRun]) -> tuple[int, int]:
    """Write runs, all of them or none; return the first and the last line."""
    last = store.head().seq
    if last:
        fault = seen_broken(store, [last], hint=_NOT_ENTERED)
        if fault is not None:
            raise fault
    now_ms = time.time_ns() // 1_000_000
    total = sum(len(run.rows) + 2 for run in runs)
    lines = chain.from_iterable(run.lines(now_ms) for run in runs)
    with Patience() as patience:
        store.append_all(patience.over(lines, "Entering lines", total))
    return last + 1, last + total


def _text(outcome: Outcome) -> str:
    """Return what became of a file, for a person."""
    said = [*map(_of_product, _by_product(outcome.runs)), *outcome.notes, _in_short(outcome)]
    return "".join(f"{printable(line)}\n" for line in said)


def _in_short(outcome: Outcome) -> str:
    new = outcome.rows - outcome.known
    if not new:
        all_rows = "its one row is" if outcome.rows == 1 else f"all {outcome.rows} rows are"
        return f"{outcome.source}: {all_rows} on record already, and nothing is added."
    known = f"; {_rows(outcome.known)} on record already" if outcome.known else ""
    runs = "1 run" if len(outcome.runs) == 1 else f"{len(outcome.runs)} runs"
    if outcome.is_dry:
        return (
            f"{outcome.source}: {_pieces(new)} would be entered in {runs}{known}. Nothing is"
            " written; leave out --dry-run to enter them."
        )
    first, last = outcome.lines
    are = "is" if new == 1 else "are"
    return (
        f"{outcome.source}: {_pieces(new)} {are} entered in {runs}, lines {first} to {last}{known}."
    )


def _rows(count: int) -> str:
    return "1 row is" if count == 1 else f"{count} rows are"


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def _by_product(runs: Sequence[NewRun]) -> list[list[NewRun]]:
    found: dict[str, list[NewRun]] = {}
    for run in runs:
        found.setdefault(run.promise.product.name, []).append(run)
    return [found[name] for name in sorted(found)]


def _of_product(runs: Sequence[NewRun]) -> str:
    """Return what is entered of a product, so that a person sees a slip."""
    rows = [row for run in runs for row in run.rows]
    mean_g = grams(sum(row.final_mg for row in rows)) / len(rows)
    days = sorted({row.day for row in rows})
    span = days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}"
    out = sum(run.out_of_band for run in runs)
    return (
        f"  {rows[0].product.name}: {_pieces(len(rows))}, {span}, mean {mean_g:.1f} g,"
        f" {out} out of band"
    )


def _json(outcome: Outcome) -> str:
    said = {
        "file": outcome.source,
        "rows": outcome.rows,
        "known": outcome.known,
        "entered": 0 if outcome.is_dry else outcome.rows - outcome.known,
        "dry_run": outcome.is_dry,
        "lines": list(outcome.lines),
        "notes": list(outcome.notes),
        "runs": [_run_record(run) for run in outcome.runs],
        "as_of": {"line": outcome.head.seq, "head": outcome.head.digest},
    }
    return json.dumps(said, ensure_ascii=False) + "\n"


def _run_record(run: NewRun) -> dict[str, object]:
    promise = run.promise
    return {
        "run": promise.run,
        "continues": promise.continues or None,
        "product": promise.product.name,
        "batch": promise.batch or None,
        "person": promise.person or None,
        "began": run.rows[0].at.isoformat(),
        "pieces": len(run.rows),
    }

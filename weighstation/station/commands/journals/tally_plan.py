"""Rows of a tally, and what was entered before -> the runs to be written, and their lines."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import TYPE_CHECKING

from weighstation import __version__
from weighstation.evaluate import judge
from weighstation.events import Verdict
from weighstation.journal import (
    Kind,
    Line,
    PieceFacts,
    RunStarted,
    Why,
    codec,
    imported,
    read_body,
    scale_of_file,
)
from weighstation.specification import LiftedPolicy, Way
from weighstation.station.commands.journals.tally_cells import day_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from weighstation.journal import Body, RunState
    from weighstation.specification import Limits
    from weighstation.station.commands.journals.tally_file import TallyRow
    from weighstation.station.stores.store import Store

Identity = tuple[int, str, int, str, int | None, int | None, str, int | None]
"""What makes a row the same as another: all its facts."""


@dataclass(frozen=True, slots=True)
class BatchKey:
    """What pieces of one run have in common.

    Parameters
    ----------
    product : str
        In lower case.
    batch : str
        As the bakery calls it; else empty.
    day : str
        On the wall, year first; empty where the batch has a name.
    person : str
    """

    product: str
    batch: str
    day: str
    person: str


@dataclass(frozen=True, slots=True)
class EarlierRun:
    """The newest run of a batch that was entered before.

    Parameters
    ----------
    run : str
    limits : Limits
    last_number : int
        The highest number of a piece of its batch.
    """

    run: str
    limits: Limits
    last_number: int


@dataclass(slots=True)
class Entered:
    """What was entered from files before.

    Parameters
    ----------
    rows : Counter of Identity
        How often each row is on record, struck out or not; as far as it was asked for.
    runs : dict of BatchKey to EarlierRun
    """

    rows: Counter[Identity] = field(default_factory=Counter)
    runs: dict[BatchKey, EarlierRun] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class NewRun:
    """A run to be written.

    Parameters
    ----------
    promise : RunStarted
    rows : tuple of TallyRow
        By their time; at least one.
    first_number : int
        Of its pieces.
    """

    promise: RunStarted
    rows: tuple[TallyRow, ...]
    first_number: int

    def lines(self, now_ms: int) -> Iterator[Line]:
        """Yield its lines, from its first to its last.

        Parameters
        ----------
        now_ms : int, milliseconds since 1970
            When they are entered.

        Yields
        ------
        Line
        """
        run = self.promise.run
        yield Line(Kind.RUN_STARTED, codec.run_started(self.promise), now_ms)
        for number, row in enumerate(self.rows, start=self.first_number):
            body = imported(
                run,
                self._facts(number, row),
                at_utc_ms=row.at_utc_ms,
                offset_min=row.offset_min,
            )
            yield Line(Kind.IMPORTED, body, now_ms)
        yield Line(Kind.RUN_ENDED, codec.run_ended(run, Why.DONE), now_ms)

    @property
    def out_of_band(self) -> int:
        """Of its pieces."""
        limits = self.promise.product.limits
        return sum(judge(row.final_mg, limits) is not Verdict.KEEP for row in self.rows)

    def _facts(self, number: int, row: TallyRow) -> PieceFacts:
        return PieceFacts(
            number=number,
            first_mg=row.first_mg,
            final_mg=row.final_mg,
            touches=row.touches,
            ms=None,
            placed_ms=row.at_utc_ms - self.rows[0].at_utc_ms,
            verdict=_verdict(row.final_mg, self.promise.product.limits),
            dough_age_ms=row.dough_age_ms,
        )


def _verdict(final_mg: int, limits: Limits) -> Verdict:
    """Return how a piece left; a tally names pieces one by one, however heavy they are."""
    found = judge(final_mg, limits)
    return Verdict.TRIM if found is Verdict.ONE_AT_A_TIME else found


def entered_before(store: Store, rows: Sequence[TallyRow]) -> Entered:
    """Return what was entered from files before, as far as it bears on some rows.

    Parameters
    ----------
    store : Store
    rows : sequence of TallyRow
        Of a file.

    Returns
    -------
    Entered
        All runs, and every row from the time of these.

    Raises
    ------
    JournalError
        If the journal cannot be read.
    """
    times_ms = [row.at_utc_ms for row in rows] or [0]
    span_ms = min(times_ms), max(times_ms)
    found, last_of = Entered(), dict[str, int]()
    for state in store.runs():
        if state.is_imported:
            _take_in(found, store, state, last_of, span_ms)
    return found


def _take_in(
    found: Entered,
    store: Store,
    state: RunState,
    last_of: dict[str, int],
    span_ms: tuple[int, int],
) -> None:
    """Take in a run; its rows, which stand by their time, only where they can be the same."""
    promise = store.started(state.run)
    count = state.counts[Kind.IMPORTED.value]
    (first,) = _bodies(store, state.started_seq + 1, 1)
    (last,) = _bodies(store, state.started_seq + count, 1)
    if _at_utc_ms(first) <= span_ms[1] and _at_utc_ms(last) >= span_ms[0]:
        for body in _bodies(store, state.started_seq + 1, count):
            found.rows[_identity_of(body, promise)] += 1
    last_of[state.run] = max(state.last_number, last_of.get(state.continues, 0))
    key = _key_of(first, promise)
    found.runs[key] = EarlierRun(state.run, promise.product.limits, last_of[state.run])


def _bodies(store: Store, line: int, count: int) -> Iterator[Body]:
    """Yield what so many lines hold; a run that is entered stands in one piece."""
    return (read_body(entry.body) for entry in islice(store.entries(line), count))


def _at_utc_ms(body: Body) -> int:
    return codec.integer(body, "at_utc_ms")


def _identity_of(body: Body, promise: RunStarted) -> Identity:
    piece = codec.read_piece(body)
    return (
        _at_utc_ms(body),
        promise.product.name.casefold(),
        piece.final_mg,
        promise.batch,
        piece.first_mg,
        piece.touches,
        promise.person,
        piece.dough_age_ms,
    )


def _key_of(body: Body, promise: RunStarted) -> BatchKey:
    offset_min = codec.integer(body, "offset_min")
    day = "" if promise.batch else day_of(_at_utc_ms(body), offset_min)
    return BatchKey(promise.product.name.casefold(), promise.batch, day, promise.person)


def identity(row: TallyRow) -> Identity:
    """Return what makes a row the same as another.

    Parameters
    ----------
    row : TallyRow

    Returns
    -------
    tuple
    """
    return (
        row.at_utc_ms,
        row.product.name.casefold(),
        row.final_mg,
        row.batch,
        row.first_mg,
        row.touches,
        row.person,
        row.dough_age_ms,
    )


def new_rows(rows: Iterable[TallyRow], before: Mapping[Identity, int]) -> list[TallyRow]:
    """Return the rows that are not on record yet.

    Parameters
    ----------
    rows : iterable of TallyRow
        Of a file.
    before : Mapping of Identity to int
        How often each row is on record.

    Returns
    -------
    list of TallyRow
        The third of three equal rows is new where two are on record.
    """
    seen: Counter[Identity] = Counter()
    found = []
    for row in rows:
        same = identity(row)
        if seen[same] < before.get(same, 0):
            seen[same] += 1
        else:
            found.append(row)
    return found


def new_runs(
    rows: Sequence[TallyRow],
    before: Entered,
    *,
    source: str,
    currency: str,
    name: Callable[[], str],
) -> tuple[NewRun, ...]:
    """Return the runs that new rows make: one for each batch, or day, of a product and a person.

    Parameters
    ----------
    rows : sequence of TallyRow
        Not on record yet.
    before : Entered
    source : str
        Name of the file.
    currency : str
    name : callable
        Gives a run its identity.

    Returns
    -------
    tuple of NewRun
        By the time of their first pieces. A run goes on with what was entered of its batch
        before, if the band is still the same.
    """
    groups: dict[BatchKey, list[TallyRow]] = {}
    for row in rows:
        day = "" if row.batch else row.day
        key = BatchKey(row.product.name.casefold(), row.batch, day, row.person)
        groups.setdefault(key, []).append(row)
    ordered = {
        key: tuple(sorted(group, key=lambda row: row.at_utc_ms)) for key, group in groups.items()
    }
    made = []
    for key, group in sorted(ordered.items(), key=lambda item: item[1][0].at_utc_ms):
        promise = _promise(group[0], key, source, currency, name())
        earlier = before.runs.get(key)
        if earlier is not None and earlier.limits == promise.product.limits:
            promise = replace(promise, continues=earlier.run)
            made.append(NewRun(promise, group, earlier.last_number + 1))
        else:
            made.append(NewRun(promise, group, 1))
    return tuple(made)


def _promise(first: TallyRow, key: BatchKey, source: str, currency: str, run: str) -> RunStarted:
    return RunStarted(
        run=run,
        product=replace(first.product, is_guarded=False),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale=scale_of_file(source),
        software=__version__,
        currency=currency,
        person=key.person,
        began_utc_ms=first.at_utc_ms,
        batch=key.batch,
    )

"""Whatever files are entered in whatever order, each row counts as often as one file has it."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from itertools import count

from hypothesis import given, settings
from hypothesis import strategies as st

from weighstation.specification import Limits, Product
from weighstation.station.commands.journals.tally_file import TallyRow
from weighstation.station.commands.journals.tally_plan import (
    entered_before,
    identity,
    new_rows,
    new_runs,
)
from weighstation.station.stores import MemoryStore, Store

LOAF = Product("Tin loaf", Limits(920_000, 5000, 10_000))
START_MS = round(datetime(2026, 11, 2, 23, 58, tzinfo=UTC).timestamp() * 1000)
ROWS = st.builds(
    TallyRow,
    line=st.just(2),
    at_utc_ms=st.integers(0, 4).map(lambda minute: START_MS + minute * 60_000),
    offset_min=st.just(0),
    product=st.just(LOAF),
    final_mg=st.sampled_from((919_000, 921_000, 935_000)),
    batch=st.sampled_from(("", "B7")),
    first_mg=st.sampled_from((None, 930_000)),
    person=st.sampled_from(("", "AB")),
)
FILES = st.lists(st.lists(ROWS, max_size=12), min_size=1, max_size=4)


def enter(store: Store, rows: list[TallyRow], names: count[int]) -> None:
    before = entered_before(store, rows)
    runs = new_runs(
        new_rows(rows, before.rows),
        before,
        source="week.csv",
        currency="EUR",
        name=lambda: f"r{next(names)}",
    )
    store.append_all(line for run in runs for line in run.lines(99))


@given(FILES)
@settings(max_examples=60)
def test_each_row_is_on_record_as_often_as_the_file_that_has_it_most(
    files: list[list[TallyRow]],
) -> None:
    store, names = MemoryStore(journal_id="0" * 32, station="bench"), count(1)
    most: Counter[object] = Counter()
    for rows in files:
        enter(store, rows, names)
        most |= Counter(map(identity, rows))  # the union of multisets: the most of each
    head = store.head()

    assert most == entered_before(store, [row for rows in files for row in rows]).rows
    assert head == store.verify()
    for rows in files:
        enter(store, rows, names)
    assert head == store.head()

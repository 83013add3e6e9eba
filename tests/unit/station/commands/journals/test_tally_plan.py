"""Rows of files -> runs: what is on record is not entered again, whatever the next file holds."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import count
from typing import TYPE_CHECKING

import pytest

from weighstation.events import Verdict
from weighstation.journal import Kind, Line, codec
from weighstation.specification import Limits, Product
from weighstation.station.commands.journals.tally_file import TallyRow
from weighstation.station.commands.journals.tally_plan import (
    NewRun,
    entered_before,
    new_rows,
    new_runs,
)
from weighstation.station.stores import MemoryStore, run_chain

if TYPE_CHECKING:
    from collections.abc import Sequence

LOAF = Product("Tin loaf", Limits(920_000, 5000, 10_000))
ROLL = Product("Sesame roll", Limits(70_000, 2000, 2000))
MORNING = datetime(2026, 11, 2, 4, 10, tzinfo=UTC)


def row(minute: int = 0, product: Product = LOAF, **facts: object) -> TallyRow:
    known: dict[str, object] = {"final_mg": product.limits.target_mg} | facts
    at_utc_ms = round(MORNING.timestamp() * 1000) + minute * 60_000
    return TallyRow(2, at_utc_ms, 0, product, **known)  # type: ignore[arg-type]


class Desk:
    """A journal that files are entered into."""

    def __init__(self) -> None:
        self.store = MemoryStore(journal_id="0" * 32, station="bench")
        self._names = map("r{}".format, count(1))

    def enter(self, rows: Sequence[TallyRow]) -> tuple[NewRun, ...]:
        before = entered_before(self.store, rows)
        runs = new_runs(
            new_rows(rows, before.rows),
            before,
            source="week.csv",
            currency="EUR",
            name=lambda: next(self._names),
        )
        self.store.append_all(line for run in runs for line in run.lines(99))
        return runs

    def finals(self, run: str) -> list[tuple[int, int]]:
        return [(piece.number, piece.final_mg) for piece in self.store.pieces(run)]


@pytest.fixture
def desk() -> Desk:
    return Desk()


def test_a_run_is_a_batch_or_a_day_of_a_product_and_a_person(desk: Desk) -> None:
    runs = desk.enter(
        [
            row(0),
            row(1, person="AB"),
            row(2, ROLL),
            row(3, batch="B7"),
            row(24 * 60, batch="B7"),
            row(24 * 60 + 1),
            row(4),
        ]
    )
    found = [(r.promise.product.name, r.promise.batch, r.promise.person, len(r.rows)) for r in runs]

    assert [
        ("Tin loaf", "", "", 2),
        ("Tin loaf", "", "AB", 1),
        ("Sesame roll", "", "", 1),
        ("Tin loaf", "B7", "", 2),
        ("Tin loaf", "", "", 1),
    ] == found


def test_a_run_began_with_its_first_piece_and_says_what_stands_for_its_scale(desk: Desk) -> None:
    desk.enter([row(9), row(3)])
    promise, state = desk.store.started("r1"), desk.store.runs()[0]

    assert round(MORNING.timestamp() * 1000) + 3 * 60_000 == state.began_utc_ms
    assert ("imported://week.csv", "EUR", None) == (
        promise.scale,
        promise.currency,
        promise.division_mg,
    )
    assert "done" == state.ended
    assert desk.store.head() == desk.store.verify()


def test_pieces_are_numbered_by_their_time_and_judged_by_the_band(desk: Desk) -> None:
    (run,) = desk.enter(
        [row(5, final_mg=930_001), row(1, final_mg=914_999), row(2), row(8, final_mg=1_840_000)]
    )

    assert [Verdict.ADD, Verdict.KEEP, Verdict.TRIM, Verdict.TRIM] == [
        piece.verdict for piece in desk.store.pieces("r1")
    ]
    assert 3 == run.out_of_band
    assert [(1, 914_999), (2, 920_000), (3, 930_001), (4, 1_840_000)] == desk.finals("r1")


def test_the_same_file_twice_adds_nothing(desk: Desk) -> None:
    rows = [row(0), row(0), row(1, batch="B7", first_mg=930_000), row(2, person="AB", touches=1)]
    desk.enter(rows)
    head = desk.store.head()

    assert () == desk.enter(rows)
    assert head == desk.store.head()


def test_only_what_can_be_the_same_is_read_again(desk: Desk) -> None:
    """Rows of years stay where they are when a file of one morning is entered."""
    for hour in (0, 2, 4):
        desk.enter([row(60 * hour, batch=f"B{hour}"), row(60 * hour + 9, batch=f"B{hour}")])
    times_ms = [row(minute).at_utc_ms for minute in (120, 129)]

    assert times_ms == [key[0] for key in entered_before(desk.store, [row(125)]).rows]
    assert {} == entered_before(desk.store, [row(100)]).rows
    assert 3 == len(entered_before(desk.store, [row(100)]).runs)


def test_a_longer_file_adds_what_is_new_and_its_batch_goes_on(desk: Desk) -> None:
    """Two equal rows are two pieces; a third one in the next file is one more."""
    desk.enter([row(0), row(1), row(1)])
    desk.enter([row(2), row(0), row(1), row(1), row(1)])

    assert [(4, 920_000), (5, 920_000)] == desk.finals("r2")
    assert ["r1", "r2"] == [state.run for state in run_chain(desk.store, "r2")]


def test_a_third_file_goes_on_with_the_second(desk: Desk) -> None:
    for rows in ([row(0)], [row(0), row(1)], [row(0), row(1), row(2)]):
        desk.enter(rows)

    assert ["r1", "r2", "r3"] == [state.run for state in run_chain(desk.store, "r3")]
    assert [(3, 920_000)] == desk.finals("r3")


def test_another_band_begins_another_batch(desk: Desk) -> None:
    desk.enter([row(0)])
    (run,) = desk.enter([row(0), row(1, Product("Tin loaf", Limits(925_000, 5000, 5000)))])

    assert ("", 1) == (run.promise.continues, run.first_number)


@pytest.mark.parametrize(
    "other",
    [
        row(1),
        row(0, final_mg=921_000),
        row(0, ROLL, final_mg=920_000),
        row(0, batch="B7"),
        row(0, first_mg=920_000),
        row(0, touches=0),
        row(0, person="AB"),
        row(0, dough_age_ms=0),
    ],
)
def test_a_row_that_differs_in_any_fact_is_another_piece(desk: Desk, other: TallyRow) -> None:
    desk.enter([row(0)])

    assert 1 == len(desk.enter([row(0), other]))


def test_a_piece_that_was_struck_out_stays_so(desk: Desk) -> None:
    desk.enter([row(0), row(1)])
    gone = codec.struck_out("r1", desk.store.pieces("r1")[0], "misread")
    desk.store.append(Line(Kind.VOIDED, gone, 100))

    assert () == desk.enter([row(0), row(1)])
    assert [(2, 920_000)] == desk.finals("r1")


def test_a_product_written_in_another_case_is_the_same(desk: Desk) -> None:
    desk.enter([row(0)])

    assert () == desk.enter([row(0, Product("TIN LOAF", LOAF.limits))])

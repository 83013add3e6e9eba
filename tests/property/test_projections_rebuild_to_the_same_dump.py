"""Law: totals kept line by line, and totals made again from all lines, are the same."""

from __future__ import annotations

import tempfile
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from days_of_lines import JOURNAL_ID, TARGET_MG, days
from hypothesis import given, settings

from weighstation.events import Verdict
from weighstation.journal import Sums
from weighstation.station.stores import MemoryStore, open_for_writing

if TYPE_CHECKING:
    from days_of_lines import Day

    from weighstation.events import Piece


def counted(pieces: list[Piece], *, first: bool) -> Sums:
    """Add up from the pieces themselves, without the journal."""
    errors = [(piece.first_mg if first else piece.final_mg) - TARGET_MG for piece in pieces]
    return Sums(
        len(errors),
        sum(errors),
        sum(error * error for error in errors),
        sum(error for error in errors if error > 0),
    )


@given(days())
def test_totals_are_those_of_the_pieces_that_count(day: Day) -> None:
    """The day keeps its own account of pieces, by other code."""
    store = MemoryStore(journal_id=JOURNAL_ID, station="bench-1")
    for line in day.lines:
        store.append(line)

    for run, by_number in day.pieces.items():
        pieces, state = list(by_number.values()), store.run(run)
        assert state is not None
        assert counted(pieces, first=False) == state.kept
        assert counted(pieces, first=True) == state.first
        assert sum(piece.touches for piece in pieces) == state.touches
        assert 4200 * len(pieces) == state.ms
        assert sum(piece.verdict is not Verdict.KEEP for piece in pieces) == state.out_of_band
        assert len(pieces) == sum(sums.n for sums in store.tally(run).values())
        assert sorted(by_number) == [fact.number for fact in store.pieces(run)]


@settings(max_examples=40)
@given(days())
def test_a_file_rebuilds_to_its_own_dump_and_to_that_of_memory(day: Day) -> None:
    memory = MemoryStore(journal_id=JOURNAL_ID, station="bench-1")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.sqlite"
        with closing(open_for_writing(path, journal_id=JOURNAL_ID, station="bench-1")) as store:
            for line in day.lines:
                assert memory.append(line) == store.append(line)
            dump = list(store.dump())
            assert store.verify() == memory.verify()
            store.rebuild()

            assert dump == list(store.dump()) == list(memory.dump())
            for run in day.pieces:
                assert memory.pieces(run) == store.pieces(run)

"""Facts of a simulated year as lines: a store takes them, and they say what the facts say."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import islice

from weighstation.journal import Kind, codec, read_body, read_scale_checked
from weighstation.simulate.year import (
    TYPED,
    PieceStruckOut,
    PieceWeighed,
    ScaleTried,
    WeightTyped,
    Year,
    YearLines,
    invented_bakery,
)
from weighstation.station.stores import MemoryStore

SMALL = replace(invented_bakery(), pieces=3, struck_out=0.05, struck_out_late=0.05)
YEAR = Year(SMALL, seed=3)
FACTS = tuple(YEAR.facts())


def store_of(facts: int) -> MemoryStore:
    store = MemoryStore(journal_id="0" * 32, station="bakery")
    for line in YearLines(currency="EUR").of(islice(FACTS, facts)):
        store.append(line)
    return store


def test_a_store_takes_a_year_and_proves_it() -> None:
    store = store_of(len(FACTS))
    kinds = Counter(entry.kind for entry in store.entries())
    facts = Counter(map(type, FACTS))

    assert store.verify() == store.head()
    assert facts[PieceWeighed] == kinds[Kind.PIECE_KEPT]
    assert facts[PieceStruckOut] == kinds[Kind.VOIDED]
    assert facts[WeightTyped] == kinds[Kind.IMPORTED]
    assert facts[PieceWeighed] + facts[WeightTyped] - facts[PieceStruckOut] == sum(
        state.kept.n for state in store.runs()
    )


def test_a_piece_is_on_record_as_it_was_weighed() -> None:
    store = store_of(2000)
    weighed = [fact.piece for fact in FACTS[:2000] if isinstance(fact, PieceWeighed)]
    kept = [entry for entry in store.entries() if entry.kind is Kind.PIECE_KEPT]

    assert weighed == [codec.read_piece(read_body(entry.body)) for entry in kept]


def test_a_check_names_the_last_good_one_and_a_run_the_last() -> None:
    """A check of the same scale before it; where that one failed, the last good one before."""
    good: dict[str, int] = {}
    last: dict[str, int] = {}
    for entry in store_of(len(FACTS)).entries():
        if entry.kind is Kind.SCALE_CHECKED:
            check = read_scale_checked(read_body(entry.body))

            assert good.get(check.scale, 0) == check.good_line
            last[check.scale] = entry.seq
            if check.is_fit:
                good[check.scale] = entry.seq
        elif entry.kind is Kind.RUN_STARTED:
            started = codec.read_run_started(read_body(entry.body))
            if TYPED not in started.scale:
                known = started.last_check

                assert last.get(started.scale_identity) == (known.line if known else None)
    assert sum(isinstance(fact, ScaleTried) and not fact.is_fit for fact in FACTS) == 1

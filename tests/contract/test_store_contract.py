"""One suite for every store: what one of them does, all do."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import JournalError, SequenceError
from weighstation.events import LiftedTurned, Piece, TookFor, Verdict, Voided
from weighstation.journal import (
    BakedLoaf,
    Head,
    Kind,
    Line,
    PieceFacts,
    RunStarted,
    Sums,
    TallyKey,
    Why,
    baked,
    codec,
    facts,
    imported,
)
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.stores import MemoryStore, Store, open_for_writing, run_chain

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

JOURNAL_ID = "0123456789abcdef" * 2


@pytest.fixture(params=["memory", "sqlite"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    made: Store
    if request.param == "memory":
        made = MemoryStore(journal_id=JOURNAL_ID, station="bench-1")
    else:
        made = open_for_writing(tmp_path / "j.sqlite", journal_id=JOURNAL_ID, station="bench-1")
    yield made
    made.close()


def promised(run: str = "r1", continues: str = "") -> RunStarted:
    return RunStarted(
        run=run,
        product=Product("Rye", Limits(740_000, 8000, 8000)),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="simulated://?seed=1",
        software="0.1.0",
        division_mg=1000,
        continues=continues,
    )


def started(run: str = "r1", continues: str = "") -> Line:
    return Line(Kind.RUN_STARTED, codec.run_started(promised(run, continues)), 0)


def piece(number: int, final_mg: int = 741_000) -> Piece:
    verdict = Verdict.KEEP if abs(final_mg - 740_000) <= 8000 else Verdict.TRIM
    return Piece(number, number * 10.0, number * 10.0 - 4.0, 752_000, final_mg, 1, verdict)


def kept(what: Piece, run: str = "r1") -> Line:
    return Line(Kind.PIECE_KEPT, codec.piece_kept(run, what, dough_t_s=0.0), 1000)


def voided(what: Piece, run: str = "r1") -> Line:
    return Line(Kind.VOIDED, codec.voided(run, Voided(99.0, what, "floor"), dough_t_s=0.0), 2000)


def ended(run: str = "r1", why: Why = Why.DONE) -> Line:
    return Line(Kind.RUN_ENDED, codec.run_ended(run, why), 3000)


def write(store: Store, *lines: Line) -> None:
    for line in lines:
        store.append(line)


def test_a_new_store_begins_with_its_id(store: Store) -> None:
    assert Head(0, JOURNAL_ID) == store.head()
    assert (JOURNAL_ID, "bench-1") == (store.journal_id, store.station)
    assert [] == list(store.entries())
    assert Head(0, JOURNAL_ID) == store.verify()


def test_lines_are_numbered_from_one_without_gaps(store: Store) -> None:
    write(store, started(), kept(piece(1)), ended())

    assert [1, 2, 3] == [entry.seq for entry in store.entries()]
    assert [2, 3] == [entry.seq for entry in store.entries(2)]


def test_what_append_returns_is_what_is_read(store: Store) -> None:
    returned = [store.append(line) for line in (started(), kept(piece(1)), ended())]

    assert returned == list(store.entries())
    assert Head(3, returned[-1].digest) == store.head() == store.verify()


def test_the_same_lines_give_the_same_digest_in_every_store(store: Store) -> None:
    """A replay in memory and a bench's file can be laid side by side."""
    write(store, started(), kept(piece(1)), kept(piece(2)), voided(piece(2)), ended())

    assert "ff8c68a2c55f455b516b77fc663a2eae4b2abf4785a7030c19eacf154659e21f" == store.head().digest


@pytest.mark.parametrize(
    "line",
    [kept(piece(1), run="r9"), ended("r9"), voided(piece(1), "r9"), started(), kept(piece(1))],
)
def test_a_refused_line_leaves_nothing_behind(store: Store, line: Line) -> None:
    write(store, started(), kept(piece(1)))
    head, dump = store.head(), list(store.dump())

    with pytest.raises(SequenceError):
        store.append(line)

    assert head == store.head() == store.verify()
    assert dump == list(store.dump())
    assert store.append(kept(piece(2))).seq == 3


def test_a_body_with_a_float_is_refused_and_leaves_nothing_behind(store: Store) -> None:
    bad: Line = Line(Kind.NOTED, {"about": 1, "grams": 1.5}, 0)  # type: ignore[dict-item]

    with pytest.raises(JournalError, match="integers and text only"):
        store.append(bad)

    assert Head(0, JOURNAL_ID) == store.head()


def test_pieces_are_those_that_count_by_number(store: Store) -> None:
    write(store, started(), kept(piece(2)), kept(piece(1)), kept(piece(3)), voided(piece(2)))

    assert [1, 3] == [fact.number for fact in store.pieces("r1")]
    assert (
        PieceFacts(1, 752_000, 741_000, 1, 4000, 6000, Verdict.KEEP, 6000)
        == (store.pieces("r1")[0])
    )
    assert store.pieces("r9") == ()


def test_turning_a_lifted_piece_round_moves_pieces_and_totals(store: Store) -> None:
    heavy, fresh, whole = piece(1, 752_000), piece(2), piece(1, 741_000)
    event = LiftedTurned(50.0, 1, TookFor.CAME_BACK, removes=(heavy, fresh), adds=(whole,))
    back = LiftedTurned(60.0, 1, TookFor.BOARDED, removes=(whole,), adds=(heavy, fresh))
    write(store, started(), kept(heavy), kept(fresh))
    apart = store.pieces("r1")
    write(store, Line(Kind.LIFTED_TURNED, codec.lifted_turned("r1", event, dough_t_s=0.0), 5000))
    joined = store.pieces("r1")
    write(store, Line(Kind.LIFTED_TURNED, codec.lifted_turned("r1", back, dough_t_s=0.0), 6000))

    assert (facts(whole, dough_t_s=0.0),) == joined
    assert apart == store.pieces("r1")
    assert {
        TallyKey(0, Verdict.TRIM, 12): Sums(1, 12_000, 144_000_000, 12_000),
        TallyKey(0, Verdict.KEEP, 1): Sums(1, 1000, 1_000_000, 1000),
    } == store.tally("r1")
    assert store.verify().seq == 5


def test_an_emptied_cell_leaves_the_tally(store: Store) -> None:
    write(store, started(), kept(piece(1)), voided(piece(1)))

    assert {} == store.tally("r1")
    assert {} == store.tally("r9")


def test_an_open_run_is_found_until_it_ends(store: Store) -> None:
    assert store.open_run() is None
    assert store.last_run() is None

    write(store, started(), kept(piece(1)))
    found = store.open_run()

    assert found is not None
    assert ("r1", 1) == (found.run, found.kept.n)

    write(store, ended(why=Why.INTERRUPTED))
    last = store.last_run()

    assert store.open_run() is None
    assert last is not None
    assert ("r1", "interrupted") == (last.run, last.ended)


def test_a_run_says_what_it_promised(store: Store) -> None:
    write(store, started(), kept(piece(1)))

    assert promised() == store.started("r1")
    with pytest.raises(SequenceError, match="no run 'r9'"):
        store.started("r9")


def test_a_batch_is_a_run_and_the_ones_it_goes_on_with(store: Store) -> None:
    write(store, started(), kept(piece(1)), ended(why=Why.INTERRUPTED))
    write(store, started("x"), ended("x"))
    write(store, started("r2", continues="r1"), kept(piece(2), "r2"))

    assert ["r1", "r2"] == [state.run for state in run_chain(store, "r2")]
    assert ["r1"] == [state.run for state in run_chain(store, "r1")]
    assert ["r1", "x", "r2"] == [state.run for state in store.runs()]
    with pytest.raises(SequenceError, match="no run 'r9'"):
        run_chain(store, "r9")


def test_rebuilding_gives_the_same_dump(store: Store) -> None:
    write(store, started(), kept(piece(1)), kept(piece(2, 752_000)), voided(piece(1)), ended())
    write(store, started("r2"), kept(piece(1), "r2"))
    dump = list(store.dump())

    store.rebuild()

    assert dump == list(store.dump())
    assert len(dump) == 4
    write(store, kept(piece(2), "r2"))
    assert store.verify().seq == 8


def test_a_checkpoint_changes_nothing(store: Store) -> None:
    write(store, started())
    for number in range(1, 70):
        write(store, kept(piece(number)))
    head = store.head()

    store.checkpoint()

    assert head == store.head() == store.verify()


def test_checks_of_the_scale_come_newest_first(store: Store) -> None:
    """They belong to no run, and neither do notes: these are left out."""
    store.append(Line(Kind.SCALE_CHECKED, {"verdict": "fit"}, 1000))
    store.append(started())
    store.append(Line(Kind.NOTED, codec.noted(1, "dusty"), 2000))
    store.append(Line(Kind.SCALE_CHECKED, {"verdict": "unfit"}, 3000))

    assert [4, 1] == [entry.seq for entry in store.scale_checks()]
    assert [1] == [entry.seq for entry in store.scale_checks(before=4)]
    assert [1, 4] == [entry.seq for entry in store.scale_checks_after(0)]
    assert [4] == [entry.seq for entry in store.scale_checks_after(1)]
    assert [] == [entry.seq for entry in store.scale_checks_after(4)]
    assert [3] == [entry.seq for entry in store.notes()]


def test_lines_of_baked_loaves_come_oldest_first(store: Store) -> None:
    store.append(Line(Kind.BAKED, {"batch": "r1", "number": 1}, 1000))
    store.append(started())
    store.append(Line(Kind.SCALE_CHECKED, {"verdict": "fit"}, 2000))
    store.append(Line(Kind.BAKED, {"batch": "r1", "number": 2}, 3000))

    assert [1, 4] == [entry.seq for entry in store.loaf_lines()]
    assert store.verify().seq == 4


def test_lines_are_written_all_or_none(store: Store) -> None:
    write(store, started())
    with pytest.raises(SequenceError):
        store.append_all((kept(piece(1)), kept(piece(2)), kept(piece(1))))

    assert () == store.pieces("r1")
    assert (1, 1) == (store.head().seq, store.verify().seq)

    written = store.append_all((kept(piece(1)), kept(piece(2)), voided(piece(1))))

    assert 3 == written
    assert [1, 2, 3, 4] == [entry.seq for entry in store.entries()]
    assert [2] == [each.number for each in store.pieces("r1")]
    assert 4 == store.verify().seq


def test_runs_are_found_newest_first(store: Store) -> None:
    write(store, started("r1"), ended("r1"), started("r2"), ended("r2"), started("r3"))

    assert ["r3", "r2", "r1"] == [state.run for state in store.newest_runs()]
    assert list(store.newest_runs()) == list(reversed(store.runs()))


def test_runs_are_found_by_when_they_began(store: Store) -> None:
    """A run whose lines were written later belongs to the time that it tells of."""
    late = replace(promised("r3"), began_utc_ms=500)
    write(store, Line(Kind.RUN_STARTED, codec.run_started(promised("r1")), 1000), ended("r1"))
    write(store, Line(Kind.RUN_STARTED, codec.run_started(promised("r2")), 2000), ended("r2"))
    write(store, Line(Kind.RUN_STARTED, codec.run_started(late), 9000))

    assert ["r3", "r1"] == [run.run for run in store.runs_begun(500, 2000)]
    assert ["r2"] == [run.run for run in store.runs_begun(1001, 2001)]


def test_all_lines_of_a_run_are_found_late_ones_too(store: Store) -> None:
    write(store, started("r1"), started("r2"), kept(piece(1)), kept(piece(1), "r2"), ended("r1"))
    write(store, voided(piece(1)))

    assert [1, 3, 5, 6] == [entry.seq for entry in store.run_lines("r1")]


def test_loaves_are_found_by_their_batch(store: Store) -> None:
    loaves = [
        BakedLoaf(batch, "Rye", n, 650_000, "simulated://", "", "0.1.0")
        for n, batch in enumerate(["r1", "r2", "r1"], 1)
    ]
    write(store, *(Line(Kind.BAKED, baked(loaf), 0) for loaf in loaves))

    assert [1, 3] == [entry.seq for entry in store.loaf_lines("r1")]
    assert [1, 2, 3] == [entry.seq for entry in store.loaf_lines()]


BARE = PieceFacts(1, None, 741_000, None, None, 0, Verdict.KEEP, None)
FULL = PieceFacts(2, 752_000, 743_000, 1, None, 20_000, Verdict.KEEP, 3_700_000)


def entered(facts_: PieceFacts) -> Line:
    body = imported("r1", facts_, at_utc_ms=1000 + facts_.placed_ms, offset_min=60)
    return Line(Kind.IMPORTED, body, 99_000)


def test_pieces_entered_from_a_file_count_and_say_no_more_than_was_said(store: Store) -> None:
    store.append_all((started(), entered(BARE), entered(FULL), ended()))
    state = store.run("r1")

    assert (BARE, FULL) == store.pieces("r1")
    assert state is not None
    assert (2, 1, 1, True) == (state.kept.n, state.first.n, state.touches, state.is_imported)
    assert {-1, 1} == {key.dough_age_h for key in store.tally("r1")}
    assert store.head() == store.verify()


def test_a_piece_entered_from_a_file_is_struck_out_and_totals_are_made_again(store: Store) -> None:
    store.append_all((started(), entered(BARE), entered(FULL), ended()))
    store.append(Line(Kind.VOIDED, codec.struck_out("r1", BARE, "misread"), 100_000))
    dump = list(store.dump())
    store.rebuild()

    assert (FULL,) == store.pieces("r1")
    assert dump == list(store.dump())
    assert store.head() == store.verify()


def test_a_piece_entered_twice_leaves_nothing_of_its_file_behind(store: Store) -> None:
    with pytest.raises(SequenceError, match="counted already"):
        store.append_all((started(), entered(BARE), entered(BARE)))

    assert (Head(0, JOURNAL_ID), ()) == (store.head(), store.runs())

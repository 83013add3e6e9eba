"""Batches of which loaves were weighed, read back from a store."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import ChainBrokenError
from weighstation.events import Piece, Verdict, Voided
from weighstation.journal import (
    BakedLoaf,
    Body,
    CheckStep,
    HeldAgainst,
    Kind,
    LastCheck,
    Line,
    RunStarted,
    ScaleChecked,
    Why,
    baked,
    baked_struck_out,
    codec,
    scale_checked,
)
from weighstation.plan import oven_loss
from weighstation.report.baked.batch import learned
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.commands.baking.baked import (
    baked_batches,
    loaves_of,
    newest_of,
)
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from datetime import date

    from weighstation.report.baked.batch import BakedBatch, Learned
    from weighstation.station.stores import Store

DAY_MS = 86_400_000
PAN, BREAD = "usb:0403:6001:A1", "tcp://bread"
LOAF = BakedLoaf("r1", "Rye", 1, 652_000, BREAD, BREAD, "0.1.0", 650_000, 1000, 1)
CHECK = ScaleChecked(
    scale=BREAD,
    port=BREAD,
    person="",
    is_fit=True,
    text="Fit.",
    held_against=HeldAgainst("division", "One division.", 1000),
    weights=(),
    steps=(CheckStep("zero", 0),),
    findings=(),
    good_line=0,
    software="0.1.0",
)


class Journal:
    """A store that is written line by line, an hour apart."""

    def __init__(self) -> None:
        self.store = MemoryStore(journal_id="0" * 32, station="bench")
        self.t_ms = DAY_MS

    def write(self, kind: Kind, body: Body) -> int:
        self.t_ms += 3_600_000
        return self.store.append(Line(kind, body, self.t_ms)).seq

    def run(self, run: str, *grams: int, continues: str = "", product: str = "Rye") -> None:
        promise = RunStarted(
            run=run,
            product=Product(product, Limits(740_000, 8000, 8000)),
            way=Way.SINGLE,
            lifted=LiftedPolicy.GUESS,
            scale="serial:///dev/ttyUSB0",
            software="0.1.0",
            continues=continues,
            scale_identity=PAN,
        )
        self.write(Kind.RUN_STARTED, codec.run_started(promise))
        first = 1
        if continues:
            state = self.store.run(continues)
            assert state is not None
            first = state.last_number + 1
        for number, weight in enumerate(grams, start=first):
            piece = Piece(number, 9.0, 5.0, weight * 1000, weight * 1000, 0, Verdict.KEEP)
            self.write(Kind.PIECE_KEPT, codec.piece_kept(run, piece, dough_t_s=0.0))
        self.write(Kind.RUN_ENDED, codec.run_ended(run, Why.DONE))

    def void(self, run: str, number: int, grams: int) -> None:
        piece = Piece(number, 9.0, 5.0, grams * 1000, grams * 1000, 0, Verdict.KEEP)
        body = codec.voided(run, Voided(9.0, piece, "floor"), dough_t_s=0.0)
        self.write(Kind.VOIDED, body)

    def loaves(self, run: str, *loaves: tuple[int, int | None], first: int = 1) -> None:
        for number, (grams, piece) in enumerate(loaves, start=first):
            loaf = replace(LOAF, batch=run, number=number, baked_mg=grams * 1000, piece=piece)
            self.write(Kind.BAKED, baked(loaf))


def every(store: Store) -> tuple[BakedBatch, ...]:
    return baked_batches(store, lambda *_: True, zone=UTC)


def weights(batch: BakedBatch) -> list[tuple[int, float, int | None]]:
    return [(each.loaf.number, each.loaf.baked_mg / 1000, each.loaf.piece) for each in batch.loaves]


def test_a_batch_comes_with_its_pieces_and_its_loaves() -> None:
    journal = Journal()
    journal.run("r1", 741, 739, 744)
    journal.loaves("r1", (652, 1), (650, None))
    (batch,) = every(journal.store)

    assert ("r1", "Rye", DAY_MS + 3_600_000) == (
        batch.batch,
        batch.product.name,
        batch.began_utc_ms,
    )
    assert {1: 741_000, 2: 739_000, 3: 744_000} == batch.raw_mg
    assert [(1, 652.0, 1), (2, 650.0, None)] == weights(batch)


def test_a_batch_without_a_loaf_is_none() -> None:
    journal = Journal()
    journal.run("r1", 741)
    journal.loaves("r1", (652, 1))
    gone = replace(LOAF, baked_mg=652_000)
    journal.write(Kind.BAKED, baked_struck_out(gone, "floor"))

    assert () == every(journal.store)
    assert () == every(Journal().store)


def test_struck_out_loaves_and_pieces_are_left_out() -> None:
    journal = Journal()
    journal.run("r1", 741, 739)
    journal.loaves("r1", (652, 1), (650, 2))
    journal.write(Kind.BAKED, baked_struck_out(LOAF, "floor"))
    journal.void("r1", 2, 739)
    (batch,) = every(journal.store)

    assert {1: 741_000} == batch.raw_mg
    assert [(2, 650.0, 2)] == weights(batch)
    assert ((1, "floor"),) == batch.struck_out


def test_runs_that_go_on_with_each_other_are_one_batch() -> None:
    """Loaves that were weighed before it went on are of it too."""
    journal = Journal()
    journal.run("r1", 741, 739)
    journal.loaves("r1", (652, 1))
    journal.run("x", 741)
    journal.run("r2", 744, continues="r1")
    journal.loaves("r2", (655, 3), first=2)
    (batch,) = every(journal.store)
    loaves, next_number = loaves_of(journal.store, ["r1", "r2"])

    assert {"r1": "r2", "r2": "r2", "x": "x"} == newest_of(journal.store)
    assert ("r2", [1, 2, 3]) == (batch.batch, list(batch.raw_mg))
    assert [(1, 652.0, 1), (2, 655.0, 3)] == weights(batch)
    assert ([("r1", 1), ("r2", 2)], 3) == (list(loaves.counted), next_number)


def test_the_number_of_a_loaf_that_was_struck_out_is_not_given_again() -> None:
    journal = Journal()
    journal.run("r1", 741)
    journal.loaves("r1", (652, 1))
    journal.write(Kind.BAKED, baked_struck_out(LOAF, "floor"))

    assert 2 == loaves_of(journal.store, ["r1"])[1]
    assert 1 == loaves_of(journal.store, ["x"])[1]


def test_only_what_is_wanted_is_read() -> None:
    journal = Journal()
    journal.run("r1", 741)
    journal.loaves("r1", (652, 1))
    journal.t_ms = 10 * DAY_MS
    journal.run("r2", 741, product="Wheat")
    journal.loaves("r2", (650, 1))
    asked: list[tuple[str, str, str]] = []

    def wanted(run: str, name: str, day: date) -> bool:
        asked.append((run, name, day.isoformat()))
        return name == "Wheat"

    found = baked_batches(journal.store, wanted, zone=UTC)

    assert ["r2"] == [batch.batch for batch in found]
    assert [("r1", "Rye", "1970-01-02"), ("r2", "Wheat", "1970-01-11")] == asked


def test_a_failed_check_of_their_scale_makes_loaves_doubtful() -> None:
    """And one that failed before the batch was begun still does; a check of the other does not."""
    journal = Journal()
    journal.write(Kind.SCALE_CHECKED, scale_checked(replace(CHECK, is_fit=False)))
    journal.run("r1", 741, 739)
    journal.loaves("r1", (652, 1))
    journal.write(Kind.SCALE_CHECKED, scale_checked(CHECK))
    journal.loaves("r1", (650, 2), first=2)
    other = replace(CHECK, scale=PAN, port="serial:///dev/ttyUSB0", is_fit=False)
    journal.write(Kind.SCALE_CHECKED, scale_checked(other))
    (batch,) = every(journal.store)

    assert frozenset({1}) == batch.doubtful
    assert frozenset({1, 2}) == batch.doubtful_pieces


def test_a_good_check_before_the_batch_leaves_no_doubt() -> None:
    journal = Journal()
    journal.write(Kind.SCALE_CHECKED, scale_checked(replace(CHECK, is_fit=False)))
    journal.write(Kind.SCALE_CHECKED, scale_checked(CHECK))
    journal.run("r1", 741)
    journal.loaves("r1", (652, 1))

    assert frozenset() == every(journal.store)[0].doubtful


def taught_by(store: Store, product: str) -> Learned:
    """Return what all loaves of a product teach."""
    return learned(baked_batches(store, lambda _, name, day: name == product, zone=UTC))  # noqa: ARG005 - any day


def test_what_a_product_teaches_is_what_the_loss_is_learned_from() -> None:
    journal = Journal()
    journal.run("r1", 741, 739, 744)
    journal.loaves("r1", (652, 1), (650, 2), (655, 3))
    journal.run("r2", 742, 740, 738)
    journal.loaves("r2", (651, None), (653, None))
    journal.run("x", 62, 63, product="Roll")
    journal.loaves("x", (52, 1), (53, 2))
    found = taught_by(journal.store, "Rye")
    loss = oven_loss(found.pairs, batches=found.batches)

    assert ((741.0, 652.0), (739.0, 650.0), (744.0, 655.0)) == found.pairs
    assert (3, 1) == (loss.pairs, loss.batches)
    assert ((62.0, 52.0), (63.0, 53.0)) == taught_by(journal.store, "Roll").pairs
    assert () == taught_by(journal.store, "Cake").pairs


def test_a_loaf_of_a_batch_that_is_not_there_is_said() -> None:
    journal = Journal()
    journal.run("r1", 741)
    journal.loaves("r9", (652, 1))

    with pytest.raises(ChainBrokenError, match="Line 4 is of a batch that is not in the journal"):
        every(journal.store)


def test_a_batch_that_began_unfit_has_doubtful_pieces() -> None:
    """Its first line says so, which reading begins with."""
    journal = Journal()
    promise = RunStarted(
        run="r1",
        product=Product("Rye", Limits(740_000, 8000, 8000)),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="serial:///dev/ttyUSB0",
        software="0.1.0",
        scale_identity=PAN,
        last_check=LastCheck(1, 1, is_fit=False),
    )
    journal.write(Kind.RUN_STARTED, codec.run_started(promise))
    piece = Piece(1, 9.0, 5.0, 741_000, 741_000, 0, Verdict.KEEP)
    journal.write(Kind.PIECE_KEPT, codec.piece_kept("r1", piece, dough_t_s=0.0))
    journal.loaves("r1", (652, 1))

    assert frozenset({1}) == every(journal.store)[0].doubtful_pieces

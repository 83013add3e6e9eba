"""What a journal knows of a product when it is planned."""

from __future__ import annotations

import statistics
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from weighstation.events import Piece, PieceKept, Verdict
from weighstation.journal import RunStarted, Why
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.bench.batch import Batch
from weighstation.station.bench.timeline import VirtualTime
from weighstation.station.commands.planning.history import (
    MOST_BATCHES,
    WEEK_MS,
    history_in,
    history_of,
)
from weighstation.station.commands.shop.home import Home
from weighstation.station.stores import MemoryStore, open_for_writing

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.stores import Store

LOAF = Product("Country loaf", Limits(740_000, 8_000, 8_000))
NOW_MS = 100 * WEEK_MS
PROMISE = RunStarted(
    run="",
    product=LOAF,
    way=Way.SINGLE,
    lifted=LiftedPolicy.GUESS,
    scale="serial:///dev/ttyUSB0",
    software="test",
    division_mg=1000,
)


def divided(
    store: Store, run: str, weights_g: list[float], *, ago_ms: int = 0, **more: object
) -> None:
    """Write a run with these kept pieces."""
    promise = replace(PROMISE, run=run, **more)  # type: ignore[arg-type]
    batch = Batch(promise, VirtualTime(NOW_MS - ago_ms))
    for number, grams in enumerate(weights_g, 1):
        mg = round(grams * 1000)
        kept = PieceKept(Piece(number, 1.0, 1.0, mg, mg, 0, Verdict.KEEP))
        for line in batch.lines(kept, 1.0):
            store.append(line)
    for line in batch.end(Why.DONE, 2.0):
        store.append(line)


@pytest.fixture
def store() -> MemoryStore:
    return MemoryStore(journal_id="0" * 32, station="bench")


def test_the_spread_is_that_of_the_kept_pieces_within_batches(store: MemoryStore) -> None:
    """Pooled about each batch's own mean, held against the standard library."""
    first, second = [738.0, 740.0, 744.0] * 8, [741.0, 742.0, 747.0] * 8
    divided(store, "r1", first)
    divided(store, "r2", second)
    bench = history_in(store, LOAF, now_utc_ms=NOW_MS).bench
    pooled = (statistics.variance(first) + statistics.variance(second)) / 2

    assert (2, 48, 24) == (bench.batches, bench.pieces, bench.batch_size)
    assert pooled**0.5 == pytest.approx(bench.sd_g)
    assert 2 == pytest.approx(bench.off_g)
    between = statistics.variance([statistics.mean(first), statistics.mean(second)]) - pooled / 24
    assert between**0.5 == pytest.approx(bench.wander_g)


def test_a_batch_that_was_gone_on_with_is_one(store: MemoryStore) -> None:
    divided(store, "r1", [740.0] * 20)
    divided(store, "r2", [741.0] * 28, continues="r1")
    bench = history_in(store, LOAF, now_utc_ms=NOW_MS).bench

    assert (1, 48, 48) == (bench.batches, bench.pieces, bench.batch_size)


def test_other_products_and_other_weights_do_not_count(store: MemoryStore) -> None:
    divided(store, "r1", [60.0] * 30, product=Product("Roll", Limits(60_000, 2_000, 2_000)))
    divided(store, "r2", [400.0] * 30, product=replace(LOAF, limits=Limits(400_000, 8_000, 8_000)))
    divided(store, "r3", [735.0] * 30, product=replace(LOAF, limits=Limits(735_000, 8_000, 8_000)))
    found = history_in(store, LOAF, now_utc_ms=NOW_MS)

    assert (1, 30, 0.0) == (found.bench.batches, found.bench.pieces, found.bench.off_g)
    assert 60 == found.week_pieces


def test_only_the_newest_batches_count(store: MemoryStore) -> None:
    for number in range(MOST_BATCHES + 3):
        divided(store, f"r{number}", [740.0] * 2)

    assert MOST_BATCHES == history_in(store, LOAF, now_utc_ms=NOW_MS).bench.batches


def test_a_week_is_the_last_seven_days(store: MemoryStore) -> None:
    divided(store, "r1", [740.0] * 5, ago_ms=WEEK_MS + 60_000)
    divided(store, "r2", [740.0] * 7, ago_ms=WEEK_MS - 60_000)
    divided(store, "r3", [740.0] * 9)

    assert 16 == history_in(store, LOAF, now_utc_ms=NOW_MS).week_pieces


def test_what_stood_for_a_scale_is_counted(store: MemoryStore) -> None:
    divided(store, "r1", [740.0] * 5)
    divided(store, "r2", [740.0] * 5, scale="simulated://?seed=1")
    divided(store, "r3", [740.0] * 5, division_mg=500)
    found = history_in(store, LOAF, now_utc_ms=NOW_MS)

    assert (1, 500) == (found.stand_ins, found.division_mg)
    assert found.as_of.startswith("as of line 21, head ")


def test_without_a_journal_nothing_is_known(tmp_path: Path) -> None:
    found = history_of(Home(tmp_path), LOAF, now_utc_ms=NOW_MS)

    assert (0, 0, "") == (found.bench.batches, found.week_pieces, found.as_of)
    assert found.bench.measured is None


def test_a_journal_on_disk_is_read(tmp_path: Path) -> None:
    home = Home(tmp_path)
    store = open_for_writing(home.journal_path, journal_id="0" * 32, station="bench")
    divided(store, "r1", [740.0, 742.0] * 20)
    store.close()

    assert 40 == history_of(home, LOAF, now_utc_ms=NOW_MS).bench.pieces

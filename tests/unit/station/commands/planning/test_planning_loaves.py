"""What baked loaves on record teach when a product is planned."""

from __future__ import annotations

import statistics
from dataclasses import replace

import pytest

from weighstation.errors import ChainBrokenError
from weighstation.events import Piece, Verdict
from weighstation.journal import BakedLoaf, Body, Kind, Line, RunStarted, Why, baked, codec
from weighstation.plan import LossLaw
from weighstation.specification import LiftedPolicy, Limits, LossBasis, Product, StageLosses, Way
from weighstation.station.commands.planning.history import history_in
from weighstation.station.commands.planning.loaves import MOST_BATCHES, SEASON_MS, loaves_in
from weighstation.station.stores import MemoryStore, Store

LOAF = Product(
    "Rye", Limits(909_000, 20_000, 20_000), losses=StageLosses(LossBasis.DOUGH, oven_pct=12)
)
NOW_MS = 400 * 86_400_000
HOUR_MS, DAY_MS = 3_600_000, 86_400_000


class Week:
    """A store with batches that were divided and baked."""

    def __init__(self) -> None:
        self.store: Store = MemoryStore(journal_id="0" * 32, station="bench")

    def _write(self, kind: Kind, body: Body, t_ms: int) -> None:
        self.store.append(Line(kind, body, t_ms))

    def batch(
        self,
        run: str,
        pairs: list[tuple[float, float]],
        *,
        product: Product = LOAF,
        ago_days: int = 0,
        out_ms: int | None = HOUR_MS,
        marked: bool = True,
    ) -> None:
        t_ms = NOW_MS - ago_days * DAY_MS
        promise = RunStarted(
            run=run,
            product=product,
            way=Way.SINGLE,
            lifted=LiftedPolicy.GUESS,
            scale="serial:///dev/ttyUSB0",
            software="test",
        )
        self._write(Kind.RUN_STARTED, codec.run_started(promise), t_ms)
        for number, (raw_g, _) in enumerate(pairs, 1):
            mg = round(raw_g * 1000)
            piece = Piece(number, 9.0, 5.0, mg, mg, 0, Verdict.KEEP)
            self._write(Kind.PIECE_KEPT, codec.piece_kept(run, piece, dough_t_s=0.0), t_ms)
        self._write(Kind.RUN_ENDED, codec.run_ended(run, Why.DONE), t_ms)
        for number, (_, baked_g) in enumerate(pairs, 1):
            loaf = BakedLoaf(
                run,
                product.name,
                number,
                round(baked_g * 1000),
                "tcp://bread",
                "tcp://bread",
                "test",
                piece=number if marked else None,
                out_of_oven_ms=out_ms,
            )
            self._write(Kind.BAKED, baked(loaf), t_ms + HOUR_MS)


def pairs_of(*baked_g: float, raw_g: float = 909.0) -> list[tuple[float, float]]:
    return [(raw_g, each) for each in baked_g]


@pytest.fixture
def week() -> Week:
    return Week()


def test_without_loaves_nothing_is_taught(week: Week) -> None:
    found = loaves_in(week.store, LOAF, now_utc_ms=NOW_MS)

    assert (None, None) == (found.own, found.spread)


def test_five_marked_loaves_decide_over_the_stages(week: Week) -> None:
    week.batch("r1", pairs_of(796, 802, 801, 800, 799))
    loss = history_in(week.store, LOAF, now_utc_ms=NOW_MS).loss

    assert LossLaw.RATIO is loss.law
    assert 909 * 800 / 799.6 == pytest.approx(loss.scaling_g(800)[0])


def test_four_do_not(week: Week) -> None:
    week.batch("r1", pairs_of(796, 802, 801, 800))
    loss = history_in(week.store, LOAF, now_utc_ms=NOW_MS).loss

    assert loss.own is not None
    assert LossLaw.STAGES is loss.law


def test_other_products_and_other_seasons_teach_nothing(week: Week) -> None:
    week.batch("r1", pairs_of(*range(796, 802)), ago_days=SEASON_MS // DAY_MS + 1)
    week.batch("r2", pairs_of(*range(796, 802)), product=replace(LOAF, name="Wheat"))

    assert None is loaves_in(week.store, LOAF, now_utc_ms=NOW_MS).own


def test_the_batches_that_were_baked_last_teach(week: Week) -> None:
    for number in range(MOST_BATCHES + 3):
        week.batch(f"r{number}", pairs_of(796, 800), ago_days=50 - number)
    own = loaves_in(week.store, LOAF, now_utc_ms=NOW_MS).own

    assert own is not None
    assert 2 * MOST_BATCHES == own.pairs


def test_the_spread_is_that_of_loaves_within_their_batches(week: Week) -> None:
    """Pooled about each batch's own mean, held against the standard library."""
    first, second = [795.0, 799.0, 804.0, 802.0] * 5, [801.0, 805.0, 808.0, 806.0] * 5
    week.batch("r1", pairs_of(*first))
    week.batch("r2", pairs_of(*second), marked=False)
    spread = loaves_in(week.store, LOAF, now_utc_ms=NOW_MS).spread
    pooled = (statistics.variance(first) + statistics.variance(second)) / 2

    assert spread is not None
    assert (2, 40) == (spread.batches, spread.n)
    assert pooled**0.5 == pytest.approx(spread.sd_g)
    between = statistics.variance([statistics.mean(first), statistics.mean(second)]) - pooled / 20
    assert between**0.5 == pytest.approx(spread.wander_g)


def test_a_scaling_weight_that_was_set_otherwise_is_no_wander(week: Week) -> None:
    """10 g more of dough are 8.8 g more of bread at a ratio of 0.88."""
    heavier = replace(LOAF, limits=replace(LOAF.limits, target_mg=919_000))
    raw = [(909.0, 0.88 * 909 + off) for off in (-3.0, 3.0) * 10]
    week.batch("r1", raw)
    week.batch("r2", [(919.0, baked_g + 8.8) for _, baked_g in raw], product=heavier)
    spread = loaves_in(week.store, LOAF, now_utc_ms=NOW_MS).spread

    assert spread is not None
    assert 0.0 == spread.wander_g


def test_loaves_of_no_known_hour_have_no_spread_but_teach_the_loss(week: Week) -> None:
    week.batch("r1", pairs_of(*[796.0, 802.0] * 20), out_ms=None)
    found = loaves_in(week.store, LOAF, now_utc_ms=NOW_MS)

    assert None is found.spread
    assert found.own is not None


def test_lines_that_do_not_hold_teach_nothing(week: Week) -> None:
    week.batch("r1", pairs_of(796, 802))
    loaf = BakedLoaf("r9", "Rye", 1, 800_000, "tcp://bread", "tcp://bread", "test")
    week.store.append(Line(Kind.BAKED, baked(loaf), NOW_MS))

    with pytest.raises(ChainBrokenError, match="of a batch that is not in the journal"):
        history_in(week.store, LOAF, now_utc_ms=NOW_MS)

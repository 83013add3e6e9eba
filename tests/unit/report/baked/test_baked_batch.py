"""Weights at one hour, and what loaves teach about the oven."""

from __future__ import annotations

from dataclasses import replace

import pytest
from report.baked.baked_loaves import batch_of, marked

from weighstation.errors import SpecificationError
from weighstation.monitor import Moments
from weighstation.plan import oven_loss
from weighstation.report.baked.batch import BakedBatch, learned

RAW = (910.0, 905.0, 912.0, 908.0, 907.0)
BAKED = (802.0, 795.0, 799.0, 800.0, 798.0)


@pytest.mark.parametrize("minutes", [55.0, 60.0, 65.0])
def test_about_one_hour_a_weight_counts_as_it_is(minutes: float) -> None:
    batch = batch_of(RAW, BAKED, minutes=minutes)

    assert batch.is_at_one_hour
    assert BAKED == batch.one_hour_g(None) == batch.one_hour_g(0.016)


def test_before_it_is_scaled_where_the_cooling_is_known() -> None:
    """By hand: 1.6 % in the first hour, a quarter of an hour of it gone: 0.984 / 0.996."""
    batch = batch_of(RAW, BAKED, minutes=15)

    assert [g * 0.984 / 0.996 for g in BAKED] == pytest.approx(batch.one_hour_g(0.016))
    assert not batch.is_at_one_hour


@pytest.mark.parametrize(
    ("minutes", "cooling", "said"),
    [
        (15.0, None, "15 minutes out of the oven, and what they lose until"),
        (70.0, 0.016, "70 minutes cannot be turned into that"),
        (None, 0.016, "Nobody said when loaf 1 left the oven"),
    ],
)
def test_otherwise_it_is_refused_and_the_weights_stay_as_they_were(
    minutes: float | None, cooling: float | None, said: str
) -> None:
    batch = batch_of(RAW, BAKED, minutes=minutes)

    with pytest.raises(SpecificationError, match=said):
        batch.one_hour_g(cooling)
    assert BAKED == batch.best_g(cooling)


def test_one_loaf_without_a_time_leaves_none_for_the_batch() -> None:
    batch = batch_of(RAW[:2], BAKED[:2], minutes=[60.0, None])

    assert batch.minutes is None
    assert not batch.is_at_one_hour


def test_marked_loaves_are_pairs_with_their_own_pieces() -> None:
    batch = batch_of(RAW, BAKED[:3], pieces=[5, 1, 3])

    assert ((907.0, 802.0), (910.0, 795.0), (912.0, 799.0)) == learned([batch]).pairs


def test_loaves_without_marks_are_held_against_the_pieces_that_no_marked_loaf_was() -> None:
    """The marked ones would count twice, and hide how pieces vary."""
    batch = batch_of(RAW, BAKED, pieces=[1, 2, None, None, None])
    found = learned([batch])

    assert ((910.0, 802.0), (905.0, 795.0)) == found.pairs
    assert [(Moments.of(RAW[2:]), Moments.of(BAKED[2:]))] == [
        (each.raw, each.baked) for each in found.batches
    ]


def test_one_marked_loaf_alone_counts_with_the_others() -> None:
    """A pair by itself says nothing of how loaves vary, and would bar all the rest."""
    one = batch_of(RAW, BAKED, pieces=[1, None, None, None, None])
    two = batch_of(RAW, BAKED, name="r2")
    alone, together = learned([one, two]), learned([one, marked(RAW, BAKED, name="r2")])

    assert ((), 2) == (alone.pairs, len(alone.batches))
    assert (6, 1) == (len(together.pairs), len(together.batches))
    assert Moments.of(BAKED) == alone.batches[0].baked


def test_doubtful_pieces_and_loaves_teach_nothing() -> None:
    batch = replace(marked(RAW, BAKED), doubtful=frozenset({1}), doubtful_pieces=frozenset({5}))
    found = learned([batch])

    assert ((905.0, 795.0), (912.0, 799.0), (908.0, 800.0)) == found.pairs
    assert ("1 doubtful of batch r1.",) == found.left_out


def test_a_piece_that_was_struck_out_since_leaves_no_pair() -> None:
    batch = batch_of(RAW[:4], BAKED, pieces=[1, 2, 3, 4, 5])

    assert 4 == len(learned([batch]).pairs)


def test_a_pair_that_cannot_be_is_left_out_and_said() -> None:
    """900 g of dough hold at least 360 g of flour; one such pair would refuse all others."""
    batch = marked((*RAW, 900.0), (*BAKED, 310.0))
    found = learned([batch])

    assert 5 == len(found.pairs)
    assert (
        "Loaf 6 of batch r1: 310 g of bread are less than the flour in 900 g of dough.",
    ) == found.left_out
    assert oven_loss(found.pairs).pairs == 5


def test_a_batch_that_cannot_be_is_left_out_and_said() -> None:
    batch = batch_of((500.0, 501.0), (640.0, 641.0))

    found = learned([batch])

    assert () == found.batches
    assert (
        "The loaves without marks of batch r1: 640.5 g of bread are not less" in found.left_out[0]
    )


def test_weights_are_taken_at_one_hour_where_that_can_be_said() -> None:
    batch = marked(RAW, BAKED, minutes=15)

    assert BAKED == tuple(baked for _, baked in learned([batch]).pairs)
    assert [g * 0.984 / 0.996 for g in BAKED] == pytest.approx(
        [baked for _, baked in learned([batch], cooling_loss_per_h=0.016).pairs]
    )


def test_nothing_teaches_nothing() -> None:
    few: BakedBatch = batch_of(RAW, BAKED[:1])

    assert ((), ()) == (learned([few]).pairs, learned([few]).batches)
    assert ((), ()) == (learned([]).pairs, learned([]).batches)

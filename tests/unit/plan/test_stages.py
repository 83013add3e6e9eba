"""Losses of a product, parted at the bench."""

from __future__ import annotations

import pytest

from weighstation.plan import Loss, Stages, stages_of
from weighstation.specification import Limits, LossBasis, Product, StageLosses

LIMITS = Limits(909_000, 9_000, 9_000)


def test_what_is_lost_before_the_bench_is_parted_from_what_is_lost_after_it() -> None:
    said = StageLosses(
        LossBasis.DOUGH,
        fermentation_pct=1,
        handling_pct=0.5,
        oven_pct=10.5,
        cooling_pct=1.5,
        shelf_pct=1,
    )
    found = stages_of(Product("Loaf", LIMITS, losses=said))

    assert (Loss(0.01, "fermentation"), Loss(0.005, "handling")) == found.bench
    assert ["oven", "cooling", "shelf"] == [loss.stage for loss in found.loaf]


def test_percent_of_the_bread_is_turned_into_percent_of_the_dough() -> None:
    """65 g for 500 g of bread are 11.50 % of the dough: a / (1 + a), own arithmetic; the range of
    50 to 65 g is a textbook's, read in excerpts.
    """
    said = StageLosses(LossBasis.BREAD, oven_pct=100 * 65 / 500)
    (oven,) = stages_of(Product("Loaf", LIMITS, losses=said)).loaf

    assert 0.1150 == pytest.approx(oven.of_dough, abs=5e-5)
    assert 65 / 500 == pytest.approx(oven.of_bread)


def test_where_nothing_was_said_nothing_is_lost() -> None:
    assert Stages() == stages_of(Product("Loaf", LIMITS))

"""What no offer at the bench goes below."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from weighstation.specification import Limits, LossBasis, Product, StageLosses
from weighstation.station.commands.planning.bench_floor import BenchFloor, bench_floor
from weighstation.station.commands.shop.home import Home
from weighstation.station.stores import MemoryStore

HOME = Home(Path("nowhere"))
LOAF = Product(
    "Loaf",
    Limits(740_000, 8_000, 8_000),
    declared_mg=645_000,
    losses=StageLosses(LossBasis.DOUGH, oven_pct=12),
)


@pytest.fixture
def store() -> MemoryStore:
    return MemoryStore(journal_id="0" * 32, station="bench")


def test_the_floor_is_the_declared_weight_through_the_loss(store: MemoryStore) -> None:
    """645 g at 12 % take 733.0 g, own arithmetic; without batches the mean of the long run asks."""
    found = bench_floor(LOAF, store, HOME)

    assert 732.95 == pytest.approx(found.floor_g, abs=0.005)
    assert "" == found.said


@pytest.mark.parametrize("product", [replace(LOAF, declared_mg=None), replace(LOAF, losses=None)])
def test_where_too_little_is_said_there_is_none(store: MemoryStore, product: Product) -> None:
    assert BenchFloor() == bench_floor(product, store, HOME)


@pytest.mark.parametrize("target_mg", range(350_000, 900_000, 12_025))
def test_a_target_that_is_just_enough_is_not_too_light(store: MemoryStore, target_mg: int) -> None:
    """What 88 % of it leave is declared, exactly."""
    limits = Limits(target_mg, 8_000, 8_000)
    product = replace(LOAF, declared_mg=target_mg * 22 // 25, limits=limits)

    assert "" == bench_floor(product, store, HOME).said


def test_a_target_below_it_is_said(store: MemoryStore) -> None:
    found = bench_floor(replace(LOAF, declared_mg=660_000), store, HOME)

    assert found.said.startswith("740 g is lighter than the 750.0 g that 660 g declared asks for")


def test_a_rule_that_cannot_be_read_lets_nothing_be_offered(store: MemoryStore) -> None:
    found = bench_floor(replace(LOAF, quantity_rule="ours.toml"), store, HOME)

    assert math.inf == found.floor_g
    assert "ours.toml cannot be read" in found.said

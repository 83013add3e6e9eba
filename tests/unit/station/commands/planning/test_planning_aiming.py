"""The scaling weight of a product, by what is known of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from weighstation.errors import SpecificationError
from weighstation.plan import (
    BatchSpread,
    Evenness,
    KnownLoss,
    Loss,
    LossLaw,
    bench_spread,
    oven_loss,
)
from weighstation.quantity import published_rule
from weighstation.specification import Limits, LossBasis, Product, StageLosses
from weighstation.station.commands.planning.aiming import Aiming, floor_g
from weighstation.station.commands.planning.history import History
from weighstation.station.commands.shop.home import Home

HOME = Home(Path("nowhere"))
RULE = published_rule("eu-76-211")
LOAF = Product(
    "Loaf",
    Limits(909_000, 0, 0),
    declared_mg=800_000,
    losses=StageLosses(LossBasis.DOUGH, oven_pct=12),
)
STAGES = (Loss(0.12, "oven"),)
OWN = oven_loss([(905, 796), (910, 802), (907, 801), (912, 800), (908, 799)])


def known(loss: KnownLoss, loaves: BatchSpread | None = None) -> History:
    return History(bench_spread([], band_g=0), loss, loaves)


def test_the_own_loss_decides_where_it_was_learned() -> None:
    aiming = Aiming(LOAF, 800, RULE, known(KnownLoss(OWN, STAGES)))

    assert LossLaw.RATIO is aiming.target().law


def test_for_another_weight_the_stages_are_taken() -> None:
    """400 g at 12 % take 454.5 g (own arithmetic), far from pieces of 905 to 912 g."""
    aiming = Aiming(LOAF, 400, RULE, known(KnownLoss(OWN, STAGES)))

    assert LossLaw.STAGES is aiming.target().law
    assert 454.5 == pytest.approx(aiming.target().least_scaling_g, abs=0.05)


def test_without_stages_another_weight_is_refused() -> None:
    with pytest.raises(SpecificationError, match="outside the 905 to 912 g"):
        Aiming(LOAF, 400, RULE, known(KnownLoss(OWN))).target()


def test_a_number_that_makes_no_sense_is_refused_by_either_law() -> None:
    for loss in (KnownLoss(OWN, STAGES), KnownLoss(stages=STAGES)):
        with pytest.raises(SpecificationError, match="A risk is from"):
            Aiming(LOAF, 800, RULE, known(loss), risk=0.9).target()


def test_loaves_that_were_weighed_say_how_they_vary_unless_somebody_says_otherwise() -> None:
    weighed = known(KnownLoss(stages=STAGES), BatchSpread(3, 60, 6.0, 2.0))
    said = Aiming(LOAF, 800, RULE, weighed, oven_sd_g=4.0, batch_size=48)

    assert Evenness(6.0, 48, 2.0) == Aiming(LOAF, 800, RULE, weighed, batch_size=48).evenness
    assert Evenness(4.0, 48, 0.0) == said.evenness


def test_nothing_known_is_refused_and_has_no_floor() -> None:
    nothing = known(KnownLoss())

    with pytest.raises(SpecificationError, match="Nothing says what 'Loaf' loses"):
        Aiming(LOAF, 800, RULE, nothing).target()
    assert 0.0 == floor_g(LOAF, HOME, nothing)
    assert 0.0 == floor_g(replace(LOAF, declared_mg=None), HOME, known(KnownLoss(OWN)))


def test_a_floor_is_what_the_declared_weight_takes() -> None:
    assert 909.090909 == floor_g(LOAF, HOME, known(KnownLoss(stages=STAGES)))

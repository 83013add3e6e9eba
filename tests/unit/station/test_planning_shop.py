"""What a shop knows of its products when it plans."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.errors import SpecificationError
from weighstation.plan import LossLaw
from weighstation.specification import Limits, LossBasis, Product, StageLosses
from weighstation.station.commands.planning.shop import (
    by_dough,
    changeovers,
    dough_of,
    known_loss,
    require_losses,
)
from weighstation.station.commands.planning.words import Asked

LOAF = Product("Loaf", Limits(909_000, 9_000, 9_000), dough="white")
ROLL = Product("Roll", Limits(60_000, 2_000, 2_000), dough="White")
RYE = Product("Rye", Limits(900_000, 9_000, 9_000))


def test_products_share_a_dough_by_its_name_and_the_largest_comes_first() -> None:
    asked = [Asked(product, 1) for product in (ROLL, RYE, LOAF)]

    assert [["Loaf", "Roll"], ["Rye"]] == [
        [each.product.name for each in group] for group in by_dough(asked)
    ]
    assert ("white", "Rye") == (dough_of(LOAF), dough_of(RYE))


def test_a_dough_that_is_called_like_a_product_is_not_its_dough() -> None:
    named = replace(LOAF, dough="Rye")

    assert 2 == len(by_dough([Asked(named, 1), Asked(RYE, 1)]))


def test_without_baked_loaves_the_stages_decide() -> None:
    said = StageLosses(LossBasis.DOUGH, handling_pct=2, oven_pct=12)
    found = known_loss(replace(LOAF, losses=said))

    assert LossLaw.STAGES is found.law
    assert 909.09 == pytest.approx(found.scaling_g(800)[0], abs=0.005)


@pytest.mark.parametrize("said", [None, StageLosses(LossBasis.DOUGH, handling_pct=2)])
def test_a_loaf_of_which_nothing_is_said_is_refused(said: StageLosses | None) -> None:
    with pytest.raises(SpecificationError, match="Nothing says what 'Loaf' loses in the oven"):
        require_losses(replace(LOAF, losses=said))


def test_what_may_not_travel_is_said_of_each_next_product_once() -> None:
    seeded = replace(LOAF, allergens=("wheat", "sesame"))
    plain = replace(ROLL, allergens=("wheat",))
    found = changeovers([seeded, plain])

    assert "'Loaf' has sesame, and 'Roll' has not: clean bench, scale and tools first." == found[0]
    assert any("Keep trim of 'Loaf' out of 'Roll'" in sentence for sentence in found)
    assert found == changeovers([seeded, plain, seeded, plain])
    assert () == changeovers([plain])

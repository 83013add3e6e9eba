"""What a shop knows of its products when it plans."""

from __future__ import annotations

from dataclasses import replace

import pytest

from weighstation.errors import SpecificationError
from weighstation.plan import KnownLoss, LossLaw, oven_loss
from weighstation.specification import Limits, LossBasis, Product, StageLosses
from weighstation.station.commands.planning.shop import (
    bakes_to_g,
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
        require_losses(LOAF, known_loss(replace(LOAF, losses=said)))


def test_what_a_piece_bakes_to_is_said_as_far_as_it_is_known() -> None:
    """A ratio of five loaves of 905 to 912 g, and flat 12 % (own arithmetic)."""
    own = KnownLoss(oven_loss([(905, 796), (910, 802), (907, 801), (912, 800), (908, 799)]))
    kept = (796 + 802 + 801 + 800 + 799) / (905 + 910 + 907 + 912 + 908)

    assert None is bakes_to_g(KnownLoss(), 909)
    assert 799.92 == pytest.approx(bakes_to_g(KnownLoss(stages=0.12), 909))
    assert 909 * kept == pytest.approx(bakes_to_g(own, 909))
    assert None is bakes_to_g(own, 400)


def test_what_may_not_travel_is_said_of_each_next_product_once() -> None:
    seeded = replace(LOAF, allergens=("wheat", "sesame"))
    plain = replace(ROLL, allergens=("wheat",))
    found = changeovers([seeded, plain])

    assert "'Loaf' has sesame, and 'Roll' has not: clean bench, scale and tools first." == found[0]
    assert any("Keep trim of 'Loaf' out of 'Roll'" in sentence for sentence in found)
    assert found == changeovers([seeded, plain, seeded, plain])
    assert () == changeovers([plain])

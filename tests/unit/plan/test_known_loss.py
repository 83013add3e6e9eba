"""The fitted law decides as soon as it is enough, and the stages until then."""

from __future__ import annotations

import math

import pytest

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.plan.loss.known_loss import KnownLoss
from weighstation.plan.loss.oven_loss import LossLaw, OvenLoss, oven_loss
from weighstation.plan.recipe.losses import Loss


def published_line() -> OvenLoss:
    """Learn from loaves on dough = 45.654 + 1.0624 bread (source in the test of the line)."""
    return oven_loss([(45.654 + 1.0624 * baked, baked) for baked in range(570, 900, 30)])


FEW = [(905.0, 796.0), (910.0, 802.0), (907.0, 801.0), (912.0, 800.0)]


def test_49_pieces_of_a_dough_pass_by_the_fitted_line_where_flat_loss_would_fail() -> None:
    """44,180 g in 49 pieces are 901.6 g: 805.7 g baked by the line, 793.4 g by flat 12 %.

    Own arithmetic on the published line; the fitted law decides.
    """
    scaled = 44_180 / 49
    both = KnownLoss(published_line(), stages=0.12).reach(scaled, wanted_g=800)
    flat = KnownLoss(stages=0.12).reach(scaled, wanted_g=800)

    assert [LossLaw.LINE, LossLaw.STAGES] == [each.law for each in both.by]
    assert [805.7, 793.4] == pytest.approx([each.baked_g for each in both.by], abs=0.05)
    assert both.is_reached
    assert both.by[:1] == KnownLoss(published_line()).reach(scaled, wanted_g=800).by
    assert "the first decides: that reaches 800 g" in both.text
    assert not flat.is_reached
    assert (
        "901.6 g of dough bake to 793.4 g by the losses of the stages:"
        " that does not reach 800 g." == flat.text
    )


@pytest.mark.parametrize(
    ("baked", "losses", "scaling"),
    [
        (800, 0.12, 909.1),
        (400, 0.12, 454.5),
        (250, 0.24, 328.9),
        (500, 0.13, 574.7),
        (60, 0.18, 73.2),
        (800, (0.105, 0.015, 0.01), 916.6),
    ],
)
def test_stages_until_enough_was_weighed(
    baked: float, losses: float | tuple[float, ...], scaling: float
) -> None:
    """Worked weights of the trade, own arithmetic; four pairs are not enough."""
    known = KnownLoss(oven_loss(FEW), stages=losses)
    at_g, interval = known.scaling_g(baked)

    assert LossLaw.STAGES is known.law
    assert scaling == pytest.approx(at_g, abs=0.05)
    assert interval is None


def test_five_pairs_decide_and_say_how_sure_they_are() -> None:
    known = KnownLoss(oven_loss([*FEW, (908, 799)]), stages=0.12)
    at_g, interval = known.scaling_g(800)

    assert LossLaw.RATIO is known.law
    assert interval is not None
    assert interval[0] < at_g < interval[1]
    assert 800 * 4542 / 3998 == pytest.approx(at_g)
    assert known.carry.law is LossLaw.RATIO


def test_carry_of_stages_is_bounded() -> None:
    known = KnownLoss(stages=[Loss(0.105, "oven"), 0.015])

    assert 0.895 * 0.985 == pytest.approx(known.carry.per_g)
    assert 1.0 == known.carry.interval[1]


def test_water_that_a_laboratory_oven_drove_off_is_a_loss_of_bread() -> None:
    """0.2146 kg of water for a kilogram of bread are 17.7 % of the dough: zhaw.ch publication
    212154 (read in excerpts), own arithmetic.
    """
    known = KnownLoss(stages=Loss.on_bread(0.2146, stage="oven"))

    assert 0.177 == pytest.approx(1 - known.carry.per_g, abs=5e-4)


def test_losses_may_come_one_by_one() -> None:
    known = KnownLoss(stages=(each for each in (0.105, 0.015)))

    assert known.scaling_g(800) == known.scaling_g(800)


@pytest.mark.parametrize("own", [None, oven_loss(FEW)])
def test_no_line_is_assumed_where_nothing_is_known(own: OvenLoss | None) -> None:
    known = KnownLoss(own)
    with pytest.raises(NotEnoughDataError, match="at least 5 marked loaves") as refused:
        known.scaling_g(800)

    assert (0 if own is None else 4, 5) == (refused.value.have, refused.value.need)
    assert "or give the losses of the stages" in refused.value.sentence
    for ask in (lambda: known.law, lambda: known.carry, lambda: known.reach(900, wanted_g=800)):
        with pytest.raises(NotEnoughDataError):
            ask()


def test_an_own_loss_is_not_replaced_in_silence_outside_its_range() -> None:
    with pytest.raises(SpecificationError, match=r"470\.6 g of dough lie outside"):
        KnownLoss(published_line(), stages=0.12).scaling_g(400)


@pytest.mark.parametrize("weight", [0.0, -1.0, math.nan])
def test_weights_that_are_none_are_refused(weight: float) -> None:
    known = KnownLoss(published_line(), stages=0.12)
    for ask in (
        lambda: known.scaling_g(weight),
        lambda: known.reach(weight, wanted_g=800),
        lambda: known.reach(900, wanted_g=weight),
    ):
        with pytest.raises(SpecificationError, match="number above 0"):
            ask()
    with pytest.raises(SpecificationError, match="a fraction from 0 up and below 1"):
        KnownLoss(stages=12)


@pytest.mark.parametrize(
    ("known", "is_known"),
    [
        (KnownLoss(), False),
        (KnownLoss(oven_loss(FEW)), False),
        (KnownLoss(oven_loss(FEW), stages=0.12), True),
        (KnownLoss(published_line()), True),
    ],
)
def test_a_loss_is_known_by_enough_loaves_or_by_stages(known: KnownLoss, is_known: bool) -> None:
    assert is_known == known.is_known

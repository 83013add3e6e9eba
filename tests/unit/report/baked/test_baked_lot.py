"""What a published rule says of a batch of loaves, and what is missing for more than a hint."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from report.baked.baked_loaves import SAID, batch_of

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.quantity import Circumstances, LotVerdict, judge_lot, published_rule
from weighstation.report.baked.lot import BakedLot, baked_lot

if TYPE_CHECKING:
    from weighstation.report.baked.batch import BakedBatch

EU = published_rule("eu-76-211")


def lot(batch: BakedBatch, said: Circumstances | None = SAID, nominal_g: float = 800) -> BakedLot:
    return baked_lot(batch, EU, nominal_g=nominal_g, said=said)


def whole(*baked_g: float) -> BakedBatch:
    return batch_of([909.0] * len(baked_g), baked_g, minutes=60.0)


@pytest.mark.parametrize(("short", "passes"), [(2, True), (3, False)])
def test_of_48_loaves_two_may_be_short(short: int, passes: bool) -> None:
    """Local guidance for small bakers: of 100 and fewer at most 1 in 20 below T1, 48: 2 (S64).

    T of 800 g is 15 g (76/211/EEC annex I 2.4, read): 784 g is short, 785 g is not.
    """
    batch = whole(*[784.0] * short, 785.0, *[803.0] * (47 - short))
    found = lot(batch)

    assert (short, 2, 15.0) == (found.count_t1, found.allowed_t1, found.deficiency_g)
    assert passes == found.passes
    assert (LotVerdict.ACCEPTED if passes else LotVerdict.REJECTED) is found.verdict


@pytest.mark.parametrize(
    ("lightest", "t1", "t2"), [(388, 0, 0), (387, 1, 0), (376, 1, 0), (375, 1, 1)]
)
def test_a_loaf_of_400_g(lightest: float, t1: int, t2: int) -> None:
    """Published for bakers: of 400 g few below 388 g and none below 376 g (NI government, read)."""
    found = lot(whole(lightest, *[402.0] * 39), nominal_g=400)

    assert (t1, t2) == (found.count_t1, found.count_t2)
    assert (t2 == 0) == found.passes


def test_a_mean_below_the_declared_weight_fails() -> None:
    found = lot(whole(*[799.0] * 40))

    assert (False, LotVerdict.REJECTED) == (found.passes, found.verdict)
    assert found.reasons[0].startswith("The mean of 799.00 g is below 800.00 g")


def test_more_than_the_plan_takes_and_the_first_decide() -> None:
    """Of a lot of 120 the plan takes 50: nobody may pick which."""
    weights = [801.0 + place % 3 for place in range(60)]
    batch = batch_of([909.0] * 120, weights, minutes=60.0)
    found = lot(batch)
    judged = judge_lot(weights[:50], nominal_g=800, rule=EU, lot_size=120, circumstances=SAID)

    assert (120, 50, 50) == (found.lot_size, found.needed, found.weighed)
    assert (judged.mean_g, judged.least_mean_g) == (found.mean_g, found.least_mean_g)


def test_fewer_than_the_plan_takes_are_a_hint_and_no_more() -> None:
    """The packer's three rules: the mean, 1 in 40 short, none far too light."""
    few = batch_of([909.0] * 48, [801.0, 803.0, 799.0, 802.0], minutes=60.0)
    found = lot(few)

    assert (LotVerdict.INDICATIVE, True, 48, 48, 4) == (
        *(found.verdict, found.passes),
        *(found.lot_size, found.needed, found.weighed),
    )
    assert ("48 of a lot of 48 are to be weighed, and 4 were.",) == found.reasons


@pytest.mark.parametrize(
    ("weights", "said"),
    [
        ((799.0, 800.0), "The mean of 799.50 g is below 800 g."),
        ((784.0, 830.0), "1 of 2 are below 785 g, and too many are."),
        ((769.0, 850.0), "1 of 2 are far too light, and none may be."),
    ],
)
def test_few_loaves_fail_by_any_of_the_three(weights: tuple[float, ...], said: str) -> None:
    found = lot(batch_of([909.0] * 48, weights, minutes=60.0))

    assert (LotVerdict.INDICATIVE, False) == (found.verdict, found.passes)
    assert said in found.reasons


def test_what_the_record_says_itself_needs_no_word() -> None:
    """All loaves of the batch were weighed, an hour out of the oven."""
    said = Circumstances(verified_scale=True, tare_known=True)
    at_once = batch_of([909.0] * 40, [803.0] * 40)
    sample = batch_of([909.0] * 120, [803.0] * 50, minutes=60.0)

    assert LotVerdict.ACCEPTED is lot(whole(*[803.0] * 40), said).verdict
    assert [LotVerdict.INDICATIVE] * 2 == [lot(each, said).verdict for each in (at_once, sample)]
    assert any("moment of weighing" in reason for reason in lot(at_once, said).reasons)
    assert any("drawn at random" in reason for reason in lot(sample, said).reasons)


def test_without_a_word_it_is_indicative_and_says_what_is_missing() -> None:
    found = lot(batch_of([909.0] * 40, [803.0] * 40), None)

    assert LotVerdict.INDICATIVE is found.verdict
    assert 3 == len(found.reasons)  # the whole lot was weighed


def test_doubtful_loaves_make_it_indicative() -> None:
    doubtful = replace(whole(*[803.0] * 40), doubtful=frozenset({1, 2}))
    found = lot(doubtful)

    assert LotVerdict.INDICATIVE is found.verdict
    assert "2 of the loaves are doubtful: a check found their scale not fit." in found.reasons


def test_loaves_that_go_on_losing_weight_make_it_indicative() -> None:
    hot = batch_of([909.0] * 40, [803.0] * 40, minutes=15.0)
    found = lot(hot)

    assert LotVerdict.INDICATIVE is found.verdict
    assert (
        "They were weighed 15 to 15 minutes out of the oven and go on losing weight."
        in found.reasons
    )


def test_weights_worked_out_for_one_hour_decide_and_are_a_hint() -> None:
    """803 g at 15 minutes are 793.3 g at one hour with 1.6 % lost: below 800 g."""
    hot = batch_of([909.0] * 40, [803.0] * 40, minutes=15.0)
    found = baked_lot(hot, EU, nominal_g=800, cooling_loss_per_h=0.016, said=SAID)

    assert 803 * 0.984 / 0.996 == pytest.approx(found.mean_g)
    assert (False, LotVerdict.INDICATIVE) == (found.passes, found.verdict)
    assert any("worked out from earlier ones" in reason for reason in found.reasons)


def test_a_rule_without_a_plan_for_so_small_a_lot_is_not_bent() -> None:
    with pytest.raises(SpecificationError):
        baked_lot(whole(*[803.0] * 40), published_rule("oiml-r87"), nominal_g=800)


def test_no_loaf_is_no_lot() -> None:
    with pytest.raises(NotEnoughDataError):
        lot(batch_of([909.0] * 48, []))


def test_a_loaf_more_than_pieces_makes_the_lot_larger() -> None:
    found = lot(batch_of([909.0] * 2, [803.0] * 3, minutes=60.0))

    assert (3, 3) == (found.lot_size, found.weighed)

"""Losses of dough and of bread, stages that multiply, and what a piece has to weigh for them."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import Loss, scaling_weight, weight_after, weight_before

FRACTIONS = st.floats(0, 0.95)
OUNCE_G = 28.349523125  # international yard and pound agreement, 1959 (from memory)


@pytest.mark.parametrize(
    ("allowed_g", "loss_pct"),
    [(50, 9.09), (65, 11.50)],
)
def test_an_allowance_on_bread_is_less_of_the_dough(allowed_g: float, loss_pct: float) -> None:
    """ "Allow 50-65 g per 500 g baked": textbook, "Scaling or portioning dough"
    (app.ckbk.com/section/prof83497c06s001ss002sss005, read in excerpts); percent by own arithmetic.
    """
    loss = Loss.on_bread(allowed_g / 500)

    assert loss_pct == pytest.approx(100 * loss.of_dough, abs=0.005)


def test_twelve_percent_of_dough_is_more_of_bread() -> None:
    """Own arithmetic: 12 / 88."""
    assert 13.64 == pytest.approx(100 * Loss(0.12).of_bread, abs=0.005)


@pytest.mark.parametrize(
    ("before", "after", "loss_pct", "source"),
    [
        (2755, 2393.4, 13.1, "rye, military workhouse, c. 1800: bibliomania.com/2/1/75/122/21428"),
        (4.5, 4.0, 11.1, "field loaf, Manual for Army Bakers, 1916, p. 82; count inferred"),
        (335, 255, 23.9, "baguette, weighings in the French press, 2023"),
        (84, 75, 10.7, "rolls of one small seller: a bakers' forum (weak)"),
        (34, 32, 5.9, "2 lb loaf of 34 oz: Putaruru Press, 24 Oct 1929"),
        (35, 32, 8.6, "2 lb loaf of 35 oz: the same; Dominion, 19 Jan 1915"),
        (67, 64, 4.5, "4 lb loaf of 67 oz, called under-baked: the same"),
        (80, 69.5, 13.1, "quartern loaf: A Treatise on ... Wholesome Bread, 1821"),
        (114, 100, 12.3, "Paris, round, 4 kg: Le pain et la panification, 1897, p. 246"),
        (120, 100, 16.7, "Paris, round, 2 kg: the same (uncorrected scan)"),
        (129, 100, 22.5, "Paris, round, 1 kg: the same"),
        (148, 100, 32.4, "Paris, flat, 2 kg: the same"),
        (162, 100, 38.3, "Paris, flat, 1 kg: the same"),
        (167, 100, 40.1, "Paris, ring, 1 kg: the same"),
        (64, 62, 3.1, "4 lb loaf, ten minutes more in the oven: A Treatise, 1821"),
        (64, 63, 1.6, "first hour out of the oven, 4 lb: Evening Post, 2 Mar 1881"),
        (32, 31, 3.1, "the same, if the loaf was 2 lb"),
        (64, 64 - 1.25, 1.95, "shelf, 24 h, 4 lb unwrapped: Grocers' Goods, 1880s"),
        (64, 59, 7.8, "shelf, 48 h: the same"),
        (64, 55, 14.1, "shelf, 70 h: the same"),
        (2812.16, 2755, 2.03, "ingredients to oven: military workhouse, c. 1800"),
        (165.5, 162.0, 2.1, "ingredients to oven: Manual for Army Bakers, 1916"),
    ],
)
def test_losses_of_weighings(before: float, after: float, loss_pct: float, source: str) -> None:
    """Weights as published, read in excerpts; the percentages are own arithmetic."""
    found = 100 * Loss.between(before, after).of_dough
    digits = 2 if loss_pct in (1.95, 2.03) else 1

    assert loss_pct == pytest.approx(found, abs=0.51 * 10**-digits), source


@pytest.mark.parametrize(
    ("baked_g", "loss", "scaling_g"),
    [
        (800, 0.12, 909.1),
        (400, 0.12, 454.5),
        (250, 0.24, 328.9),
        (500, 0.13, 574.7),
        (60, 0.18, 73.2),
    ],
)
def test_scaling_weight_of_a_baked_weight(baked_g: float, loss: float, scaling_g: float) -> None:
    """Own arithmetic on losses that are common practice, no source."""
    found = scaling_weight(baked_g, loss)

    assert scaling_g == pytest.approx(found.scaling_g, abs=0.05)
    assert found.baked_g == baked_g
    assert loss == pytest.approx(found.loss.of_dough)


def test_stages_multiply_and_never_add() -> None:
    """Own arithmetic: adding the percents would give 800 / 0.87 = 919.5 g."""
    stages = [Loss(0.105, "oven"), Loss(0.015, "cooling"), Loss(0.01, "shelf")]
    found = scaling_weight(800, stages)

    assert 916.6 == pytest.approx(found.scaling_g, abs=0.05)
    assert [820.39, 808.08, 800.0] == pytest.approx(found.after_g, abs=0.005)
    assert ("oven", "cooling", "shelf") == tuple(each.stage for each in found.losses)
    assert found.scaling_g == scaling_weight(800, (0.105, 0.015, 0.01)).scaling_g


def test_a_flat_loss_of_the_lighter_piece() -> None:
    """Own arithmetic: 901.6 g at 12 % falls short of 800."""
    assert 793.4 == pytest.approx(weight_after(901.6, 0.12), abs=0.05)


def test_dough_in_the_bowl_for_dough_on_the_bench() -> None:
    """Own arithmetic: 48 pieces of 909.09 g, 2 % for fermentation and handling together."""
    assert 44_526.9 == pytest.approx(weight_before(43_636.36, 0.02), abs=0.1)


def test_a_loss_is_the_same_in_any_unit() -> None:
    ounces, grams = Loss.between(80, 69.5), Loss.between(80 * OUNCE_G, 69.5 * OUNCE_G)

    assert ounces.of_dough == pytest.approx(grams.of_dough)


@given(FRACTIONS)
def test_conversion_goes_round(fraction: float) -> None:
    there = Loss(fraction)

    assert fraction == pytest.approx(Loss.on_bread(there.of_bread).of_dough, abs=1e-12)


@given(st.floats(1, 1e5), st.lists(st.floats(0, 0.8), max_size=5))
def test_before_undoes_after(grams: float, losses: list[float]) -> None:
    assert grams == pytest.approx(weight_after(weight_before(grams, losses), losses))
    assert grams == pytest.approx(weight_after(scaling_weight(grams, losses).scaling_g, losses))


@given(st.floats(1, 1e5), st.lists(FRACTIONS, min_size=1, max_size=5))
def test_stages_together_lose_no_more_than_their_sum(grams: float, losses: list[float]) -> None:
    found = scaling_weight(grams, losses)

    assert found.loss.of_dough <= math.fsum(losses) + 1e-12
    assert found.loss.of_dough >= max(losses) - 1e-12
    assert grams == pytest.approx(found.after_g[-1])


def test_no_loss_is_a_loss_too() -> None:
    found = scaling_weight(800, ())

    assert (800, (), ()) == (found.scaling_g, found.losses, found.after_g)
    assert 0 == found.loss.of_dough


def test_a_decimal_of_a_product_file_is_taken() -> None:
    assert 909.09 == pytest.approx(
        scaling_weight(Decimal(800), Decimal("0.12")).scaling_g,  # type: ignore[arg-type]
        abs=0.005,
    )


@pytest.mark.parametrize("fraction", [1.0, 12, -0.1, math.nan, math.inf, "much", None, 10**400])
def test_what_is_no_fraction_is_refused(fraction: float) -> None:
    with pytest.raises(SpecificationError, match="loss"):
        scaling_weight(800, [fraction])
    with pytest.raises(SpecificationError, match="loss"):
        scaling_weight(800, fraction)


def test_percent_written_as_a_fraction_is_explained() -> None:
    with pytest.raises(SpecificationError) as refused:
        Loss(12, "oven")

    assert (
        "The loss 'oven' is a fraction from 0 up and below 1, not 12. Write 12 % as 0.12."
    ) == refused.value.sentence


def test_goods_that_grow_are_refused() -> None:
    with pytest.raises(SpecificationError, match="do not grow") as refused:
        Loss.between(80, 84)

    assert "taken for each other" in refused.value.hint


@pytest.mark.parametrize("grams", [0, -1, math.nan, math.inf, 1e9, "x", None])
def test_weights_that_mean_nothing_are_refused(grams: float) -> None:
    with pytest.raises(SpecificationError, match="a number above 0"):
        scaling_weight(grams, 0.12)
    with pytest.raises(SpecificationError, match="a number above 0"):
        Loss.between(grams, 1)
    with pytest.raises(SpecificationError, match="a number above 0"):
        Loss.between(1, grams)


def test_a_loss_of_bread_has_no_upper_end_but_is_no_number_below_zero() -> None:
    assert 0.6 == pytest.approx(Loss.on_bread(1.5).of_dough)
    with pytest.raises(SpecificationError, match="loss of bread"):
        Loss.on_bread(-0.1)

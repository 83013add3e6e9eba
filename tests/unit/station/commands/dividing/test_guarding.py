"""A band is drawn in by what a good check of the scale leaves open, or it is said why not."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from weighstation.errors import SpecificationError
from weighstation.journal import (
    CheckFinding,
    CheckStep,
    HeldAgainst,
    RunStarted,
    ScaleChecked,
)
from weighstation.specification import Guard, LiftedPolicy, Limits, Product, Way
from weighstation.station.commands.checking.state import Checked, CheckState
from weighstation.station.commands.dividing.guarding import as_promised, guard_text, guarded

LOAF = Product("Country loaf", Limits(740_000, 8_000, 12_000), is_guarded=True)


def check(*shown_g: int, is_fit: bool = True) -> Checked:
    """A check of class III, e = 1 g, Max 3 kg, with 500 g."""
    steps = tuple(CheckStep("load", 1000 * g, 500_000_000, "box 1") for g in shown_g)
    return Checked(
        7,
        1_772_424_600_000,
        ScaleChecked(
            scale="usb:1:2",
            port="serial:///dev/ttyUSB0",
            person="",
            is_fit=is_fit,
            text="The scale is fit.",
            held_against=HeldAgainst("plate", "Held.", 1000, "III", 1_000_000, 3_000_000_000),
            weights=(),
            steps=(CheckStep("zero", 0), *steps),
            findings=(CheckFinding("load", True, "Good.", 500_000_000, 0, 1_000_000),),
            good_line=0,
            software="0.1.0",
        ),
    )


GOOD = CheckState("usb:1:2", check(500, 501, 500), check(500, 501, 500))


def test_the_band_is_drawn_in_by_the_expanded_uncertainty_at_the_scaling_weight() -> None:
    """By hand: 2 sqrt(1/6 + 1/3 + 2**2/3) = 2.708 g, in two digits upwards 2.8 g.

    Zero and load rounded to 1 g; 500, 501, 500 has a variance of 1/3; 2 g are permitted at 740 g
    (class III, e = 1 g, in service). w = U: JCGM 106:2012, 8.3 (from memory).
    """
    product, guard = guarded(LOAF, Way.SINGLE, GOOD)

    assert Guard(2_800, 7) == guard
    assert Limits(740_000, 5_200, 9_200) == product.limits
    assert "keep 734.8 to 749.2 g instead of 732 to 752 g" in guard_text(product, Guard(2_800, 7))


def test_a_piece_that_reads_within_it_is_seldom_out_of_the_promised_band() -> None:
    """The worst case of w = U is 2.3 %: JCGM 106:2012 (from memory).

    40,000 seeded scales, wrong by up to what is permitted, each with a piece that may weigh
    anything, taken where it reads on the lower limit that the scale can show, 735 g.
    """
    product, _ = guarded(LOAF, Way.SINGLE, GOOD)
    low_g = (740_000 - product.limits.under_mg) / 1000
    draw, out, kept = random.Random(106), 0, 0
    while kept < 40_000:
        true, zero, off = draw.uniform(728, 742), draw.uniform(-0.5, 0.5), draw.uniform(-2, 2)
        shown = round(true + zero + off + draw.gauss(0, 0.3)) - round(zero)
        if low_g <= shown < low_g + 1:
            kept, out = kept + 1, out + (true < 732)

    assert out / kept < 0.023


def test_without_the_wish_nothing_is_drawn_in() -> None:
    plain = replace(LOAF, is_guarded=False)

    assert (plain, None) == guarded(plain, Way.BUILD_UP, CheckState("usb:1:2"))


@pytest.mark.parametrize(
    ("product", "way", "state", "says"),
    [
        (LOAF, Way.BUILD_UP, GOOD, "for single pieces, not for build-up"),
        (LOAF, Way.SINGLE, CheckState("usb:1:2"), "there is none"),
        (
            LOAF,
            Way.SINGLE,
            CheckState("usb:1:2", check(500, 510, 500, is_fit=False), check(500, 500, 500)),
            "there is none",
        ),
        (
            replace(LOAF, limits=Limits(740_000, 2_700, 12_000)),
            Way.SINGLE,
            GOOD,
            "leaves nothing on one side of 740 g: 'under' is 2.7 g",
        ),
        (
            replace(LOAF, limits=Limits(3_100_000, 30_000, 30_000)),
            Way.SINGLE,
            GOOD,
            "more than the scale's Max",
        ),
    ],
)
def test_what_cannot_be_guarded_is_answered_in_a_sentence(
    product: Product, way: Way, state: CheckState, says: str
) -> None:
    with pytest.raises(SpecificationError, match=says):
        guarded(product, way, state)


def test_a_band_may_be_drawn_in_to_one_value() -> None:
    product, _ = guarded(replace(LOAF, limits=Limits(740_000, 2_800, 2_800)), Way.SINGLE, GOOD)

    assert Limits(740_000, 0, 0) == product.limits


def test_a_run_gives_back_what_was_promised() -> None:
    """A batch gone on with is drawn in once, and not once more each time."""
    product, guard = guarded(LOAF, Way.SINGLE, GOOD)
    started = RunStarted(
        run="r1",
        product=product,
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="serial:///dev/ttyUSB0",
        software="0.1.0",
        guard=guard,
    )

    assert LOAF == as_promised(started)
    assert LOAF == as_promised(replace(started, product=LOAF, guard=None))

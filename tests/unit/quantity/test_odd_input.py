"""Whatever is handed in: an answer, or one plain sentence that says what it should have been."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from weighstation.errors import WeighstationError
from weighstation.quantity import (
    Circumstances,
    judge_lot,
    least_aim,
    mean_factor,
    packers_rules,
    published_rule,
    read_rule,
    tolerable_deficiency,
)

if TYPE_CHECKING:
    from collections.abc import Callable

NO_GRAMS = [
    *(math.nan, math.inf, -math.inf, -1, "800", None, True, b"8", [800], np.array([800.0])),
    *(10**400, 10**5000, 1e300, 1_000_000, Decimal("NaN"), Decimal("sNaN"), 8j, np.float32(-1)),
]
NO_PIECES = [math.nan, math.inf, 0, -1, 300.5, "300", None, True, [300], 10**400, 10**5000]
LOT: dict[str, Any] = {"nominal_g": 800, "rule": "oiml-r87", "lot_size": 300}
AIM: dict[str, Any] = {"rule": "eu-76-211", "batch_size": 48, "batch_sd_g": 3, "risk": 0.05}


def refusal(call: Callable[..., object], *given: object, **named: object) -> str:
    """Return the sentence that a call is refused with, on one line and not endless."""
    with pytest.raises(WeighstationError) as caught:
        call(*given, **named)
    said = caught.value.sentence

    assert said.isprintable()
    assert len(said) < 250
    return said


@pytest.mark.parametrize("odd", NO_GRAMS, ids=lambda odd: type(odd).__name__)
def test_what_is_no_weight_is_refused_everywhere(odd: object) -> None:
    fine = [800.0] * 49

    assert "grams from 0 up" in refusal(tolerable_deficiency, odd, rule="eu-76-211")
    assert "grams from 0 up" in refusal(judge_lot, [*fine, 800], **{**LOT, "nominal_g": odd})
    assert "A weight is a number of grams" in refusal(judge_lot, [*fine, odd], **LOT)
    assert "A weight" in refusal(packers_rules, [odd], nominal_g=800, rule="eu-76-211")
    assert "grams from 0 up" in refusal(least_aim, odd, 8, **AIM)
    assert "The spread is a number of grams" in refusal(least_aim, 800, odd, **AIM)
    assert "from batch to batch" in refusal(least_aim, 800, 8, **{**AIM, "batch_sd_g": odd})


@pytest.mark.parametrize("odd", NO_PIECES, ids=lambda odd: type(odd).__name__)
def test_what_counts_no_pieces_is_refused_everywhere(odd: object) -> None:
    assert "A lot holds at least 1 piece" in refusal(
        judge_lot, [800.0] * 50, **{**LOT, "lot_size": odd}
    )
    assert "A mean test takes at least 2 pieces" in refusal(mean_factor, odd, 0.995)
    if odd is not None:
        assert "A batch holds at least 1 piece" in refusal(
            least_aim, 800, 8, **{**AIM, "batch_size": odd}
        )


@pytest.mark.parametrize("odd", [0, 1, -0.1, 0.5, math.nan, math.inf, 1e-17, "0.05", None, True])
def test_a_risk_out_of_reach_is_refused(odd: object) -> None:
    assert "A risk is from 0.000001 up and below 0.5" in refusal(
        least_aim, 800, 8, **{**AIM, "risk": odd}
    )


@pytest.mark.parametrize("odd", [0, 0.4, 1, math.nan, "0.995", None])
def test_a_confidence_out_of_reach_is_refused(odd: object) -> None:
    assert "A confidence is from 0.5 up and below 1" in refusal(mean_factor, 50, odd)


@pytest.mark.parametrize("odd", ["800", b"800", None, 800.0, 800])
def test_what_is_no_list_of_weights_is_refused(odd: object) -> None:
    assert "The weights are a list" in refusal(judge_lot, odd, **LOT)
    assert "The weights are a list" in refusal(packers_rules, odd, nominal_g=800, rule="eu-76-211")


@pytest.mark.parametrize("odd", ["", "EU-76-211", "eu\n76", None, 3, ["eu-76-211"], b"eu-76-211"])
def test_what_is_no_rule_is_refused_with_the_names(odd: object) -> None:
    for said in (
        refusal(tolerable_deficiency, 800, rule=odd),
        refusal(judge_lot, [800.0] * 50, **{**LOT, "rule": odd}),
        refusal(least_aim, 800, 8, **{**AIM, "rule": odd}),
    ):
        assert "eu-76-211, nist-hb133, oiml-r87." in said


@pytest.mark.parametrize("odd", [None, 3, True, ["eu-76-211"], np.array(["eu", "us"])])
def test_what_is_no_text_is_no_rule(odd: object) -> None:
    assert "There is no rule" in refusal(published_rule, odd)
    assert "is read as text or bytes" in refusal(read_rule, odd)


@pytest.mark.parametrize("odd", NO_PIECES, ids=lambda odd: type(odd).__name__)
def test_what_counts_no_pieces_has_no_plan(odd: object) -> None:
    assert "A lot holds" in refusal(published_rule("eu-76-211").plan_for, odd)


@pytest.mark.parametrize("odd", ["", "DOUBLE", None, 3, ["single"]])
def test_what_is_no_plan_is_refused_with_the_names(odd: object) -> None:
    said = refusal(judge_lot, [800.0] * 50, **{**LOT, "rule": "eu-76-211"}, plan=odd)

    assert said.endswith("It has single, double, destructive.")


def test_circumstances_are_said_by_true_and_false_alone() -> None:
    """The word "no" would count as true."""
    for odd in ("no", 1, None, 0):
        assert "'verified_scale' of the circumstances is true or false" in refusal(
            Circumstances, verified_scale=odd
        )
    for other in (True, "all", {}, {"random_sample": True}):
        assert "given as Circumstances" in refusal(
            judge_lot, [800.0] * 50, **LOT, circumstances=other
        )


@pytest.mark.parametrize("kind", [np.float64, np.float32, np.float16, Decimal, Fraction, float])
def test_numbers_of_every_kind_are_taken_as_they_are_printed(
    kind: Callable[[str], float],
) -> None:
    """45 g may be 4.1 g short; 40.9 g in 32 or 16 bits is not below 40.9 g, nor above."""
    on, below = kind("40.9"), kind("40.8")
    found = judge_lot([on, below] * 25, nominal_g=kind("45"), rule="oiml-r87", lot_size=300)

    assert 25 == found.count_t1


def test_arrays_and_generators_are_lists_of_weights() -> None:
    as_list = judge_lot([801.0] * 50, **LOT)

    assert as_list == judge_lot(np.full(50, 801.0), **LOT)
    assert as_list == judge_lot((801 for _ in range(50)), **{**LOT, "lot_size": np.int64(300)})
    assert as_list == judge_lot([801.0] * 50, **{**LOT, "lot_size": 300.0})


# Every edge of the published table, and the next tenth of a gram on both sides; by hand.
EDGES = [
    *((5, 0.5), (49.9, 4.5), (50, 4.5), (50.1, 4.5), (99.9, 4.5), (100, 4.5), (100.1, 4.6)),
    *((199.9, 9.0), (200, 9.0), (200.1, 9.0), (299.9, 9.0), (300, 9.0), (300.1, 9.1)),
    *((499.9, 15.0), (500, 15.0), (500.1, 15.0), (999.9, 15.0), (1000, 15.0)),
]


@pytest.mark.parametrize(("nominal_g", "both_g"), EDGES)
def test_edges_of_the_table(nominal_g: float, both_g: float) -> None:
    """Both texts to 1,000 g; beyond, R 87 rounds up to whole grams."""
    for rule in ("eu-76-211", "oiml-r87"):
        assert both_g == tolerable_deficiency(nominal_g, rule=rule)


@pytest.mark.parametrize(
    ("nominal_g", "europe_g", "r87_g"),
    [
        (1000.1, 15.1, 16.0),
        (9999.9, 150.0, 150.0),
        (10_000, 150.0, 150.0),
        (10_000.1, None, 150.0),
        (15_000, None, 150.0),
        (15_000.1, None, 151.0),
        (50_000, None, 500.0),
        (50_000.1, None, None),
        (4.9, None, 0.5),
    ],
)
def test_edges_beyond_a_kilogram(
    nominal_g: float, europe_g: float | None, r87_g: float | None
) -> None:
    for rule, expected_g in (("eu-76-211", europe_g), ("oiml-r87", r87_g)):
        if expected_g is None:
            said = refusal(tolerable_deficiency, nominal_g, rule=rule)

            assert f"no tolerable deficiency for {nominal_g} g" in said
        else:
            assert expected_g == tolerable_deficiency(nominal_g, rule=rule)


def test_a_refused_nominal_says_what_the_rule_is_for() -> None:
    assert refusal(tolerable_deficiency, 10_001, rule="eu-76-211").endswith(
        "It is for 5 or more and at most 10000 g."
    )
    assert refusal(tolerable_deficiency, 1450, rule="nist-hb133").endswith(
        "It is for more than 0 and less than 1450 g."
    )


def test_lots_of_one_and_of_none() -> None:
    on = judge_lot([800], nominal_g=800, rule="eu-76-211", lot_size=1)
    light = judge_lot([799.9], nominal_g=800, rule="eu-76-211", lot_size=1)

    assert (True, False) == (on.passes, light.passes)
    assert "and there are 0 weights" in refusal(
        judge_lot, [], nominal_g=800, rule="eu-76-211", lot_size=1
    )
    assert "and there is 1 weight." in refusal(
        judge_lot, [800], nominal_g=800, rule="eu-76-211", lot_size=2
    )
    assert "no plan for a lot of 1" in refusal(
        judge_lot, [800], nominal_g=800, rule="nist-hb133", lot_size=1
    )


def test_a_mean_is_held_against_the_nominal_without_a_doubles_noise() -> None:
    """On it passes, whole and sampled; below it by less than a double can tell does not."""
    below: list[Any] = [Decimal("800.1")] * 59 + [Decimal("800.09999999999999")]
    whole: dict[str, Any] = {"nominal_g": 800.1, "rule": "eu-76-211", "lot_size": 60}

    assert judge_lot([800.1] * 60, **whole).mean_ok
    assert not judge_lot(below, **whole).mean_ok
    assert judge_lot([800.1] * 50, **{**whole, "lot_size": 300}).mean_ok


def test_the_packers_rules_hold_on_their_limits() -> None:
    """76/211/EEC, annex I 1.1 to 1.3: not less than nominal; 2.5 %; none below nominal - 2 T."""
    on = packers_rules([800.1] * 3, nominal_g=800.1, rule="eu-76-211")
    below = packers_rules([800.1, 800.1, 800.0], nominal_g=800.1, rule="eu-76-211")
    share = packers_rules([784.9] + [801] * 39, nominal_g=800, rule="eu-76-211")
    more = packers_rules([784.9] + [801] * 38, nominal_g=800, rule="eu-76-211")
    far = packers_rules([770] + [801] * 39, nominal_g=800, rule="eu-76-211")
    farther = packers_rules([769.9] + [801] * 39, nominal_g=800, rule="eu-76-211")

    assert (True, False) == (on.mean_ok, below.mean_ok)
    assert (True, False) == (share.t1_ok, more.t1_ok)
    assert (True, False) == (far.t2_ok, farther.t2_ok)


def test_a_spread_wider_than_the_loaf_only_asks_for_more() -> None:
    """nominal - 2 T + 3.719 s for 999,999 g, and the mean with no spread at all."""
    wide = least_aim(800, 999_999, rule="eu-76-211")
    still = least_aim(800, 0, rule="eu-76-211", batch_size=1)

    assert wide.aim_g == pytest.approx(770 + 3.719016 * 999_999, rel=1e-6)
    assert (800.0, "mean") == (still.aim_g, still.binding.value)


def test_every_circumstance_left_out_is_named() -> None:
    """Each alone makes the verdict a hint, and the reason says which one it was."""
    words = {
        "random_sample": "drawn at random",
        "verified_scale": "a fifth of the tolerable deficiency",
        "tare_known": "tare",
        "right_moment": "moment of weighing",
    }
    for missing, word in words.items():
        said = Circumstances(**{name: name != missing for name in words})
        found = judge_lot([801.0] * 50, **LOT, circumstances=said)

        assert ("indicative", 1) == (found.verdict.value, len(found.reasons))
        assert word in found.reasons[0]

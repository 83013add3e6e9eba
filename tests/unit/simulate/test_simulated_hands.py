"""The baker's judgement, patience and gestures."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from random import Random
from statistics import correlation, mean, median, stdev
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError
from weighstation.simulate.craft import Craft
from weighstation.simulate.gestures import Gestures
from weighstation.simulate.hands import Habits, HandsSpec, Span
from weighstation.simulate.ledger import Ledger
from weighstation.simulate.presets import HANDS as HANDS_NAMED
from weighstation.simulate.strokes import force_g

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from weighstation.simulate.strokes import Stroke

HANDS = HandsSpec(target_g=740.0, under_g=8.0, over_g=6.0)


@pytest.mark.parametrize(
    ("net_g", "verdict"), [(731.4, -1), (731.6, 0), (740.0, 0), (746.4, 0), (746.6, 1)]
)
def test_the_baker_judges_by_the_display_and_the_limits_belong_to_the_band(
    net_g: float, verdict: int
) -> None:
    assert verdict == HANDS.verdict(net_g, 1.0)


def test_a_span_keeps_to_its_ends_and_its_median() -> None:
    rng = Random(1)
    drawn = [Span(1.35, 0.3, 0.6, 2.5).draw(rng) for _ in range(4000)]

    assert min(drawn) >= 0.6
    assert max(drawn) <= 2.5
    assert 1.35 == pytest.approx(median(drawn), rel=0.03)


def test_first_cuts_have_the_bias_and_the_spread_of_the_baker() -> None:
    hands = HandsSpec(bias=-0.01, spread=0.03)
    craft = Craft(hands, 1.0, Ledger(), Random(1))
    cuts = [craft.first_cut() for _ in range(4000)]

    assert 740 * 0.99 == pytest.approx(mean(cuts), abs=1.5)
    assert 740 * 0.03 == pytest.approx(stdev(cuts), rel=0.05)


def test_a_correction_leaves_at_most_half_of_the_error() -> None:
    craft = Craft(HandsSpec(miss=2.0), 1.0, Ledger(), Random(1))

    assert all(abs(craft.corrected(770.0) - 740.0) <= 15.0 for _ in range(500))


@pytest.mark.parametrize(
    "gesture",
    [
        lambda do: do.place(0.0, 740.0, lingers=True),
        lambda do: do.trim(730.0, 10.0),
        lambda do: do.add(750.0),
        lambda do: do.cut(3000.0),
        lambda do: do.prod(),
        lambda do: do.lift(0.0),
        lambda do: do.lift(0.0, sticks=True),
        lambda do: do.knock(),
        lambda do: do.wipe(0.0),
        lambda do: do.lean(6600.0),
    ],
)
def test_every_gesture_ends_with_the_hands_off(
    gesture: Callable[[Gestures], Iterator[Stroke]],
) -> None:
    strokes = list(gesture(Gestures(HANDS, Random(1))))

    assert strokes[-1].hand_g == 0.0
    assert all(stroke.seconds > 0 for stroke in strokes)


def test_a_lingering_hand_stays_longer() -> None:
    quick = sum(stroke.seconds for stroke in Gestures(HANDS, Random(1)).place(0.0, 740.0))
    slow = sum(
        stroke.seconds for stroke in Gestures(HANDS, Random(1)).place(0.0, 740.0, lingers=True)
    )

    assert slow > quick + 0.1


def _leaning(seed: int) -> list[Stroke]:
    return list(Gestures(HANDS, Random(seed)).rest(100.0, 5.0, 9.0))


def test_a_resting_hand_wanders_by_a_fifth_of_its_push_about_its_mean() -> None:
    """10 to 30 % of the push (physiology, from memory): 20.8 % is the root mean square of these."""
    pushes = [stroke.hand_g for seed in range(800) for stroke in _leaning(seed)]

    assert 100.0 == pytest.approx(mean(pushes), abs=1.5)
    assert 100.0 * math.sqrt((0.3**3 - 0.1**3) / 0.6) == pytest.approx(stdev(pushes), rel=0.06)


def test_a_resting_hand_forgets_its_push_in_a_third_of_a_second() -> None:
    """First-order random walk: correlation exp(-0.1 s / 0.3 s) = 0.7165 from stroke to stroke."""
    pairs = [
        (now.hand_g, then.hand_g)
        for seed in range(800)
        for now, then in itertools.pairwise(_leaning(seed))
    ]

    assert math.exp(-1 / 3) == pytest.approx(correlation(*zip(*pairs, strict=True)), abs=0.04)


def test_a_resting_hand_trembles_without_a_jump_between_strokes() -> None:
    for now, then in itertools.pairwise(_leaning(3)):
        end = force_g(now, now.hand_g, 1.0, 0.0)

        assert end == pytest.approx(force_g(then, now.hand_g, 0.0, 0.0))


def test_a_lingering_hand_pushes_between_10_and_150_g() -> None:
    pushes = [
        next(iter(Gestures(HANDS, Random(seed)).place(0.0, 740.0, lingers=True))).hand_g
        for seed in range(300)
    ]

    assert 10.0 <= min(pushes) < 20.0
    assert 140.0 < max(pushes) <= 150.0


def test_a_learner_takes_three_to_six_tenths_of_a_second_to_set_a_piece_down() -> None:
    taken = [
        next(iter(Gestures(HANDS_NAMED["learner"], Random(seed)).place(0.0, 740.0))).seconds
        for seed in range(300)
    ]

    assert 0.3 <= min(taken) < 0.33
    assert 0.57 < max(taken) <= 0.6


@pytest.mark.parametrize(("target_g", "most_g"), [(740.0, 15.0), (60.0, 2.81)])
def test_clinging_dough_holds_the_pan_up_in_proportion_to_its_area(
    target_g: float, most_g: float
) -> None:
    """15 g at 740 g; areas of like shapes go with the two-thirds power of their mass: 2.81 g."""
    hands = replace(HANDS, target_g=target_g)
    lowest = [
        min(stroke.hand_g for stroke in strokes if stroke.load_g == 0.0)
        for strokes in (list(Gestures(hands, Random(s)).lift(0.0, sticks=True)) for s in range(300))
    ]

    assert most_g == pytest.approx(-min(lowest), rel=0.03)
    assert max(lowest) < 0


def test_what_never_happens_is_not_counted() -> None:
    ledger = Ledger()
    craft = Craft(HANDS, 1.0, ledger, Random(1))

    assert not any(craft.happens(0.0, "knock") for _ in range(100))
    assert craft.happens(1.0, "tare")
    assert {"tare": 1} == dict(ledger.happened)


def test_an_impossible_product_is_refused() -> None:
    with pytest.raises(SpecificationError):
        HandsSpec(target_g=0.0)


def test_plain_hands_do_nothing_odd() -> None:
    odd = {name: getattr(Habits(), name) for name in ("doubles", "tares", "lifts", "overloads")}

    assert dict.fromkeys(odd, 0.0) == odd

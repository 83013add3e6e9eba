"""The baker's judgement, patience and gestures."""

from __future__ import annotations

from random import Random
from statistics import mean, median, stdev
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError
from weighstation.simulate.craft import Craft
from weighstation.simulate.hands import Gestures, Habits, HandsSpec, Span
from weighstation.simulate.ledger import Ledger

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

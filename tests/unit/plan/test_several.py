"""Several products from one dough: orders met, least left, nothing below the floor."""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize  # type: ignore[import-untyped]

from weighstation.errors import SpecificationError
from weighstation.plan import Room, Wanted, scaling_weight, share_out

DAY = (
    # eight products of an invented bakery, a percent of room each
    ("Miche", 1800, 6),
    ("Farmhouse", 909, 48),
    ("Rye tin", 860, 20),
    ("Small farmhouse", 455, 30),
    ("Stick", 350, 60),
    ("Long roll", 120, 80),
    ("Bun", 85, 100),
    ("Roll", 60, 240),
)


def wanted_of_the_day() -> list[Wanted]:
    return [
        Wanted(name, Room(scaling_g, scaling_g / 100, scaling_g / 100), least)
        for name, scaling_g, least in DAY
    ]


def small_case(draw: random.Random) -> tuple[float, list[Wanted]]:
    wanted = []
    for place in range(draw.randint(1, 3)):
        scaling_g = draw.choice([draw.randint(50, 900), draw.uniform(50, 900)])
        share = draw.choice([0, 0, 0.005, 0.02])
        least = draw.randint(0, 3)
        most = draw.choice([None, least + draw.randint(0, 4)])
        floor_g = draw.choice([0, scaling_g * draw.uniform(0.98, 1)])
        room = Room(scaling_g, share * scaling_g, share * scaling_g, floor_g)
        wanted.append(Wanted(f"product {place}", room, least, most))
    ordered_g = math.fsum(one.least * one.room.scaling_g for one in wanted)
    return ordered_g + draw.choice([draw.uniform(0, 2500), draw.randint(1, 2500)]), wanted


def by_brute_force(dough_g: float, wanted: list[Wanted]) -> tuple[int, int, tuple[int, ...]]:
    """Return the least milligrams left, tenths of room, and pieces beyond the orders."""
    dough = round(dough_g * 1000)
    ends = []
    for one in sorted(wanted, key=lambda one: -round(one.room.scaling_g * 1000)):
        target = round(one.room.scaling_g * 1000)
        low = max(
            target - round(one.room.under_g * 1000), math.ceil(one.room.floor_g * 1000 - 1e-3)
        )
        target = max(target, low)
        ends.append(
            (
                one,
                low,
                target,
                max(target, round(one.room.scaling_g * 1000) + round(one.room.over_g * 1000)),
            )
        )
    ranges = [
        range(one.least, (dough // low if one.most is None else one.most) + 1)
        for one, low, _, _ in ends
    ]
    best: tuple[int, int, tuple[int, ...]] | None = None
    for numbers in itertools.product(*ranges):
        low = sum(n * end[1] for n, end in zip(numbers, ends, strict=True))
        if low > dough:
            continue
        target = sum(n * end[2] for n, end in zip(numbers, ends, strict=True))
        high = sum(n * end[3] for n, end in zip(numbers, ends, strict=True))
        room = high - target if dough > target else target - low
        tenths = -(-10 * abs(dough - target) // room) if room else 1
        left = max(0, dough - high)
        extra = tuple(n - end[0].least for n, end in zip(numbers, ends, strict=True))
        found = (left, 10 if left else min(10, max(1, tenths)), extra)
        best = found if best is None else min(best, found)
    assert best is not None
    return best


@pytest.mark.parametrize("seed", range(10))
def test_brute_force_finds_nothing_better(seed: int) -> None:
    """A hundred random small cases each, a thousand in all: the same rest, to the milligram, and
    the same numbers by the rule for ties.
    """
    draw = random.Random(seed)
    for _ in range(100):
        dough_g, wanted = small_case(draw)
        left_mg, _, extra = by_brute_force(dough_g, wanted)
        found = share_out(dough_g, wanted)

        assert left_mg == round(1000 * found.rest_g), (dough_g, wanted)
        assert extra == tuple(each.extra for each in found.portions), (dough_g, wanted)
        assert found.is_proven


@pytest.mark.parametrize("seed", range(12))
def test_an_outside_solver_leaves_no_less(seed: int) -> None:
    """HiGHS in SciPy on the same integer program, eight products, to a hundredth of a gram."""
    draw = random.Random(seed)
    weights = [draw.randint(50, 1800) + draw.choice([0, 0.5]) for _ in range(8)]
    share = draw.choice([0, 0.001])
    least = [draw.randint(0, 5) for _ in weights]
    most = [number + draw.randint(0, 3) for number in least]
    dough_g = float(sum(map(math.prod, zip(weights, least, strict=True))) + draw.randint(0, 6000))
    wanted = [
        Wanted(str(place), Room(weight, share * weight, share * weight), *ends)
        for place, (weight, *ends) in enumerate(zip(weights, least, most, strict=True))
    ]
    one = np.eye(8)
    low, high = np.diag(weights) * (1 - share), np.diag(weights) * (1 + share)
    solved = optimize.milp(
        np.concatenate([np.zeros(8), -np.ones(8)]),  # the most dough in pieces
        integrality=np.concatenate([np.ones(8), np.zeros(8)]),
        bounds=optimize.Bounds([*least, *[0] * 8], [*most, *[np.inf] * 8]),
        constraints=[
            optimize.LinearConstraint(np.hstack([low, -one]), -np.inf, 0),
            optimize.LinearConstraint(np.hstack([-high, one]), -np.inf, 0),
            optimize.LinearConstraint(np.concatenate([np.zeros(8), np.ones(8)]), 0, dough_g),
        ],
        options={"mip_rel_gap": 0},
    )

    assert solved.success
    assert share_out(dough_g, wanted).rest_g == pytest.approx(dough_g + solved.fun, abs=0.01)


def test_eight_products_at_once() -> None:
    """The search ends long before its limit of visits, which is about a second."""
    ordered_g = sum(scaling_g * least for _, scaling_g, least in DAY)
    found = share_out(ordered_g + 4321, wanted_of_the_day())

    assert found.is_proven
    assert 0 == found.rest_g
    assert [name for name, _, _ in DAY] == [each.name for each in found.portions]
    assert all(abs(each.moved_g) <= 0.1 * each.scaling_g / 99 for each in found.portions)


@pytest.mark.parametrize("more_g", [0, 1, 59, 999.5, 12_345.678, 150_000])
@pytest.mark.parametrize("share", [0.0, 0.002, 0.01])
def test_eight_products_of_any_dough_end_in_time(more_g: float, share: float) -> None:
    ordered_g = sum(scaling_g * least for _, scaling_g, least in DAY)
    wanted = [Wanted(name, Room(g, g * share, g * share), least) for name, g, least in DAY]

    assert share_out(ordered_g + more_g, wanted).is_proven


def test_what_nobody_ordered_becomes_the_smallest() -> None:
    """The largest first, the smallest last, so that the remainder makes rolls: common practice, no
    source.
    """
    wanted = [Wanted("Roll", Room(60, 1, 1), 10), Wanted("Loaf", Room(900, 9, 9), 10)]
    found = share_out(11_400, wanted)

    assert [("Loaf", 10, 0), ("Roll", 40, 30)] == [
        (each.name, each.pieces, each.extra) for each in found.portions
    ]


def test_weights_are_moved_together_and_no_further_than_needed() -> None:
    """Own arithmetic: 50 g too little of 10 x 90 g and 10 x 1 g of room are 5 tenths of it."""
    wanted = [Wanted("Loaf", Room(900, 9, 9), 10, 10), Wanted("Roll", Room(60, 1, 1), 10, 10)]
    found = share_out(9550, wanted)

    assert [895.5, 59.5] == pytest.approx([each.scaling_g for each in found.portions])
    assert [-4.5, -0.5] == pytest.approx([each.moved_g for each in found.portions])
    assert 0 == found.rest_g


def test_what_is_beyond_every_most_is_left() -> None:
    found = share_out(12_000, [Wanted("Loaf", Room(900, 9, 9), 10, 12)])

    assert (12, 909) == (found.portions[0].pieces, found.portions[0].scaling_g)
    assert 12_000 - 12 * 909 == found.rest_g


def test_no_weight_is_below_the_floor() -> None:
    """909.09 g is 800 g through 12 %: the room below it is closed, the one of the rolls is not."""
    floor_g = scaling_weight(800, 0.12).scaling_g
    wanted = [
        Wanted("Loaf", Room(floor_g, 9, 9, floor_g), 10, 10),
        Wanted("Roll", Room(60, 2, 2), 10, 10),
    ]
    found = share_out(9680, wanted)

    assert found.portions[0].scaling_g >= floor_g
    assert floor_g == pytest.approx(found.portions[0].scaling_g, abs=0.001)
    assert 58.9 == pytest.approx(found.portions[1].scaling_g, abs=0.01)


@given(st.integers(0, 10**6))
def test_no_dough_is_lost(seed: int) -> None:
    dough_g, wanted = small_case(random.Random(seed))
    found = share_out(dough_g, wanted)
    rooms = {one.name: one for one in wanted}

    used_g = math.fsum(each.pieces * each.scaling_g for each in found.portions)
    assert found.dough_g == pytest.approx(used_g + found.rest_g, abs=1e-6)
    assert dough_g == pytest.approx(found.dough_g, abs=0.0005)
    assert found.rest_g >= 0
    for each in found.portions:
        one = rooms[each.name]
        assert each.scaling_g >= one.room.floor_g - 1e-6
        assert one.room.lowest_g - 0.0011 <= each.scaling_g <= one.room.highest_g + 0.0011
        assert one.least <= each.pieces
        assert one.most is None or each.pieces <= one.most


def test_orders_that_the_dough_does_not_make_are_refused() -> None:
    with pytest.raises(SpecificationError) as refused:
        share_out(8900, [Wanted("Loaf", Room(900, 9, 9), 10)])

    assert (
        "The orders take at least 8910 g of dough, and there are 8900 g. Make more dough, or fewer"
        " pieces."
    ) == refused.value.sentence


@pytest.mark.parametrize(
    ("least", "most", "said"),
    [
        (-1, None, "The order of 'Loaf' is a whole number from 0 up, not -1."),
        (2.5, None, "The order of 'Loaf'"),
        (10, 9, "The most of 'Loaf' is a whole number from 10 up, not 9."),
    ],
)
def test_orders_that_mean_nothing_are_refused(least: int, most: int | None, said: str) -> None:
    with pytest.raises(SpecificationError, match=said):
        Wanted("Loaf", Room(900, 9, 9), least, most)


def test_each_product_is_named_once() -> None:
    roll = Wanted("Roll", Room(60, 1, 1))
    for wanted in ([], [roll, roll]):
        with pytest.raises(SpecificationError, match="each named once"):
            share_out(1000, wanted)


@pytest.mark.parametrize("dough_g", [0, -5, math.nan])
def test_a_dough_weighs_something(dough_g: float) -> None:
    with pytest.raises(SpecificationError, match="The dough on hand"):
        share_out(dough_g, [Wanted("Roll", Room(60, 1, 1))])

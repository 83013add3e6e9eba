"""A torn loaf is named by its place; that is all that happens to it."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import numpy as np
import pytest
import statsmodels.api as sm  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan.loss.apart import loaves_apart

if TYPE_CHECKING:
    from weighstation.plan.loss.loss_ratio import Pair


def loaves(draw: random.Random, n: int) -> list[Pair]:
    raw = [draw.gauss(909, 5) for _ in range(n)]
    return [(x, 800 + 0.94 * (x - 909) + draw.gauss(0, 6)) for x in raw]


def torn(pairs: list[Pair], place: int, *, by_g: float) -> list[Pair]:
    raw, baked = pairs[place]
    return [*pairs[:place], (raw, baked - by_g), *pairs[place + 1 :]]


def test_a_torn_loaf_is_named() -> None:
    (found,) = loaves_apart(torn(loaves(random.Random(1), 10), 3, by_g=60))

    assert 3 == found.index
    assert -60 == pytest.approx(found.off_g, abs=20)
    assert "Loaf 4" in found.text
    assert "g less than the others foretell" in found.text


def test_a_loaf_that_is_too_heavy_is_named_too() -> None:
    (found,) = loaves_apart(torn(loaves(random.Random(1), 10), 0, by_g=-60))

    assert 0 == found.index
    assert "g more than" in found.text


def test_two_torn_loaves_do_not_hide_each_other() -> None:
    pairs = torn(torn(loaves(random.Random(4), 12), 2, by_g=50), 7, by_g=55)

    assert [2, 7] == [each.index for each in loaves_apart(pairs)]


def test_deleted_residuals_agree_with_a_reference_library() -> None:
    """statsmodels, externally studentized residual of the furthest; furthest 1.1e-7, relative."""
    draw, apart = random.Random(9), 0.0
    for _ in range(300):
        pairs = torn(loaves(draw, draw.randint(4, 9)), 1, by_g=60)
        raw, baked = np.array(pairs).T
        influence = sm.OLS(baked, sm.add_constant(raw)).fit().get_influence()
        t = influence.resid_studentized_external
        for found in loaves_apart(pairs, level=0.9):
            apart = max(apart, abs(found.t / t[found.index] - 1))
            press = influence.resid_press[found.index]
            apart = max(apart, abs(found.off_g / press - 1))

    assert 0 < apart < 1e-6


def test_no_torn_loaf_is_seen_about_as_often_as_said() -> None:
    """1000 sets of 10 good loaves: 7.5 % named one, where 5 % was asked for.

    The second look, which may name two, costs the rest.
    """
    draw = random.Random(10)
    found = sum(bool(loaves_apart(loaves(draw, 10))) for _ in range(1000)) / 1000

    assert 0.03 < found < 0.09


def test_loaves_of_one_raw_weight_are_held_against_their_mean() -> None:
    """Deleted residual of the last by hand: 700 - 800, spread of the others 1.58, t = -57.7."""
    (found,) = loaves_apart([(909, baked) for baked in (798, 799, 800, 801, 802, 700)])

    assert 5 == found.index
    assert -100 == pytest.approx(found.off_g)
    assert -100 / (2.5**0.5 * (1 + 1 / 5) ** 0.5) == pytest.approx(found.t, rel=1e-6)


def test_a_loaf_far_beyond_all_rounding_is_named() -> None:
    (found,) = loaves_apart([(909, 800)] * 6 + [(909, 700)])

    assert 6 == found.index


def test_too_few_or_even_loaves_name_nobody() -> None:
    assert () == loaves_apart([(909, 800), (910, 801), (911, 700)])
    assert () == loaves_apart([(650 + 10 * i, (604.346 + 10 * i) / 1.0624) for i in range(12)])


def test_a_loaf_alone_at_its_weight_cannot_be_judged() -> None:
    """Nothing else lies there to hold it against."""
    found = loaves_apart([(650, 570), (650, 571), (650, 569), (650, 570.5), (1000, 700)])

    assert 4 not in [each.index for each in found]


@settings(max_examples=50)
@given(st.randoms(use_true_random=False), st.sampled_from([0.001, 37.0]))
def test_the_same_loaves_are_named_in_any_order_and_unit(
    shuffle: random.Random, unit: float
) -> None:
    pairs = torn(loaves(random.Random(21), 12), 5, by_g=70)
    named = {pairs[each.index] for each in loaves_apart(pairs)}
    shuffle.shuffle(pairs)
    scaled = [(unit * raw, unit * baked) for raw, baked in pairs]

    assert named == {pairs[each.index] for each in loaves_apart(scaled)}


def test_a_level_that_is_none_is_refused() -> None:
    with pytest.raises(SpecificationError, match="share"):
        loaves_apart([(909, 800)] * 5, level=5)

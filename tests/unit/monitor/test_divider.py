"""Checks of a divider miss what the printed curve says they miss."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor.divider import (
    Check,
    chance_missed,
    expected_checks,
    groups_of,
    weighed_together,
)


@pytest.mark.parametrize(
    ("shift", "printed"),
    [
        *((0.0, 370.40), (0.2, 308.43), (0.4, 200.08), (0.6, 119.67), (0.8, 71.55), (1.0, 43.89)),
        *((1.4, 18.25), (2.0, 6.30), (3.0, 2.00)),
    ],
)
def test_average_run_lengths_of_single_points(shift: float, printed: float) -> None:
    """Champ and Woodall, Technometrics 29 (1987) 393, rule 1 (from memory, recomputed)."""
    assert printed == round(expected_checks(shift, size=1), 2)


def test_textbook_curve() -> None:
    """D. C. Montgomery (from memory): 5 pieces, a shift of 2 s, chance of missing it 0.0708.

    The book rounds 3 - 2 sqrt 5 to -1.47 before it looks in the table; exactly it is 0.0705.
    """
    assert 0.0708 == round(float(stats.norm.cdf(-1.47)), 4)
    assert 0.0705 == round(chance_missed(2.0, size=5), 4)


def test_a_thousand_chances_agree_with_a_reference_library() -> None:
    """SciPy's normal law; furthest 9.3e-15."""
    draw = random.Random(80)
    apart = 0.0
    for _ in range(1000):
        shift, size, limits = draw.uniform(-3, 3), draw.randint(1, 8), draw.uniform(1, 4)
        off = abs(shift) * math.sqrt(size)
        wanted = float(stats.norm.cdf(limits - off) - stats.norm.cdf(-limits - off))
        apart = max(apart, abs(chance_missed(shift, size=size, limits=limits) / wanted - 1))

    assert 1e-11 > apart


def test_a_simulated_divider_is_caught_as_soon_as_said() -> None:
    """3,000 seeded shifts of 1 s, 4 pieces a check; within three standard errors."""
    draw = random.Random(81)
    total = 0
    for _ in range(3000):
        total += 1
        while abs(sum(draw.gauss(1, 1) for _ in range(4)) / 2) <= 3:
            total += 1
    wanted = expected_checks(1.0, size=4)

    assert abs(total / 3000 - wanted) < 3 * math.sqrt(wanted * (wanted - 1) / 3000)


def test_what_a_check_misses_is_said_beside_it() -> None:
    check = Check(pieces=5, every_min=20, sd_g=4.0)

    assert chance_missed(1.5, size=5) == check.chance_missed(-6.0)
    assert expected_checks(1.5, size=5) == check.expected_checks(6.0)
    assert (
        "One check of 5 pieces misses a shift of 6.0 g with a chance of 36 %; on average it takes"
        " 1.6 checks, the last of them 11 minutes after the first." == check.text(6.0)
    )


@given(st.floats(0, 5), st.integers(1, 20))
def test_more_pieces_and_greater_shifts_are_missed_less(shift: float, size: int) -> None:
    here = chance_missed(shift, size=size)

    assert chance_missed(shift, size=size + 1) <= here * (1 + 1e-12)
    assert chance_missed(shift + 0.1, size=size) <= here
    assert expected_checks(shift, size=size) >= 1


def test_pieces_weighed_one_by_one_make_groups_with_a_spread() -> None:
    groups = groups_of([740.0, 742.0, 738.0, 744.0, 741.0], size=2)

    assert ((740.0, 742.0), (738.0, 744.0)) == groups.points
    assert ((741.0, 741.0), 1) == (groups.means_g, groups.left_over)
    assert "mean and spread" in groups.text


def test_a_press_head_weighed_at_once_has_means_and_no_spread() -> None:
    groups = weighed_together([2964.0, 2956.0], size=4)

    assert (741.0, 739.0) == groups.means_g
    assert groups.points is None
    assert "was not seen" in groups.text


def test_what_means_nothing_is_refused() -> None:
    with pytest.raises(NotEnoughDataError, match="there are 3"):
        groups_of([1.0, 2.0, 3.0], size=4)
    with pytest.raises(NotEnoughDataError, match="no check"):
        weighed_together([], size=4)
    with pytest.raises(SpecificationError, match="at least 2"):
        groups_of([1.0, 2.0, 3.0], size=1)
    with pytest.raises(SpecificationError, match="at least 2"):
        weighed_together([1.0], size=1)
    with pytest.raises(SpecificationError, match="finite"):
        groups_of([1.0, math.nan], size=2)
    with pytest.raises(SpecificationError, match="finite shift"):
        chance_missed(math.nan, size=5)
    with pytest.raises(SpecificationError, match="at least 1 piece"):
        Check(pieces=0, every_min=20, sd_g=4.0)

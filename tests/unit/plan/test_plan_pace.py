"""The pace of a scaler, and the largest dough that suits it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import TimeLimit, largest_dough, pace, time_limit


@pytest.mark.parametrize(("every_s", "pieces"), [(12, 75), (25, 36)])
def test_largest_dough_of_a_scaler_and_of_a_learner(every_s: float, pieces: int) -> None:
    """15 min at 12 s and at 25 s a piece: own arithmetic."""
    assert pieces == largest_dough(every_s)


def test_two_scalers_cut_twice_as_much() -> None:
    assert 150 == largest_dough(12, scalers=2)


def test_a_limit_is_fifteen_to_twenty_minutes() -> None:
    """Textbook, "Scaling and preshaping", read in an excerpt."""
    assert TimeLimit(900, 1200) == time_limit() == time_limit(28)


def test_a_warm_dough_is_cut_sooner() -> None:
    """Above 28 C 10 to 12 min: common practice, no source."""
    assert TimeLimit(600, 720) == time_limit(28.5)


def test_a_break_is_no_pace() -> None:
    steady = [12.0 * i for i in range(6)]
    after_a_break = [t_s + 900 for t_s in steady]
    found = pace([*steady, *after_a_break])

    assert found is not None
    assert (12.0, 10) == (found.every_s, found.intervals)
    assert 5.0 == found.per_min


def test_the_newest_intervals_count() -> None:
    slow_then_fast = [20.0 * i for i in range(20)]
    slow_then_fast += [slow_then_fast[-1] + 8.0 * i for i in range(1, 13)]
    found = pace(slow_then_fast)

    assert found is not None
    assert (8.0, 12) == (found.every_s, found.intervals)


@given(
    st.lists(st.floats(0.1, 1000), min_size=5, max_size=5),
    st.floats(5, 60),
    st.permutations(range(12)),
)
def test_five_stumbles_in_twelve_move_no_median_beyond_the_steady_ones(
    stumbles_s: list[float], every_s: float, order: list[int]
) -> None:
    """Seven intervals of twelve are one and the same, so the middle one is too."""
    apart = [*stumbles_s, *[every_s] * 7]
    times = [0.0]
    for place in order:
        times.append(times[-1] + apart[place])
    found = pace(times)

    assert found is not None
    assert every_s == pytest.approx(found.every_s, rel=1e-6)


@given(st.lists(st.integers(0, 4000).map(float), max_size=30), st.randoms())
def test_the_order_in_which_pieces_are_told_does_not_matter(
    times_s: list[float], shuffler: object
) -> None:
    told = list(times_s)
    shuffler.shuffle(told)  # type: ignore[attr-defined]

    assert pace(times_s) == pace(told)


def test_there_is_no_pace_before_three_intervals() -> None:
    assert pace([]) is None
    assert pace([0, 12, 24]) is None
    assert pace([0, 12, 24, 36]) is not None


def test_pieces_of_one_time_make_no_interval() -> None:
    """As when a lifted piece and the next are counted together."""
    found = pace([0, 12, 12, 24, 24, 36])

    assert found is not None
    assert (12.0, 3) == (found.every_s, found.intervals)


@pytest.mark.parametrize(
    ("times_s", "last", "break_s"),
    [([0, math.nan], 12, 120), ([0, 1], 2, 120), ([0, 1], 12, 0), ([0, 1], 12, math.inf)],
)
def test_what_gives_no_pace_is_refused(times_s: list[float], last: int, break_s: float) -> None:
    with pytest.raises(SpecificationError) as refused:
        pace(times_s, last=last, break_s=break_s)

    assert refused.value.hint


@pytest.mark.parametrize(
    ("every_s", "limit_s", "scalers"), [(0, 900, 1), (math.nan, 900, 1), (12, -1, 1), (12, 900, 0)]
)
def test_what_makes_no_dough_is_refused(every_s: float, limit_s: float, scalers: int) -> None:
    with pytest.raises(SpecificationError):
        largest_dough(every_s, limit_s=limit_s, scalers=scalers)


@pytest.mark.parametrize(("aim_s", "most_s"), [(0, 900), (1200, 900), (900, math.inf)])
def test_what_is_no_limit_is_refused(aim_s: float, most_s: float) -> None:
    with pytest.raises(SpecificationError):
        TimeLimit(aim_s, most_s)

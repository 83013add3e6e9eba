"""What was learned can be unlearned, and a prior fades as pieces come in."""

from __future__ import annotations

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.evaluate.habits import Belief, Fates, Habits, Normal, Tally, log_gap

numbers = st.lists(st.integers(-100_000, 100_000), min_size=1, max_size=30)


def tally(values: list[int]) -> Tally:
    made = Tally()
    for value in values:
        made = made.plus(value)
    return made


@given(numbers)
def test_a_weak_prior_leaves_mean_and_spread_of_the_numbers(values: list[int]) -> None:
    found = tally(values).blend(Normal(0.0, 1.0), 1e-12)

    assert found.mean == pytest.approx(statistics.fmean(values), abs=1e-3)
    assert found.sd == pytest.approx(statistics.pstdev(values), abs=1.0, rel=1e-3)


def test_without_numbers_the_prior_stands() -> None:
    assert Tally().blend(Normal(3.0, 2.0), 4.0) == Normal(3.0, 2.0)


def test_a_prior_counts_for_its_weight() -> None:
    assert tally([8_000] * 4).blend(Normal(0.0, 0.0), 4.0) == Normal(4_000.0, 4_000.0)


@given(numbers, st.integers(-100_000, 100_000))
def test_what_was_learned_can_be_unlearned(values: list[int], extra: int) -> None:
    assert tally(values) == tally(values).plus(extra).plus(extra, -1.0)


@given(st.floats(0.0, 1.0), st.floats(0.0, 600.0) | st.none(), st.booleans())
def test_a_belief_can_be_taken_back(share: float, gap_s: float | None, slight: bool) -> None:
    belief = Belief(share, gap_s, slight)

    habits = Habits().believed(belief).believed(belief, -1.0)

    sums = [habits.slight.came_back, habits.slight.boarded, habits.gross.came_back]
    assert [*sums, habits.gross.boarded, habits.returns.total] == pytest.approx([0.0] * 5)


def test_a_belief_is_shared_between_the_two_answers_of_its_kind() -> None:
    slight = Habits().believed(Belief(0.75, 4.0, is_slight=True))
    gross = Habits().believed(Belief(0.75, 4.0, is_slight=False))

    assert (Fates(0.75, 0.25), Fates()) == (slight.slight, slight.gross)
    assert (Fates(), Fates(0.75, 0.25)) == (gross.slight, gross.gross)
    assert slight.returns.n == 0.75


def test_no_belief_changes_nothing() -> None:
    assert Habits() == Habits().believed(None)


def test_a_density_is_highest_at_its_mean_and_lower_when_wide() -> None:
    narrow, wide = Normal(5.0, 1.0), Normal(5.0, 3.0)

    assert narrow.log_density(5.0) > narrow.log_density(6.0)
    assert narrow.log_density(5.0) - wide.log_density(5.0) == pytest.approx(math.log(3.0))


def test_a_gap_of_no_time_is_taken_for_the_shortest() -> None:
    assert log_gap(0.3) == log_gap(0.0) == log_gap(-1.0)
